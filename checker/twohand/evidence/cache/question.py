"""What an answer is kept under: all that the engine's answer hangs on, and no name or time."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import fields
from functools import cache
from pathlib import Path
from typing import Any, ClassVar, Protocol, TypeAlias, runtime_checkable

from twohand import __version__
from twohand.engine.jobs import Problem

FORMAT = 1
"""Of the entries."""
FOLDERS = (
    *("program", "scan", "engine", "specification/logic"),
    *("evidence/cache", "evidence/proofs", "analyses/check", "analyses/measure"),
)
"""Those whose code decides what the engine answers to a question."""
SOLVERS = ("z3-solver", "cvc5")

Plain: TypeAlias = dict[str, Any]
"""Plain data, as JSON has it."""


class Unbelieved(Exception):  # noqa: N818 - an outcome, not an error
    """A kept answer that does not hold; the message says why."""


@runtime_checkable
class Recheckable(Protocol):
    """A job (a dataclass) whose answer can be kept, because it can be checked again."""

    __dataclass_fields__: ClassVar[dict[str, Any]]

    @property
    def problem(self) -> Problem: ...

    def kept(self, result: object) -> Plain | None:
        """What is to be kept of the result; None: nothing, as of all that is undecided."""

    def rechecked(self, kept: Plain) -> object:
        """The result of what was kept, proofs checked from scratch and runs run again. Whatever it
        raises, Unbelieved or other, says that it does not hold."""


def parts_of(question: Recheckable) -> Plain:
    """All that the answer hangs on; of the problem's text its hash."""
    problem = question.problem
    own = {f.name: getattr(question, f.name) for f in fields(question) if f.name != "problem"}
    parts = {
        **versions(),
        "kind": type(question).__name__,
        "text": hashlib.sha256(problem.text.encode()).hexdigest(),
        "fixed": [list(each) for each in problem.fixed],
        "without": list(problem.without),
        "equivalent": problem.equivalent,
        "asked": own,
    }
    plain: Plain = json.loads(json.dumps(parts))
    return plain


def versions() -> Plain:
    """What decides besides the question: those of the entries, the code and the solvers."""
    return {
        "format": FORMAT,
        "code": code_that_decides(),
        "solvers": [_version(name) for name in SOLVERS],
    }


def key_of(parts: Mapping[str, Any]) -> str:
    """The name of an entry: 64 hexadecimal digits."""
    return hashlib.sha256(json.dumps(parts, sort_keys=True).encode()).hexdigest()


@cache
def code_that_decides() -> str:
    """A hash of the sources that an answer hangs on, and of the version."""
    package = Path(__file__).parents[2]
    found = hashlib.sha256(__version__.encode())
    for folder in FOLDERS:
        for file in sorted((package / folder).rglob("*.py")):
            found.update(file.relative_to(package).as_posix().encode())
            found.update(hashlib.sha256(file.read_bytes()).digest())
    return found.hexdigest()


@cache
def _version(distribution: str) -> str:
    """'' where it is not installed."""
    from importlib.metadata import PackageNotFoundError, version  # takes long

    try:
        return version(distribution)
    except PackageNotFoundError:
        return ""
