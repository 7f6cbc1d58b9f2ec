"""A question as text, for a worker on another machine, and the text of its answer.

What a worker answers is what a cache would keep: it is checked again where it was asked. So only
what can be checked is an answer; a worker that came to none says so, and is not believed either.
"""

from __future__ import annotations

import gc
import importlib
import json
import threading
from dataclasses import dataclass, fields
from typing import Any

from twohand.engine.jobs import Problem
from twohand.evidence.cache.answers import Dropped
from twohand.evidence.cache.entry import MOST_BYTES
from twohand.evidence.cache.question import Plain, Recheckable, Unbelieved, versions

_STACK = 64 * 1024 * 1024
"""Bytes: terms are walked deep, and threads of some systems have little."""
_ONE_QUESTION = threading.Lock()
"""The solver is asked by one thread of a process at a time."""


def task_of(question: Recheckable) -> str:
    """The text of a program and a question; no name, no file."""
    kind, problem = type(question), question.problem
    asked = {f.name: getattr(question, f.name) for f in fields(question) if f.name != "problem"}
    whole = {
        "versions": versions(),
        "kind": [kind.__module__, kind.__name__],
        "problem": {f.name: getattr(problem, f.name) for f in fields(problem)},
        "asked": asked,
    }
    return json.dumps(whole, sort_keys=True)


def question_of(task: str) -> Recheckable:
    """The question again; ValueError for a text that is none of this version."""
    whole = json.loads(task)
    if whole["versions"] != versions():
        raise ValueError("the versions differ")
    module, name = whole["kind"]
    if not module.startswith("twohand."):
        raise ValueError("this is no question")
    problem = Problem(**_with_tuples(whole["problem"]))
    kind = getattr(importlib.import_module(module), name)
    question: Recheckable = kind(problem=problem, **_with_tuples(whole["asked"]))
    return question


def _with_tuples(values: Plain) -> Plain:
    return {name: _tuples(value) for name, value in values.items()}


def _tuples(value: Any) -> Any:
    return tuple(map(_tuples, value)) if isinstance(value, list) else value


def answer_text(task: str) -> str:
    """What a worker does: the answer to a task, where it can be checked; 'null' where it cannot.

    A worker may have threads, and may have no processes of its own. A solver's answers hang on what
    was freed when, so that nothing is freed behind its back (``engine/workers/process.py``).
    """
    found: list[str] = []

    def work() -> None:
        question = question_of(task)
        assert callable(question)
        found.append(json.dumps(question.kept(question())))

    with _ONE_QUESTION:
        gc.disable()
        before = threading.stack_size(_STACK)
        try:
            thread = threading.Thread(target=work)
            thread.start()
            thread.join()
        finally:
            threading.stack_size(before)
            gc.enable()
            gc.collect()
    return found[0] if found else "null"


@dataclass(frozen=True)
class Claimed:
    """A job: what a worker claims as the answer to a question, checked from scratch; Dropped where
    it does not hold."""

    question: Recheckable
    answer: str

    def __call__(self) -> object:
        try:
            if len(self.answer) > MOST_BYTES:
                raise Unbelieved("it is too large")
            return self.question.rechecked(json.loads(self.answer))
        except MemoryError:
            raise
        except Exception as error:  # whoever answered may have answered anything
            return Dropped(f"{type(error).__name__}: {error}")
