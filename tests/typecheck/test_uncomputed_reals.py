"""What is made of REALs and not computed: inputs that may have any value."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest
from twohand.program import Program
from twohand.specification.load import load_specification
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.meaning.both_rooms import both_rooms
from tests.support.meaning.uncomputed_values import held


def program_of(body: str, declared: str = "", before: str = "") -> Program:
    text = (
        f"{before} FUNCTION_BLOCK B VAR_INPUT x, y : REAL; z : LREAL; n : INT; u : BOOL; "
        "list : ARRAY [1..2] OF REAL; END_VAR VAR_OUTPUT q, p : BOOL; k : INT; w : BYTE; END_VAR\n"
        f"VAR r : REAL; i : INT; END_VAR {declared}\n{body}\nEND_FUNCTION_BLOCK"
    )
    return load_program([SourceText("b.st", text)], "B")


def names(tested: Program) -> list[str]:
    return [variable.uncomputed for variable in tested.uncomputed]


@pytest.mark.parametrize(
    "seed", [*range(8), *(pytest.param(n, marks=pytest.mark.long) for n in range(8, 60))]
)
def test_what_one_platform_does_is_among_what_a_block_may_do(seed: int) -> None:
    held(Random(f"uncomputed {seed}"))


@pytest.mark.parametrize(
    ("body", "expected"),
    [
        ("q := x > y; p := y < x;", 1),
        ("q := x >= y; p := y <= x;", 1),
        ("q := x > y; p := x >= y;", 2),
        ("q := x > y; p := x < y;", 2),
        ("q := x + y > 1.5; p := 1.5 < x + y;", 1),
        ("q := x + y > 1.5; p := 1.5 < y + x;", 2),
        ("q := x = y; p := y = x;", 2),
        ("q := -x > y; p := y < -x;", 1),
        ("q := SQRT(x) > y; p := y < SQRT(x);", 1),
        ("q := x * INT_TO_REAL(n) > y; p := x * INT_TO_REAL(n) > y;", 1),
        ("q := x * INT_TO_REAL(k) > y; k := 1; p := x * INT_TO_REAL(k) > y;", 2),
        ("q := SEL(u, x, y) > 1.5; p := SEL(u, x, y) > 1.5;", 1),
        ("q := r > y; r := x; p := r > y;", 2),
        ("q := z > x; p := x < z;", 1),
        ("k := REAL_TO_INT(x); q := REAL_TO_INT(x) > n;", 1),
        ("k := REAL_TO_INT(x * 2.0); q := REAL_TO_INT(r) > n;", 2),
        ("q := list[1] > y; p := list[1] > y;", 2),
        ("k := TRUNC(x * 2.0); i := TRUNC(x * 2.0);", 1),
        ("k := TRUNC(x); w := REAL_TO_BYTE(x);", 2),
        ("IF x > y THEN r := 1.5; ELSE r := 2.5; END_IF; q := u;", 0),
        ("r := SEL(x > y, 1.5, 2.5); q := u;", 0),
    ],
)
def test_one_input_stands_for_one_formula_over_what_lasts_for_a_scan(
    body: str, expected: int
) -> None:
    assert len(program_of(body).uncomputed) == expected


def test_every_execution_of_what_may_change_has_an_input_of_its_own() -> None:
    units = (
        "FUNCTION Over : BOOL VAR_INPUT x, l : REAL; END_VAR Over := x > l; END_FUNCTION "
        "FUNCTION_BLOCK Z VAR_INPUT t : REAL; END_VAR VAR_OUTPUT hot : BOOL; END_VAR "
        "hot := t > 50.0; END_FUNCTION_BLOCK"
    )
    tested = program_of(
        "q := Over(x, 1.5) OR Over(y, 1.5); s(t := x); p := s.hot; s(t := y);",
        "VAR s : Z; END_VAR",
        units,
    )
    assert names(tested) == ["x > l", "x > l", "t > 50.0", "t > 50.0"]


def test_what_is_left_out_says_so_once_for_each_place() -> None:
    tested = program_of("q := x > y; p := x > y; k := REAL_TO_INT(r);")
    said = [note.what for note in tested.left_out if note.variable is None]
    assert said == [
        "the comparison 'x > y', which may come out either way",
        "the value of 'REAL_TO_INT(r)', which may be any of its type in each scan",
    ]


def test_a_function_of_reals_in_a_comparison_runs_for_what_else_it_does() -> None:
    function = (
        "FUNCTION Scale : REAL VAR_INPUT x : REAL; END_VAR VAR_IN_OUT c : INT; END_VAR "
        "c := c + 1; Scale := x; END_FUNCTION"
    )
    tested = program_of("q := Scale(x := x, c := k) > y;", "", function)
    rows = [{name.name: True for name in tested.uncomputed}, {}]
    assert both_rooms(tested, rows, ["q", "k"]) == [[True, 1], [False, 2]]


@pytest.mark.parametrize(
    ("body", "code"),
    [
        ("FOR i := 1 TO 2 DO q := list[i] > y; END_FOR", "real-in-loop"),
        ("WHILE r > 1.5 DO r := r - 1.0; END_WHILE", "real-in-loop"),
        ("REPEAT r := r + 1.0; UNTIL r > 1.5 END_REPEAT", "real-in-loop"),
        ("FOR i := 1 TO 2 DO k := REAL_TO_INT(r); END_FOR", "real-in-loop"),
        ("FOR i := 1 TO 2 DO k := i; q := x * INT_TO_REAL(k) > y; END_FOR", "real-in-loop"),
        ("q := x > TRUE;", "unsupported-real"),
        ("q := x > T#1s;", "unsupported-real"),
        ("k := x;", "unsupported-real"),
        ("k := SQRT(x);", "unsupported-real"),
        ("q := 1.5 * 2.0 > 2.5;", "unsupported-real"),
    ],
)
def test_what_cannot_be_said_of_reals_is_refused_by_name(body: str, code: str) -> None:
    with pytest.raises(InputError) as caught:
        program_of(body)
    assert [problem.code for problem in caught.value.diagnostics] == [code]


def test_a_loop_may_compare_what_lasts_for_the_scan() -> None:
    tested = program_of("FOR i := REAL_TO_INT(r) TO 3 DO IF x > y THEN k := i; END_IF; END_FOR")
    assert names(tested) == ["REAL_TO_INT(r)", "x > y"]


def test_a_formula_that_names_a_constant_of_real_is_told_so(tmp_path: Path) -> None:
    (tmp_path / "b.st").write_text(
        "FUNCTION_BLOCK B VAR_INPUT x : REAL; END_VAR VAR_OUTPUT q : BOOL; END_VAR\n"
        "VAR CONSTANT top : REAL := 6.5; END_VAR q := x > top; END_FUNCTION_BLOCK",
        encoding="utf-8",
    )
    spec = tmp_path / "s.spec"
    text = "SPEC S SOURCE 'b.st'; SCAN T#10ms; PROPERTY p : q -> top > 4; END_SPEC"
    spec.write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as caught:
        load_specification(spec)
    (problem,) = caught.value.diagnostics
    assert problem.code == "unsupported-real"
    assert problem.message.startswith("'top' is a constant of REAL")
