"""A variable that a call knows under two names and changes is told: platforms that copy in-out
parameters (common practice) compute something else than the standard says."""

from __future__ import annotations

import pytest
from twohand.text.diagnostic import Diagnostic
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

GLOBALS = "VAR_GLOBAL g, h : BOOL; END_VAR\n"
CALLED = (
    "FUNCTION_BLOCK Called VAR_IN_OUT x, y : BOOL; END_VAR VAR_OUTPUT o : BOOL; END_VAR\n"
    "VAR_EXTERNAL g : BOOL; END_VAR {} END_FUNCTION_BLOCK\n"
)
WITHIN = "FUNCTION_BLOCK Within VAR_EXTERNAL g : BOOL; END_VAR {} END_FUNCTION_BLOCK\n"


def told(called: str, call: str, before: str = "") -> list[str]:
    text = (
        f"{GLOBALS}{before}{CALLED.format(called)}FUNCTION_BLOCK Main\n"
        "VAR_EXTERNAL g, h : BOOL; END_VAR VAR c : Called; p, q : BOOL; END_VAR\n"
        f"{call}\nEND_FUNCTION_BLOCK\n"
    )
    notes: list[Diagnostic] = []
    load_program([SourceText("main.st", text)], "Main", notes=notes)
    return [note.message for note in notes if note.code == "in-out-shared"]


BOTH = "in this call of 'Called' 'x' and 'y' are one variable, which it changes"
GLOBAL = (
    "in this call of 'Called' 'x' and, by its own name, 'main.g' are one variable, which it changes"
)


@pytest.mark.parametrize(
    ("called", "call", "expected"),
    [
        ("x := NOT y;", "c(x := p, y := p);", [BOTH]),
        ("y := NOT x;", "c(x := p, y := p);", [BOTH]),
        ("x := NOT y;", "c(x := p, y := q);", []),
        ("o := x AND y;", "c(x := p, y := p);", []),
        ("x := NOT g;", "c(x := g, y := p);", [GLOBAL]),
        ("g := NOT x;", "c(x := g, y := p);", [GLOBAL]),
        ("o := g AND x;", "c(x := g, y := p);", []),
        ("x := NOT g;", "c(x := h, y := p);", []),
        ("x := NOT g;", "c(x := h, y := p); c(x := g, y := p); c(x := g, y := p);", [GLOBAL] * 2),
    ],
)
def test_a_call_is_told_that_changes_one_variable_under_two_names(
    called: str, call: str, expected: list[str]
) -> None:
    assert told(called, call) == expected


@pytest.mark.parametrize(("within", "count"), [("g := TRUE;", 1), (";", 0)])
def test_what_a_call_calls_counts_as_its_own(within: str, count: int) -> None:
    before = WITHIN.format(within)
    text = "VAR w : Within; END_VAR w(); o := x;"
    assert len(told(text, "c(x := g, y := p);", before)) == count


def test_what_is_handed_on_is_not_another_name() -> None:
    before = "FUNCTION Sets VAR_IN_OUT z : BOOL; END_VAR z := TRUE; END_FUNCTION\n"
    assert told("Sets(x);", "c(x := g, y := p);", before) == []
    assert told("Sets(x); Sets(g);", "c(x := g, y := p);", before) == [GLOBAL]
