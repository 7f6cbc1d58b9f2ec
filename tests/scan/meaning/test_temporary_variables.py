"""What begins anew at each call and is read before anything was assigned to it: by the standard it
has the value of its type then (IEC 61131-3 Ed. 3, 6.5.2, from memory); on platforms that keep such
variables in memory that others have used before, anything (common practice). There it is a finding,
in executor and transition system alike."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from random import Random

import pytest
from twohand.program import Program

from tests.support.meaning.both_rooms import both_rooms
from tests.support.meaning.typed_programs import PLAIN, found, program, run_of
from tests.support.randomness.temporaries import temporaries_text

UNSET = "read before assignment"
LEFT_OVER = replace(PLAIN, temporaries_begin_anew=False)
INPUTS = "VAR_INPUT a, b : BOOL; n : INT; END_VAR VAR_OUTPUT q : BOOL; END_VAR "
BOTH = "FUNCTION Both : BOOL VAR_INPUT x, y : BOOL; END_VAR {} END_FUNCTION"


def found_at(tested: Program, a: bool = False, b: bool = False, n: int = 0) -> str:
    """Where the first scan reads what is unset, '' where it does not; both rooms agree, and with
    variables that begin anew nothing is found."""
    row = {"a": a, "b": b, "n": n}
    (anew,) = run_of(tested, [row])
    assert found(anew) is None
    (record,) = run_of(tested, [row], temporaries_begin_anew=False)
    ends = both_rooms(tested, [row], ["q"], LEFT_OVER)
    where = found(record)
    if where is None:
        assert ends == [[record.values["q"]]]
        return ""
    assert (where[0], ends) == (UNSET, [UNSET])
    return where[1]


@pytest.mark.parametrize(
    ("declarations", "body", "place"),
    [
        ("VAR_TEMP x : BOOL; END_VAR", "IF a THEN x := b; END_IF; q := x;", "x"),
        ("VAR_TEMP x : BOOL := FALSE; END_VAR", "IF a THEN x := b; END_IF; q := x;", ""),
        ("VAR x : BOOL; END_VAR", "IF a THEN x := b; END_IF; q := x;", ""),
        ("VAR_TEMP x : BOOL; END_VAR", "x := b; q := x;", ""),
        ("VAR_TEMP x : BOOL; END_VAR", "IF a THEN x := b; END_IF; IF a THEN q := x; END_IF;", ""),
        ("VAR_TEMP x : BOOL; END_VAR", "q := a AND_THEN x;", ""),
        ("VAR_TEMP x : BOOL; END_VAR", "q := a AND x;", "x"),
        ("VAR_TEMP x : BOOL; END_VAR", "IF NOT a THEN RETURN; END_IF; x := b; q := x;", ""),
        ("VAR_TEMP x, i : INT; END_VAR", "FOR i := 1 TO n DO x := i; END_FOR; q := x > 0;", "x"),
        ("VAR_TEMP i : INT; END_VAR", "FOR i := 1 TO n DO q := i > 1; END_FOR; q := i > 0;", ""),
        ("VAR_TEMP w : WORD; END_VAR", "w.0 := a; q := w.0;", "w.0"),
        ("VAR_TEMP x : ARRAY [0..2] OF BOOL; END_VAR", "x[0] := a; q := x[n];", ""),
        ("VAR_TEMP x : ARRAY [0..2] OF BOOL; END_VAR", "x[1] := a; q := x[n];", "x[n]"),
        ("VAR_TEMP x : ARRAY [0..2] OF BOOL; END_VAR", "x[n] := a; q := x[0];", ""),
        ("VAR_TEMP x : ARRAY [0..2] OF BOOL; END_VAR", "x[n] := a; q := x[1];", "x[1]"),
    ],
)
def test_a_read_before_assignment_is_found_where_a_scan_makes_one(
    declarations: str, body: str, place: str
) -> None:
    assert found_at(program(INPUTS + declarations, body)) == place


@pytest.mark.parametrize(
    ("body", "call", "place"),
    [
        ("IF x AND y THEN Both := TRUE; END_IF;", "q := Both(a, b);", "Both(a, b)"),
        ("IF x AND y THEN Both := TRUE; END_IF;", "Both(a, b);", ""),
        ("Both := x AND y;", "q := Both(a, b);", ""),
        ("VAR z : BOOL; END_VAR IF x THEN z := y; END_IF; Both := z;", "q := Both(a, b);", "z"),
        ("VAR_OUTPUT z : BOOL; END_VAR Both := x;", "q := Both(x := a, y := b, z => q);", "z"),
        ("VAR_OUTPUT z : BOOL; END_VAR Both := x;", "q := Both(x := a, y := b);", ""),
        (
            "VAR z : BOOL; END_VAR IF x THEN z := y; END_IF; Both := x AND_THEN z;",
            "q := Both(TRUE, TRUE); q := Both(a, b);",
            "",
        ),
        (
            "VAR z : BOOL; END_VAR IF x THEN z := y; END_IF; Both := z;",
            "q := Both(TRUE, TRUE); q := Both(a, b);",
            "z",
        ),
    ],
    ids=range(8),
)
def test_variables_and_results_of_functions_are_unset_at_each_call(
    body: str, call: str, place: str
) -> None:
    assert found_at(program(INPUTS, call, BOTH.format(body))) == place


def test_what_a_call_assigns_through_an_in_out_parameter_is_set() -> None:
    block = "FUNCTION_BLOCK Sets VAR_IN_OUT v : BOOL; END_VAR v := TRUE; END_FUNCTION_BLOCK"
    declarations = INPUTS + "VAR s : Sets; END_VAR VAR_TEMP x : BOOL; END_VAR"
    assert found_at(program(declarations, "s(v := x); q := x;", block)) == ""
    assert found_at(program(declarations, "q := x; s(v := x);", block)) == "x"


def test_a_temporary_variable_does_not_last_until_the_next_scan() -> None:
    tested = program(
        INPUTS + "VAR_TEMP x : BOOL; END_VAR", "IF a THEN x := TRUE; END_IF; q := x OR b;"
    )
    rows = [{"a": True, "b": False}, {"a": False, "b": True}]
    assert both_rooms(tested, rows, ["q"], LEFT_OVER) == [[True], UNSET]


@pytest.mark.parametrize("seed", range(40))
def test_random_blocks_are_found_where_notes_in_their_text_say_so(seed: int) -> None:
    """The text keeps the books itself: beside each assignment 't_set := TRUE', beside each read
    'IF NOT t_set THEN early := TRUE'. Every input is tried."""
    text = temporaries_text(Random(seed))
    plain, noted = program(text.declarations, text.body), program(text.declarations, text.noted)
    for a, b, n in product((False, True), (False, True), (0, 1, 2)):
        row = {"a": a, "b": b, "n": n}
        (noting,) = run_of(noted, [row])
        ends = both_rooms(plain, [row], ["q"], LEFT_OVER)
        assert ends == ([UNSET] if noting.values["early"] else [[noting.values["q"]]]), (text, row)
