"""Systems made plainer: inputs at one value, numbers of few values; answers lead back."""

from __future__ import annotations

import pytest
import z3
from twohand.engine.portfolio import decide
from twohand.engine.reduction.few_values import METHOD, with_flags
from twohand.engine.reduction.fixed_inputs import with_fixed_inputs
from twohand.engine.system.contract import Proved, Unknown, Violated
from twohand.engine.system.invariant import first_failed_obligation
from twohand.engine.system.terms import name, symbols
from twohand.scan.transition_system import StateVariable, TransitionSystem

from tests.support.samples.engine_systems import ELAPSED, FALSE, SCANS, boolean, clock

PUSH, CLOSED = z3.Bools("push closed")
PRESET, LEVEL, AGE = z3.Ints("preset level age")
HIGH = z3.Int("high")


def system_of(
    *states: StateVariable,
    inputs: tuple[z3.ExprRef, ...] = (PUSH, CLOSED, LEVEL),
    assumed: tuple[z3.BoolRef, ...] = (),
    ranges: tuple[z3.BoolRef, ...] = (),
) -> TransitionSystem:
    return TransitionSystem(
        states, inputs, ELAPSED, SCANS, 1, 2, 1, ranges=ranges, constraints=assumed
    )


def timed(preset: z3.ExprRef) -> tuple[StateVariable, StateVariable]:
    """What a timer latches while it does not run, and how long it runs."""
    latched = StateVariable(
        "preset", PRESET, z3.IntVal(0), z3.If(z3.And(PUSH, AGE > 0), PRESET, preset)
    )
    return latched, clock("age", z3.If(PUSH, AGE + ELAPSED, 0))


# --- inputs at one value --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("assumed", "values"),
    [
        ((LEVEL == 5,), {"level": 5}),
        ((z3.IntVal(5) == LEVEL,), {"level": 5}),
        ((CLOSED,), {"closed": True}),
        ((z3.Not(CLOSED),), {"closed": False}),
        ((z3.And(CLOSED, z3.And(LEVEL == 5, z3.Or(PUSH, CLOSED))),), {"closed": True, "level": 5}),
        ((LEVEL == HIGH, HIGH == 7), {"high": 7, "level": 7}),
        ((z3.Or(LEVEL == 5, CLOSED),), {}),
        ((z3.Implies(PUSH, LEVEL == 5),), {}),
        ((LEVEL >= 5,), {}),
        ((AGE == 5,), {}),
    ],
)
def test_only_what_holds_in_every_scan_is_put_in(
    assumed: tuple[z3.BoolRef, ...], values: dict[str, object]
) -> None:
    system = system_of(*timed(LEVEL), inputs=(PUSH, CLOSED, LEVEL, HIGH), assumed=assumed)
    fixed = with_fixed_inputs(system, z3.And(CLOSED, LEVEL < 3))
    assert fixed.values == values
    assert {name(each) for each in fixed.system.inputs}.isdisjoint(values)
    left = symbols([fixed.bad, *fixed.system.constraints, *(s.update for s in fixed.system.states)])
    assert {name(each) for each in left}.isdisjoint(values)


@pytest.mark.parametrize(
    ("assumed", "ranges"),
    [
        ((LEVEL == 5, LEVEL == 6), ()),
        ((CLOSED, z3.Not(CLOSED)), ()),
        ((LEVEL == 5,), (LEVEL <= 4,)),
    ],
)
def test_where_assumptions_contradict_each_other_the_system_stays_as_it_is(
    assumed: tuple[z3.BoolRef, ...], ranges: tuple[z3.BoolRef, ...]
) -> None:
    system = system_of(*timed(LEVEL), assumed=assumed, ranges=ranges)
    fixed = with_fixed_inputs(system, PUSH)
    assert (fixed.system, fixed.values) == (system, {})


def test_a_run_gives_the_inputs_their_values_in_every_scan() -> None:
    system = system_of(*timed(LEVEL), assumed=(LEVEL == 3, CLOSED))
    answer = decide(system, z3.And(PUSH, AGE >= PRESET, PRESET > 0, CLOSED), 20)
    assert isinstance(answer, Violated)
    assert len(answer.steps) >= 3
    given = {(step.inputs.get("level"), step.inputs.get("closed")) for step in answer.steps}
    assert given == {(3, True)}


# --- numbers of few values ------------------------------------------------------------------------


def test_a_preset_that_is_compared_with_a_clock_becomes_flags() -> None:
    system = system_of(*timed(z3.If(CLOSED, z3.IntVal(30), z3.IntVal(50))))
    bad = z3.And(AGE >= PRESET, PUSH)
    flagged = with_flags(system, bad)
    assert [name(flag) for flag in flagged.numbers[0].flags] == ["#preset is 30", "#preset is 50"]
    assert "preset" not in {state.name for state in flagged.system.states}
    assert "preset" not in {name(each) for each in symbols([flagged.bad])}


@pytest.mark.parametrize(
    ("update", "bad"),
    [
        (z3.If(PUSH, LEVEL, PRESET), AGE >= PRESET),
        (z3.If(PUSH, PRESET + 1, PRESET), AGE >= PRESET),
        (z3.If(PUSH, z3.IntVal(3), PRESET), PRESET == 3),
    ],
)
def test_a_number_of_other_values_or_of_no_order_stays_one(
    update: z3.ArithRef, bad: z3.BoolRef
) -> None:
    states = StateVariable("preset", PRESET, z3.IntVal(0), update), clock("age", AGE + ELAPSED)
    assert with_flags(system_of(*states), bad).numbers == ()


def test_a_number_without_a_first_value_or_with_too_many_stays_one() -> None:
    many = PRESET
    for value in range(1, 6):
        many = z3.If(z3.And(PUSH, value == LEVEL), z3.IntVal(value), many)
    age = clock("age", AGE + ELAPSED)
    open_one = StateVariable("preset", PRESET, None, z3.If(PUSH, z3.IntVal(3), PRESET))
    for state in (StateVariable("preset", PRESET, z3.IntVal(0), many), open_one):
        assert with_flags(system_of(state, age), AGE >= PRESET).numbers == ()


def test_a_proof_with_flags_is_one_of_the_numbers() -> None:
    """The output needs the preset to be reached, and is bad before 30."""
    output = boolean("output", z3.And(PUSH, AGE >= PRESET, PRESET > 0))
    begun = boolean("begun", z3.BoolVal(True))
    latched, age = timed(z3.If(CLOSED, z3.IntVal(30), z3.IntVal(50)))
    system = system_of(latched, age, output, begun)
    bad = z3.And(PUSH, AGE >= PRESET, PRESET > 0, AGE < 30)
    answer = decide(system, bad, 20)
    assert isinstance(answer, Proved)
    assert METHOD in answer.method
    assert first_failed_obligation(system, bad, answer.clauses) is None
    assert {name(each) for each in symbols(answer.clauses)} <= {"preset", "age"}


def test_with_constants_put_in_a_latched_preset_is_decided() -> None:
    """A preset that an assumption fixes is proved like one that the text states."""
    system = system_of(*timed(LEVEL), assumed=(LEVEL == 480,))
    bad = z3.And(PUSH, AGE >= PRESET, PRESET > 0, AGE < 480)
    answer = decide(system, bad, 20)
    assert isinstance(answer, Proved)
    assert first_failed_obligation(system, bad, answer.clauses) is None
    other = decide(system, z3.And(PUSH, AGE >= PRESET, PRESET > 0, AGE < 481), 60)
    assert isinstance(other, Violated | Unknown)
    assert not isinstance(other, Unknown), other.reason


def test_what_is_never_bad_in_any_state_of_few_values_is_proved() -> None:
    system = system_of(*timed(z3.IntVal(30)), boolean("spare", FALSE))
    bad = z3.And(PRESET > 30, AGE >= PRESET)
    answer = decide(system, bad, 20)
    assert isinstance(answer, Proved)
    assert first_failed_obligation(system, bad, answer.clauses) is None
