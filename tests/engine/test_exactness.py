"""The jump over quiet time: when it is exact, and that it is not claimed where it is not."""

from __future__ import annotations

from dataclasses import replace

import z3
from twohand.engine.search.jump_exactness import exact_guard, first_guard
from twohand.engine.search.jumps import search_events
from twohand.engine.system.budget import Budget
from twohand.engine.system.cone import cone
from twohand.engine.system.contract import Unknown, Violated
from twohand.engine.system.unrolling import Guard
from twohand.scan.clocking import Clocking
from twohand.scan.sorts import boolean as boolean_term
from twohand.scan.symbolic.encode import encode
from twohand.scan.transition_system import StateKind, StateVariable, TransitionSystem

from tests.support.meaning.typed_programs import PLAIN, program
from tests.support.samples.engine_systems import boolean, clock, two_hand
from tests.support.samples.small_models import finished

ELAPSED, SCANS = z3.Int("elapsed"), z3.Int("scans")
PUSH = z3.Bool("push")


def system(*states: StateVariable, scan: tuple[int, int] = (5, 20)) -> TransitionSystem:
    return TransitionSystem(states, (PUSH,), ELAPSED, SCANS, *scan, 1)


def weighed(transitions: TransitionSystem, bad: z3.BoolRef) -> Guard | None:
    weighing = exact_guard(transitions, bad, Budget(30))
    try:
        while True:
            next(weighing)
    except StopIteration as end:
        guard: Guard | None = end.value
        return guard


def flash(window: z3.BoolRef) -> tuple[TransitionSystem, z3.BoolRef]:
    """A clock that runs while pushed, a lamp that is on while the clock is in ``window`` (over
    ``age``, after this scan's time), and a bad scan in which the lamp was on."""
    age, lamp = z3.Int("age"), z3.Bool("lamp")
    late = z3.substitute(window, (age, age + ELAPSED))
    states = system(
        clock("age", z3.If(PUSH, age + ELAPSED, 0)), boolean("lamp", z3.And(PUSH, late))
    )
    return states, lamp


def test_jumps_of_a_two_hand_block_are_exact_with_all_its_clocks_free() -> None:
    block = two_hand()
    bad = block.bad["start_window"]
    reduced = cone(block.system, bad)
    assert weighed(reduced, bad) == first_guard(reduced)
    assert "age" not in {state.name for state in first_guard(reduced).fixed}


def test_the_side_of_a_threshold_is_kept_where_a_lamp_follows_it() -> None:
    age = z3.Int("age")
    transitions, bad = flash(age >= 300)
    guard = weighed(transitions, bad)
    assert guard == Guard(first_guard(transitions).fixed, (age <= 299,))


def test_a_pulse_inside_a_jump_is_not_jumped_over() -> None:
    age = z3.Int("age")
    transitions, bad = flash(z3.And(age >= 300, age <= 330))
    guard = weighed(transitions, bad)
    assert guard is not None
    assert guard.watched
    answer = finished(search_events(transitions, bad, Budget(30)))
    assert isinstance(answer, Violated)


def test_a_value_compared_for_equality_is_a_limit_of_jumps() -> None:
    transitions, bad = flash(z3.Int("age") == 490)
    guard = weighed(transitions, bad)
    assert guard is not None
    assert guard.watched
    assert isinstance(finished(search_events(transitions, bad, Budget(30))), Violated)


def test_a_number_that_steps_by_scans_unknown_to_the_jump_is_kept() -> None:
    steps = z3.Int("steps")
    state = StateVariable("steps", steps, z3.IntVal(0), steps + 1, StateKind.CLOCK)
    transitions = system(state, boolean("lamp", PUSH))
    guard = weighed(transitions, steps > 15)
    assert guard is not None
    assert "steps" in {state.name for state in guard.fixed}


def test_where_no_jump_is_exact_only_single_scans_are_claimed() -> None:
    odd = z3.Int("age") % 7 == 3
    transitions, lamp = flash(odd)
    assert weighed(transitions, lamp) is None
    never = z3.And(lamp, z3.Int("age") < 0)
    answer = finished(search_events(transitions, never, Budget(30), most=8))
    assert isinstance(answer, Unknown)
    assert (answer.events, answer.scans) == (0, 8)


def test_a_copy_of_a_clock_does_not_forbid_jumps() -> None:
    age, rest = z3.Ints("age rest")
    states = (
        clock("age", z3.If(PUSH, age + ELAPSED, 0)),
        StateVariable(
            "rest", rest, z3.IntVal(500), z3.If(PUSH, 500 - (age + ELAPSED), z3.IntVal(500))
        ),
    )
    transitions = system(*states, scan=(1, 1))
    answer = finished(search_events(transitions, rest <= 0, Budget(30), most=4))
    assert isinstance(answer, Violated)
    assert len(answer.steps) == 501


def test_an_exact_search_counts_events() -> None:
    block = two_hand(preset=5000, window=5000)
    bad = block.bad["start_window"]
    answer = finished(search_events(cone(block.system, bad), bad, Budget(60), most=7))
    assert answer == Unknown("the bound was reached", events=7, scans=7)


def test_a_clock_that_counts_scans_does_not_forbid_jumps() -> None:
    waited = z3.Int("waited")
    state = clock("waited", z3.If(PUSH, waited + SCANS, 0))
    transitions = system(state, boolean("lamp", PUSH))
    assert weighed(transitions, waited > 15) == first_guard(transitions)


def test_a_clock_that_begins_below_zero_may_pass_something_there() -> None:
    """A lamp is on while the clock is between -50 and -20."""
    age, lamp = z3.Int("age"), z3.Bool("lamp")
    late = age + ELAPSED
    states = (
        replace(clock("age", z3.If(PUSH, late, age)), initial=z3.IntVal(-100)),
        boolean("lamp", z3.And(PUSH, late >= -50, late <= -20)),
    )
    guard = weighed(system(*states), lamp)
    assert guard is not None
    assert guard.watched


def test_an_assumption_that_a_clock_decides_holds_in_every_scan_of_a_jump() -> None:
    """The button may be held only while the clock is at most 100."""
    age = z3.Int("age")
    states = (clock("age", z3.If(PUSH, age + ELAPSED, 0)), boolean("lamp", PUSH))
    transitions = system(*states).extended(constraints=(z3.Or(z3.Not(PUSH), age <= 100),))
    guard = weighed(transitions, age > 200)
    assert guard is None or guard.watched


def test_jumps_over_readings_of_the_clock_are_exact_with_their_ages_free() -> None:
    """But for those over the scan in which an age comes round."""
    declared = (
        "VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR "
        "VAR began : TIME; on : BOOL; END_VAR"
    )
    body = (
        "IF NOT a OR NOT on THEN began := TIME(); on := TRUE; END_IF; q := TIME() - began >= T#5s;"
    )
    clocking = Clocking(1_000_000, 5, 20)
    encoded = encode(program(declared, body), clocking, PLAIN)
    bad = boolean_term(encoded.system.signals["q"])
    whole = cone(encoded.system, bad)
    answer = finished(search_events(whole, bad, Budget(30), most=5))
    assert isinstance(answer, Violated)
    assert len(answer.steps) >= 251
    guard = weighed(whole, bad)
    assert guard is not None
    assert "began#since" not in {state.name for state in guard.fixed}
    assert [str(clock) for clock in guard.growing] == ["began#since"]
