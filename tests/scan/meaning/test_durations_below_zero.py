"""Durations below zero: on platforms whose TIME is unsigned there are none (common practice; the
standard says nothing of it). There a result below zero is a finding, in executor and transition
system alike, and no input is below zero."""

from __future__ import annotations

from dataclasses import replace

import pytest
import z3
from twohand.program import Program
from twohand.scan.clocking import Clocking, Readings
from twohand.scan.symbolic.encode import encode

from tests.support.meaning.both_rooms import both_rooms
from tests.support.meaning.typed_programs import PLAIN, found, program, run_of

BELOW = "duration below zero"
UNSIGNED = replace(PLAIN, durations_are_signed=False)
INPUTS = "VAR_INPUT t, u : TIME; n : INT; END_VAR VAR_OUTPUT y : TIME; q : BOOL; END_VAR "
ROW = {"t": 5, "u": 3, "n": -2}


def found_in(tested: Program) -> str:
    """The text of the operation below zero, '' where there is none; both rooms agree."""
    (signed,) = run_of(tested, [ROW])
    assert found(signed) is None
    (record,) = run_of(tested, [ROW], durations_are_signed=False)
    ends = both_rooms(tested, [ROW], ["y", "q"], UNSIGNED)
    where = found(record)
    if where is None:
        assert ends == [[record.values["y"], record.values["q"]]]
        return ""
    assert (where[0], ends) == (BELOW, [BELOW])
    return where[1]


@pytest.mark.parametrize(
    ("body", "place"),
    [
        ("y := t - u;", ""),
        ("y := u - t;", "u - t"),
        ("y := t - u - u;", "t - u - u"),
        ("y := u - t + t;", "u - t"),
        ("y := t - T#5ms;", ""),
        ("y := -t;", "-t"),
        ("y := t * n;", "t * n"),
        ("y := t / n;", "t / n"),
        ("y := INT_TO_TIME(n);", "INT_TO_TIME(n)"),
        ("y := INT_TO_TIME(-n);", ""),
        ("q := u - t > T#0s;", "u - t"),
        ("q := t > u AND_THEN t - u > T#0s;", ""),
        ("q := u > t AND_THEN u - t > T#0s;", ""),
        ("IF u > t THEN y := u - t; END_IF;", ""),
        ("y := SEL(t > u, u - t, t - u);", "u - t"),
        ("y := MAX(T#0s, LIMIT(T#0s, u, t));", ""),
    ],
)
def test_a_result_below_zero_is_found_where_a_scan_makes_one(body: str, place: str) -> None:
    assert found_in(program(INPUTS, body)) == place


@pytest.mark.parametrize(("signed", "below"), [(None, False), (False, False), (True, True)])
def test_an_input_is_below_zero_only_where_a_finding_tells_nothing(
    signed: bool | None, below: bool
) -> None:
    """Whether an input can be below zero on a platform whose durations are unsigned."""
    tested = program(INPUTS, "y := t - u;")
    readings = Readings(durations_are_signed=signed)
    system = encode(tested, Clocking(1_000_000, 10, 10), readings).system
    solver = z3.Solver()
    solver.add(*system.ranges, z3.Int("t") < 0)
    parameters = [s.symbol for s in system.states if s.name.endswith("durations_are_signed")]
    assert len(parameters) == (signed is None)
    solver.add(*[z3.Not(parameter) for parameter in parameters])
    assert (solver.check() == z3.sat) == below


def test_a_part_of_what_is_below_zero_is_below_zero() -> None:
    tested = program(INPUTS, "y := t / 2;")
    assert both_rooms(tested, [{"t": -5, "u": 0, "n": 0}], ["y"], UNSIGNED) == [BELOW]
    assert both_rooms(tested, [{"t": -5, "u": 0, "n": 0}], ["y"]) == [[-2]]


def test_where_nothing_depends_on_it_no_input_is_limited() -> None:
    tested = program(INPUTS, "q := t > u;")
    system = encode(tested, Clocking(1_000_000, 10, 10), Readings()).system
    assert not [term for term in system.ranges if "t" in str(term) or "u" in str(term)]
