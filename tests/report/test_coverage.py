"""What no requirement speaks of or depends on is named, once and by its whole."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.report.coverage import NotAsked, not_asked, not_asked_lines
from twohand.report.drawing.terminal import Terminal

from tests.support.samples.check_samples import logic, specification

MORE = """both, k, never : BOOL; t, u : TON; two : Two; list : ARRAY[0..9] OF BOOL; part : Part;
    n : INT; END_VAR VAR_TEMP m : BOOL; END_VAR VAR CONSTANT C : INT := 3;"""
TYPES = """
TYPE Two : STRUCT a : BOOL; b : INT; END_STRUCT; END_TYPE
FUNCTION f : BOOL VAR_INPUT x : BOOL; END_VAR VAR y : BOOL; END_VAR y := x; f := y; END_FUNCTION
FUNCTION_BLOCK Part
VAR_INPUT i : BOOL; END_VAR VAR_OUTPUT o : BOOL; END_VAR VAR t : TON; END_VAR
t(IN := i, PT := T#10ms); o := t.Q;
END_FUNCTION_BLOCK
"""
BODY = """
both := a AND b; t(IN := both, PT := T#50ms); part(i := reset); u(IN := reset, PT := T#50ms);
IF t.Q THEN q := f(a); END_IF;
IF n < C THEN n := n + 1; END_IF;
two.b := speed; m := other; k := m; list[n] := u.Q OR part.o;
"""
INPUTS = "a, b, reset, other : BOOL; speed : INT;"


def found(folder: Path, statements: str, body: str = BODY) -> NotAsked:
    block = TYPES + logic(body, INPUTS, MORE)
    return not_asked(specification(folder, block, f"BLOCK Logic; {statements}"))


@pytest.mark.parametrize(
    ("asked", "inputs", "variables"),
    [
        (
            "PROPERTY p : NOT q;",
            ("reset", "other", "speed"),
            ("k", "never", "u", "two", "list", "part", "n"),
        ),
        (
            "PROPERTY p : list[0] -> once(prev(two.a));",
            ("a", "b", "other", "speed"),
            ("both", "k", "never", "t"),
        ),
        (
            "PROPERTY p : k -> never WITHIN T#1s;",
            ("a", "b", "reset", "speed"),
            ("both", "t", "u", "two", "list", "part", "n"),
        ),
        (
            "REACHABLE two.b = 3; OUTPUT q;",
            ("reset", "other"),
            ("k", "never", "u", "list", "part", "n"),
        ),
        (
            "PROPERTY p : u.ET < T#1s; ASSUME other;",
            ("a", "b", "other", "speed"),
            ("both", "k", "never", "t", "two", "list", "part", "n"),
        ),
    ],
)
def test_what_no_requirement_speaks_of_or_depends_on(
    asked: str, inputs: tuple[str, ...], variables: tuple[str, ...], tmp_path: Path
) -> None:
    """Counted by hand."""
    result = found(tmp_path, asked)
    assert result.inputs == inputs
    assert result.variables == variables


@pytest.mark.parametrize(
    "body",
    [
        "IF other THEN RETURN; END_IF; q := a;",
        "REPEAT IF other THEN EXIT; END_IF; n := n + 1; UNTIL n > 3 END_REPEAT; q := n > 2;",
        "FOR n := 0 TO SEL(other, 1, 2) DO q := NOT q; END_FOR;",
        "CASE SEL(other, 1, 2) OF 1: q := a; END_CASE;",
        "u(IN := other, PT := T#0s); q := u.Q;",
        "part(i := other); q := part.o;",
        "list[SEL(other, 1, 2)] := a; q := list[1];",
        "list[1] := a; q := list[SEL(other, 1, 2)];",
        "IF a THEN q := b; ELSIF other THEN q := FALSE; END_IF;",
        "q := f(x := other);",
    ],
)
def test_what_decides_whether_it_is_written_counts(body: str, tmp_path: Path) -> None:
    assert "other" not in found(tmp_path, "PROPERTY p : NOT q;", body).inputs


def test_the_line_names_a_few_of_each_kind(tmp_path: Path) -> None:
    inputs = "a, b, c, d, e, f, g, h, i : BOOL;"
    spec = specification(tmp_path, logic("q := a;", inputs), "PROPERTY p : q -> a;")
    (line,) = not_asked_lines(spec, Terminal(120), every=False)
    assert line == (
        "  NOT ASKED    no requirement speaks of or depends on inputs b, c, d, e, f, g and 2 more"
    )
    (line,) = not_asked_lines(spec, Terminal(120), every=True)
    assert line.endswith("inputs b, c, d, e, f, g, h and i")
    one = specification(tmp_path, logic("q := a;", "a : BOOL;"), "PROPERTY p : q -> a;")
    assert not_asked_lines(one, Terminal(120), every=False) == []
