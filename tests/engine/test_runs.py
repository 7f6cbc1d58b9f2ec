"""A run that a search gives counts only where every scan of it is one of the system."""

from __future__ import annotations

import z3
from twohand.engine.system.contract import Step, Violated
from twohand.engine.system.runs import Simulator
from twohand.program.types import Value
from twohand.scan.transition_system import StateVariable, TransitionSystem

COUNT, STEP, FREE = z3.Int("count"), z3.Int("step"), z3.Bool("free")
SYSTEM = TransitionSystem(
    states=(
        StateVariable("count", COUNT, z3.IntVal(0), COUNT + STEP),
        StateVariable("free", FREE, None, FREE),
    ),
    inputs=(STEP,),
    elapsed=z3.Int("elapsed"),
    scans=z3.Int("scans"),
    shortest=5,
    longest=20,
    tick=1,
    ranges=(STEP >= 0, STEP <= 3),
    constraints=(STEP != 2,),
    initial_constraints=(z3.Not(FREE),),
)
"""A counter: steps of 2 are excluded by an assumption, those beyond 3 by the type of the input."""
BAD = COUNT >= 3


def run(*steps: int, elapsed: int = 10, initial: dict[str, Value] | None = None) -> Violated:
    scans = tuple(Step({"step": step}, elapsed) for step in steps)
    return Violated(scans, initial or {"free": False}, "a search")


def confirmed(tried: Violated, whole: bool = False) -> int | None:
    """The number of its scans that count, None where it is no run to a bad scan."""
    found = Simulator(SYSTEM, BAD).confirmed(tried, whole)
    return None if found is None else len(found.steps)


def test_a_run_ends_at_its_first_bad_scan() -> None:
    assert confirmed(run(3, 0)) == 2
    assert confirmed(run(1, 1, 1, 0, 1, 1)) == 4


def test_a_run_without_a_bad_scan_is_none() -> None:
    assert confirmed(run(1, 1, 1)) is None
    assert confirmed(run(0, 0, 0, 0)) is None


def test_a_run_that_is_kept_whole_is_bad_in_its_last_scan() -> None:
    assert confirmed(run(3, 0, 0), whole=True) == 3
    falling = z3.And(COUNT >= 3, COUNT <= 4)
    assert Simulator(SYSTEM, falling).confirmed(run(3, 3, 0), whole=True) is None


def test_a_run_that_breaks_an_assumption_is_none() -> None:
    assert confirmed(run(1, 2, 0)) is None
    assert confirmed(run(3, 2)) is None, "the bad scan itself has to be allowed"


def test_an_input_outside_of_its_type_is_none() -> None:
    assert confirmed(run(4, 0)) is None
    assert confirmed(run(-1, 3, 3, 0)) is None


def test_a_scan_takes_a_time_between_the_shortest_and_the_longest() -> None:
    assert confirmed(run(3, 0, elapsed=5)) == confirmed(run(3, 0, elapsed=20)) == 2
    assert confirmed(run(3, 0, elapsed=4)) is None
    assert confirmed(run(3, 0, elapsed=21)) is None


def test_a_run_begins_where_runs_may() -> None:
    assert confirmed(run(3, 0, initial={"free": True})) is None
