"""Programs that count scans instead of time, and many clocks side by side.

What must come out is arithmetic: n scans of 1 to 2 units take n to 2 n units.
"""

from __future__ import annotations

import pytest
import z3
from twohand.engine.proof.ic3 import prove
from twohand.engine.search.jumps import search_events
from twohand.engine.system.budget import Budget
from twohand.engine.system.contract import Answer, Proved, Violated
from twohand.engine.system.invariant import first_failed_obligation
from twohand.scan.transition_system import StateVariable, TransitionSystem

from tests.support.samples.engine_systems import ELAPSED, SCANS, boolean, clock
from tests.support.samples.small_models import finished

PUSH, OTHER = z3.Bools("push other")
NEVER = z3.BoolVal(False)
AGE, COUNT = z3.Ints("age count")
BEGUN = z3.Bool("begun")
RUNNING = clock("age", z3.If(z3.And(PUSH, BEGUN), AGE + ELAPSED, 0))
"""Time since the button was seen on for the first time, 0 in that scan."""

UP = StateVariable("count", COUNT, z3.IntVal(0), z3.If(PUSH, COUNT + 1, 0))
SATURATING = StateVariable(
    "count",
    COUNT,
    z3.IntVal(0),
    z3.If(PUSH, z3.If(COUNT < 60, COUNT + 1, COUNT), 0),
)
DOWN = StateVariable(
    "count",
    COUNT,
    z3.IntVal(60),
    z3.If(PUSH, z3.If(COUNT > 0, COUNT - 1, COUNT), 60),
)
BY_THREE = StateVariable("count", COUNT, z3.IntVal(5), z3.If(PUSH, COUNT + 3, 5))


def system_of(count: StateVariable) -> TransitionSystem:
    states = (count, RUNNING, boolean("begun", PUSH))
    return TransitionSystem(states, (PUSH, OTHER), ELAPSED, SCANS, 1, 2, 1)


def proved(system: TransitionSystem, bad: z3.BoolRef, effort: float = 3.0) -> bool:
    answer: Answer = finished(prove(system, bad, Budget(effort)))
    if not isinstance(answer, Proved):
        return False
    assert first_failed_obligation(system, bad, answer.clauses) is None
    return True


@pytest.mark.parametrize(
    ("count", "counted_less", "counted_more"),
    [
        pytest.param(UP, COUNT <= 50, COUNT >= 52, id="up"),
        pytest.param(SATURATING, COUNT <= 50, COUNT >= 52, id="up to 60"),
        pytest.param(DOWN, COUNT >= 10, COUNT <= 8, id="down from 60"),
        pytest.param(BY_THREE, COUNT <= 155, COUNT >= 161, id="by three from 5"),
    ],
)
def test_a_count_of_scans_bounds_the_time_from_both_sides(
    count: StateVariable, counted_less: z3.BoolRef, counted_more: z3.BoolRef
) -> None:
    """The clock is 0 where one is counted: 50 counted are at most 98 units, 52 at least 51."""
    system = system_of(count)
    assert proved(system, z3.And(counted_less, AGE > 98))
    assert proved(system, z3.And(counted_more, AGE < 51))


@pytest.mark.parametrize(
    ("count", "bad"),
    [
        pytest.param(UP, z3.And(COUNT == 50, AGE == 98), id="the greatest time"),
        pytest.param(UP, z3.And(COUNT == 52, AGE == 51), id="the least time"),
        pytest.param(SATURATING, z3.And(COUNT == 60, AGE == 110), id="up to the greatest"),
        pytest.param(DOWN, z3.And(COUNT == 10, AGE == 98), id="down"),
    ],
)
def test_what_a_count_of_scans_allows_is_found_in_a_few_events(
    count: StateVariable, bad: z3.BoolRef
) -> None:
    answer = finished(search_events(system_of(count), bad, Budget(3.0), most=5))
    assert isinstance(answer, Violated)
    assert len(answer.steps) > 50


@pytest.mark.parametrize("last", [999, 30_000])
def test_a_count_that_leaves_its_range_is_reached_in_one_jump(last: int) -> None:
    answer = finished(search_events(system_of(UP), last < COUNT, Budget(3.0), most=4))
    assert isinstance(answer, Violated)
    assert len(answer.steps) == last + 2


def test_what_is_counted_by_edges_is_not_taken_for_scans() -> None:
    """One is counted when the button goes on: 20 of them are at least 39 scans."""
    on = z3.Bool("on")
    edges = StateVariable(
        "count", COUNT, z3.IntVal(0), z3.If(z3.And(PUSH, z3.Not(on)), COUNT + 1, COUNT)
    )
    time = z3.Int("time")
    states = (edges, boolean("on", PUSH), clock("time", time + ELAPSED))
    system = TransitionSystem(states, (PUSH,), ELAPSED, SCANS, 1, 2, 1)
    for most in range(1, 7):
        answer = finished(search_events(system, COUNT >= 3, Budget(5.0), most=most))
        if isinstance(answer, Violated):
            break
        assert answer.events == most
    assert isinstance(answer, Violated)
    assert len(answer.steps) == most == 6


def many_clocks(*states: StateVariable, reset: z3.BoolRef = NEVER) -> TransitionSystem:
    """Twenty clocks beside these states, each with a button of its own and of no use."""
    buttons = [z3.Bool(f"button{n}") for n in range(20)]
    beside = tuple(
        clock(f"clock{n}", z3.If(z3.And(button, z3.Not(reset)), z3.Int(f"clock{n}") + ELAPSED, 0))
        for n, button in enumerate(buttons)
    )
    inputs = (PUSH, OTHER, *buttons)
    return TransitionSystem((*beside, *states), inputs, ELAPSED, SCANS, 1, 2, 1)


FIRST, SECOND = z3.Ints("first second")


def test_clocks_of_a_common_input_are_compared_among_many() -> None:
    restarts = z3.Or(PUSH, OTHER)
    first = clock("first", z3.If(PUSH, 0, FIRST + ELAPSED))
    second = clock("second", z3.If(restarts, 0, SECOND + ELAPSED))
    used = z3.Or([z3.Int(f"clock{n}") < 0 for n in range(20)])
    system = many_clocks(first, second)
    assert proved(system, z3.Or(used, z3.And(FIRST < 500, SECOND > 500)), 6.0)


def test_clocks_that_only_states_relate_are_compared_where_the_proof_needs_it() -> None:
    """Of all the clocks that a common state resets, two: with every pair of them it takes more."""
    held, both = z3.Bools("held both")
    first = clock("first", z3.If(held, 0, FIRST + ELAPSED))
    second = clock("second", z3.If(z3.Or(held, both), 0, SECOND + ELAPSED))
    states = (first, second, boolean("held", PUSH), boolean("both", OTHER))
    system = many_clocks(*states, reset=held)
    used = z3.Or([z3.Int(f"clock{n}") < 0 for n in range(20)])
    assert proved(system, z3.Or(used, z3.And(FIRST < 500, SECOND > 500)), 2.0)
