"""How far a search says that it has looked, and what it looks at."""

from __future__ import annotations

import pytest
import z3
from twohand.engine.search import jumps
from twohand.engine.search.bounded import search_scans
from twohand.engine.search.jumps import search_events
from twohand.engine.system.budget import Budget
from twohand.engine.system.contract import Unknown, Violated
from twohand.scan.transition_system import StateVariable, TransitionSystem

from tests.support.samples.engine_systems import ELAPSED, SCANS, boolean, clock
from tests.support.samples.small_models import finished

PUSH = z3.Bool("push")


def lamp(threshold: int) -> tuple[TransitionSystem, z3.BoolRef]:
    """A lamp that is on once a button was held for so long, and a scan that finds it on."""
    age = z3.Int("age")
    states = (
        clock("age", z3.If(PUSH, age + ELAPSED, 0)),
        boolean("lamp", z3.And(PUSH, age + ELAPSED >= threshold)),
    )
    return TransitionSystem(states, (PUSH,), ELAPSED, SCANS, 5, 20, 1), z3.Bool("lamp")


def test_events_are_not_claimed_where_a_run_was_too_long_to_be_looked_at(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The run to the lamp takes 50 scans of 20; none is executed that has more than 30."""
    monkeypatch.setattr(jumps, "_MOST_SCANS", 30)
    system, bad = lamp(1000)
    answer = finished(search_events(system, bad, Budget(30), most=9))
    assert answer == Unknown("the bound was reached", events=0, scans=9)


@pytest.mark.parametrize("most", [4, 5, 6, 7])
def test_a_run_that_was_too_long_before_jumps_were_weighed_is_not_forgotten(
    most: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whether jumps are exact is weighed after the run to the lamp was passed over."""
    monkeypatch.setattr(jumps, "_MOST_SCANS", 30)
    system, bad = lamp(1000)
    age = z3.Int("age")
    once = z3.And(bad, age == 1000)
    assert isinstance(finished(search_events(lamp(400)[0], bad, Budget(30), most=most)), Violated)
    answer = finished(search_events(system, once, Budget(30), most=most))
    assert answer == Unknown("the bound was reached", events=0, scans=most)


def test_events_are_claimed_where_every_run_was_looked_at() -> None:
    system, bad = lamp(1000)
    never = z3.And(bad, z3.Int("age") < 0)
    answer = finished(search_events(system, never, Budget(30), most=9))
    assert answer == Unknown("the bound was reached", events=9, scans=9)


def test_an_event_is_counted_once_it_was_searched() -> None:
    """One event deeper at a time, until the lamp is found on."""
    system, bad = lamp(1000)
    for most in range(1, 10):
        answer = finished(search_events(system, bad, Budget(30), most=most))
        if isinstance(answer, Violated):
            break
        assert answer == Unknown("the bound was reached", events=most, scans=most)
    else:
        raise AssertionError("the lamp was never found")
    assert most > 2


def test_what_cannot_be_missed_is_not_jumped_over() -> None:
    """The lamp is on from 300 to 340, in scans of 20 at most: nobody is at 400 without having seen
    it. The first guess at a jump would be, and what it leads to is no run."""
    age, seen = z3.Int("age"), z3.Bool("seen")
    inside = z3.And(age + ELAPSED >= 300, age + ELAPSED <= 340)
    states = (
        clock("age", z3.If(PUSH, age + ELAPSED, 0)),
        boolean("seen", z3.And(PUSH, z3.Or(seen, inside))),
    )
    system = TransitionSystem(states, (PUSH,), ELAPSED, SCANS, 5, 20, 1)
    missed = z3.And(PUSH, age + ELAPSED >= 400, z3.Not(seen))
    answer = finished(search_events(system, missed, Budget(60), most=8))
    assert answer == Unknown("the bound was reached", events=8, scans=8)


def test_what_every_scan_counts_is_not_jumped_over() -> None:
    """A number that each scan with the button moves on by one is no clock: 300 at 20 a scan take
    15 of them."""
    age, steps = z3.Ints("age steps")
    states = (
        clock("age", z3.If(PUSH, age + ELAPSED, 0)),
        StateVariable("steps", steps, z3.IntVal(0), z3.If(PUSH, steps + 1, 0)),
    )
    system = TransitionSystem(states, (PUSH,), ELAPSED, SCANS, 5, 20, 1)
    early = z3.And(age >= 300, steps <= 10)
    answer = finished(search_events(system, early, Budget(60), most=8))
    assert answer == Unknown("the bound was reached", events=8, scans=8)


def test_what_takes_some_scans_to_settle_is_not_jumped_over() -> None:
    """Three scans with the button turn on the third of a chain: who is at 300 has done 15. A jump
    that let the chain move on by one scan only would be there before it is on."""
    age = z3.Int("age")
    first, second = z3.Bools("first second")
    states = (
        clock("age", z3.If(PUSH, age + ELAPSED, 0)),
        boolean("first", PUSH),
        boolean("second", z3.And(PUSH, first)),
        boolean("third", z3.And(PUSH, second)),
    )
    system = TransitionSystem(states, (PUSH,), ELAPSED, SCANS, 5, 20, 1)
    early = z3.And(age >= 300, z3.Not(z3.Bool("third")))
    answer = finished(search_events(system, early, Budget(60), most=8))
    assert answer == Unknown("the bound was reached", events=8, scans=8)


def test_scans_that_are_searched_take_no_longer_than_they_may() -> None:
    """The clock is beyond 50 after three scans of 20."""
    age = z3.Int("age")
    states = (clock("age", z3.If(PUSH, age + ELAPSED, 0)),)
    system = TransitionSystem(states, (PUSH,), ELAPSED, SCANS, 5, 20, 1)
    answer = finished(search_scans(system, age >= 50, Budget(30), most=6))
    assert isinstance(answer, Violated)
    assert len(answer.steps) == 4
    assert finished(search_scans(system, age >= 50, Budget(30), most=3)) == Unknown(
        "the bound was reached", scans=3
    )
