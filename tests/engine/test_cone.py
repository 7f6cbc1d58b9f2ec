"""A cone of influence has all that the question can depend on, first values and ranges too."""

from __future__ import annotations

import z3
from twohand.engine.portfolio import decide
from twohand.engine.system.cone import cone
from twohand.engine.system.contract import Proved, Violated
from twohand.scan.transition_system import StateVariable, TransitionSystem

from tests.support.samples.engine_systems import ELAPSED, SCANS, boolean


def system(
    *states: StateVariable,
    inputs: tuple[z3.ExprRef, ...] = (),
    ranges: tuple[z3.BoolRef, ...] = (),
    initial: tuple[z3.BoolRef, ...] = (),
) -> TransitionSystem:
    return TransitionSystem(
        states, inputs, ELAPSED, SCANS, 1, 1, 1, ranges=ranges, initial_constraints=initial
    )


def test_a_state_that_begins_as_another_one_keeps_that_one() -> None:
    free, copy = z3.Bools("free copy")
    whole = system(
        StateVariable("free", free, None, z3.BoolVal(False)),
        StateVariable("copy", copy, free, copy),
        boolean("spare", free),
    )
    assert [state.name for state in cone(whole, copy).states] == ["free", "copy"]
    assert isinstance(decide(whole, copy, 10), Violated)


def test_what_restricts_the_first_state_is_kept() -> None:
    free, other = z3.Bools("free other")
    whole = system(
        StateVariable("free", free, None, free),
        StateVariable("other", other, None, other),
        initial=(z3.Not(z3.And(free, other)), other),
    )
    assert [state.name for state in cone(whole, free).states] == ["free", "other"]
    assert isinstance(decide(whole, free, 10), Proved)


def test_an_input_has_the_range_of_its_type_in_every_cone() -> None:
    step, other = z3.Ints("step other")
    last = z3.Int("last")
    whole = system(
        StateVariable("last", last, z3.IntVal(0), step),
        inputs=(step, other),
        ranges=(step >= 0, step <= 3, other >= 0),
    )
    reduced = cone(whole, last > 3)
    assert reduced.inputs == (step,)
    assert reduced.ranges == (step >= 0, step <= 3)
    assert isinstance(decide(whole, last > 3, 10), Proved)
