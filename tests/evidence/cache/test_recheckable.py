"""What an answer is kept under: all that it hangs on, and nothing else."""

from __future__ import annotations

import ast
from collections.abc import Iterable
from dataclasses import dataclass, replace

import pytest
from twohand.analyses.check.lag_query import MeasureLag
from twohand.analyses.measure.query import FindExtreme
from twohand.engine.jobs import Problem
from twohand.evidence.branches.reach import ReachBranches
from twohand.evidence.cache import question
from twohand.evidence.cache.question import FOLDERS, Recheckable, key_of, parts_of
from twohand.evidence.cache.reasons import (
    NEW_TEXT,
    OTHER_EFFORT,
    OTHER_VERSION,
    UNDECIDED,
    why_missed,
)
from twohand.evidence.checks.input_existence import CheckAssumptions
from twohand.evidence.proofs.query import Query
from twohand.program.durations import Ticks

from tests.support.places import PACKAGE


@dataclass(frozen=True)
class OtherQuery(Query):
    """Another kind of question, which is told by the same values."""


PROBLEM = Problem("a text", (("#reading x", True),), (1,), ("a", "b"))
QUERY = Query(PROBLEM, 2, 5.0)
OTHER_PROBLEMS = (
    Problem("another text", (("#reading x", True),), (1,), ("a", "b")),
    Problem("a text", (("#reading x", False),), (1,), ("a", "b")),
    Problem("a text", (), (1,), ("a", "b")),
    Problem("a text", (("#reading x", True),), (), ("a", "b")),
    Problem("a text", (("#reading x", True),), (1,)),
)
OTHERS = (
    *(replace(QUERY, problem=each) for each in OTHER_PROBLEMS),
    *(replace(QUERY, index=3), replace(QUERY, effort=6.0), replace(QUERY, chc=True)),
    OtherQuery(PROBLEM, 2, 5.0),
    MeasureLag(PROBLEM, 2, None, 5.0),
    MeasureLag(PROBLEM, 2, Ticks(9), 5.0),
    MeasureLag(PROBLEM, 2, Ticks(8), 5.0),
    FindExtreme(PROBLEM, 2, False, True, 5.0),
    FindExtreme(PROBLEM, 2, True, True, 5.0),
    FindExtreme(PROBLEM, 2, True, False, 5.0),
)


def test_questions_that_differ_in_anything_have_entries_of_their_own() -> None:
    keys = {key_of(parts_of(each)) for each in (QUERY, *OTHERS)}
    assert len(keys) == len(OTHERS) + 1
    assert key_of(parts_of(replace(QUERY))) in keys


@pytest.mark.parametrize("part", ["FORMAT", "code_that_decides", "_version"])
def test_another_version_is_another_entry(part: str, monkeypatch: pytest.MonkeyPatch) -> None:
    before = key_of(parts_of(QUERY))
    other = 99 if part == "FORMAT" else lambda *_: "another"
    monkeypatch.setattr(question, part, other)
    assert key_of(parts_of(QUERY)) != before


def imported_modules(module: str) -> set[str]:
    """The modules of the package that one imports."""
    tree = ast.parse((PACKAGE / module).with_suffix(".py").read_text(encoding="utf-8"))
    named = {node.module or "" for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    packages = {
        f"{node.module}.{each.name}"
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom)
        for each in node.names
    }
    paths = {name.removeprefix("twohand.").replace(".", "/") for name in named | packages}
    return {path for path in paths if (PACKAGE / path).with_suffix(".py").is_file()} | {
        f"{path}/__init__" for path in paths if (PACKAGE / path / "__init__.py").is_file()
    }


def modules_behind(first: Iterable[str]) -> set[str]:
    found: set[str] = set()
    waiting = list(first)
    while waiting:
        module = waiting.pop()
        if module not in found:
            found.add(module)
            waiting += imported_modules(module)
    return found


def test_all_code_that_an_answer_hangs_on_is_part_of_its_version() -> None:
    kinds = (Query, MeasureLag, FindExtreme)
    first = [kind.__module__.removeprefix("twohand.").replace(".", "/") for kind in kinds]
    left_out = {
        module
        for module in modules_behind(first)
        if not any(module.startswith(f"{folder}/") for folder in FOLDERS)
    }
    words = ("text/", "specification/phrases")
    assert all(module.startswith(words) for module in left_out), left_out


def test_what_cannot_be_checked_again_is_always_asked_anew() -> None:
    assert isinstance(QUERY, Recheckable)
    assert not isinstance(CheckAssumptions(PROBLEM, 5.0), Recheckable)
    assert not isinstance(ReachBranches(PROBLEM, 5.0), Recheckable)


def test_the_reason_of_a_miss_is_what_differs() -> None:
    parts = parts_of(QUERY)
    assert why_missed(parts, []) == NEW_TEXT
    assert why_missed(parts, [parts_of(OTHERS[0])]) == NEW_TEXT
    assert why_missed(parts, [parts_of(replace(QUERY, effort=9.0))]) == OTHER_EFFORT
    assert why_missed(parts, [{**parts, "code": "older"}]) == OTHER_VERSION
    assert why_missed(parts, [parts_of(replace(QUERY, index=7))]) == UNDECIDED
    assert why_missed(parts, [{"text": parts["text"], "asked": []}]) == UNDECIDED
