"""A run that is said to be prolonged at will is one for every length, not for those tried."""

from __future__ import annotations

import pytest
import z3
from twohand.engine.search.pumping import PumpedRun, pumped
from twohand.engine.system.contract import Step, Violated
from twohand.scan.transition_system import TransitionSystem

from tests.support.samples.engine_systems import ELAPSED, SCANS, clock

PUSH, MIDDLE = z3.Bools("push middle")
AGE = z3.Int("age")
HELD, BETWEEN, RELEASED = {"push": True}, {"middle": True}, {}


def prolonged(
    held: z3.ArithRef,
    quantity: z3.ArithRef = AGE,
    read: z3.BoolRef | None = None,
    assumed: z3.BoolRef | None = None,
) -> PumpedRun | None:
    """A button is held for three scans, two others follow, and the last one reads the quantity.
    ``held`` is the clock's value after a scan in which it is."""
    system = TransitionSystem(
        (clock("age", z3.If(PUSH, held, AGE)),),
        (PUSH, MIDDLE),
        ELAPSED,
        SCANS,
        5,
        20,
        1,
        constraints=() if assumed is None else (assumed,),
    )
    scans = (HELD, HELD, HELD, BETWEEN, RELEASED)
    run = Violated(tuple(Step(dict(inputs), 20) for inputs in scans), {}, "a search")
    condition = z3.And(z3.Not(PUSH), z3.Not(MIDDLE), z3.BoolVal(True) if read is None else read)
    return pumped(system, condition, quantity, run, 10.0)


def test_a_clock_that_runs_while_its_button_is_held_can_run_on() -> None:
    found = prolonged(AGE + ELAPSED)
    assert found is not None
    assert found.position == 2


def test_a_clock_that_stops_some_day_cannot() -> None:
    assert prolonged(z3.If(AGE < 100, AGE + ELAPSED, AGE)) is None


def test_a_clock_that_misses_short_scans_cannot() -> None:
    assert prolonged(z3.If(ELAPSED == 20, AGE + ELAPSED, AGE)) is None


def test_a_quantity_that_has_a_greatest_value_does_not_grow() -> None:
    assert prolonged(AGE + ELAPSED, quantity=z3.If(AGE > 30, z3.IntVal(30), AGE)) is None


def test_the_scan_that_reads_has_to_come_however_long_the_stay_is() -> None:
    assert prolonged(AGE + ELAPSED, read=AGE <= 200) is None


def test_the_rest_of_the_run_has_to_take_place_however_long_the_stay_is() -> None:
    assert prolonged(AGE + ELAPSED, assumed=z3.Or(z3.Not(MIDDLE), AGE <= 200)) is None


def test_every_scan_of_the_stay_has_to_meet_the_assumptions() -> None:
    assert prolonged(AGE + ELAPSED, assumed=z3.Or(z3.Not(PUSH), AGE <= 200)) is None


def test_what_the_solver_does_not_know_is_not_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(z3.Solver, "check", lambda *_: z3.unknown)
    assert prolonged(AGE + ELAPSED) is None
