"""How far a search by events says that it has looked."""

from __future__ import annotations

import pytest
import z3
from twohand.engine.search import jumps
from twohand.engine.search.jumps import search_events
from twohand.engine.system.budget import Budget
from twohand.engine.system.contract import Unknown
from twohand.scan.transition_system import TransitionSystem

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


def test_events_are_claimed_where_every_run_was_looked_at() -> None:
    system, bad = lamp(1000)
    never = z3.And(bad, z3.Int("age") < 0)
    answer = finished(search_events(system, never, Budget(30), most=9))
    assert answer == Unknown("the bound was reached", events=9, scans=9)
