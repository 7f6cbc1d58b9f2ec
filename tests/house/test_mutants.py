"""The changes of ``python -m tests.mutants`` are changes, of code and tests that are there."""

from __future__ import annotations

import ast
from collections import Counter
from functools import cache

import pytest

from tests.mutants.mutant import Change, Mutant, mutants
from tests.mutants.rooms import MUTANTS
from tests.mutants.running import Found, judged
from tests.mutants.strict import BROKEN, FAILED, PASSED
from tests.support.places import TESTS

FILES = sorted({mutant.file for mutant in MUTANTS})


@cache
def functions_in(file: str) -> set[str]:
    tree = ast.parse((TESTS / file).read_text(encoding="utf-8"))
    return {node.name for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)}


@pytest.mark.parametrize("file", FILES)
def test_every_change_is_one_of_code_that_is_there(file: str) -> None:
    changes = [each for each in MUTANTS if each.file == file]
    before = changes[0].source
    for mutant in changes:
        assert mutant.applied(before) != before, mutant.identifier


@pytest.mark.long
@pytest.mark.parametrize("file", FILES)
def test_every_change_can_be_read_and_means_something_else(file: str) -> None:
    changes = [each for each in MUTANTS if each.file == file]
    before = changes[0].source
    meaning = ast.dump(ast.parse(before))
    for mutant in changes:
        assert ast.dump(ast.parse(mutant.applied(before))) != meaning, mutant.identifier


def test_every_named_test_is_there() -> None:
    for named in {test for mutant in MUTANTS for test in mutant.tests}:
        file, _, function = named.partition("::")
        assert (TESTS / file).is_file(), named
        name = function.partition("[")[0]
        assert not name or (name.startswith("test_") and name in functions_in(file)), named


def test_every_change_has_a_name_of_its_own_and_is_looked_for() -> None:
    assert [
        name for name, count in Counter(m.identifier for m in MUTANTS).items() if count > 1
    ] == []
    assert [mutant.identifier for mutant in MUTANTS if not mutant.tests] == []
    assert len(MUTANTS) >= 150


@pytest.mark.parametrize("anchor", ["PRIORITY", "no such text"])
def test_an_anchor_that_is_not_there_once_is_an_error(anchor: str) -> None:
    (mutant,) = mutants("room", "report/exit_code.py", (), Change("a change", anchor, "else"))
    with pytest.raises(
        ValueError, match=r"report/exit_code: a change: the anchor occurs [02] times"
    ):
        mutant.applied(mutant.source)


@pytest.mark.parametrize(
    ("outcomes", "found"),
    [
        (None, Found.HANGS),
        ({}, Found.NOT_RUN),
        ({"a": PASSED}, Found.SURVIVED),
        ({"a": PASSED, "b": BROKEN}, Found.BROKEN),
        ({"a": BROKEN, "b": FAILED, "c": PASSED}, Found.FOUND),
    ],
)
def test_only_an_assertion_that_fails_finds_a_change(
    outcomes: dict[str, str] | None, found: Found
) -> None:
    assert judged(outcomes)[0] is found


def test_a_mutant_is_named_after_its_file() -> None:
    mutant = Mutant("room", "report/exit_code.py", "a change", "x", "y", ())
    assert mutant.identifier == "report/exit_code: a change"
