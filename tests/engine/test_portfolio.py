"""The portfolio on a two-hand block of type III: verdicts, and their independence of the window."""

from __future__ import annotations

import pytest
import z3
from twohand.engine.portfolio import decide, decide_by_chc
from twohand.engine.search.jumps import maximise
from twohand.engine.system.cone import cone
from twohand.engine.system.contract import EngineContradiction, Proved, Violated
from twohand.engine.system.invariant import established, first_failed_obligation
from twohand.engine.system.runs import Simulator
from twohand.scan.transition_system import TransitionSystem

from tests.support.samples.engine_systems import TwoHand, boolean, clock, two_hand
from tests.support.tiers import rows

SCANS = pytest.mark.parametrize("scan", [(1, 1), (10, 10), (20, 20), (5, 20)], ids=str)
SCALES = pytest.mark.parametrize("scale", rows([1, 10, 100], lambda scale: scale > 1))


def is_proved(block: TwoHand, requirement: str) -> bool:
    bad = block.bad[requirement]
    answer = decide(block.system, bad, 60)
    return (
        isinstance(answer, Proved)
        and first_failed_obligation(block.system, bad, answer.clauses) is None
    )


def violation(block: TwoHand, requirement: str) -> Violated:
    bad = block.bad[requirement]
    answer = decide(block.system, bad, 60)
    assert isinstance(answer, Violated)
    assert Simulator(block.system, bad).confirmed(answer) == answer
    return answer


@SCANS
@SCALES
def test_the_correct_block_is_proved_whatever_its_window(scan: tuple[int, int], scale: int) -> None:
    block = two_hand(500 * scale, 500 * scale, scan)
    assert all(is_proved(block, requirement) for requirement in block.bad)


@SCANS
@SCALES
def test_any_edge_of_both_hands_violates_the_window(scan: tuple[int, int], scale: int) -> None:
    run = violation(two_hand(500 * scale, 500 * scale, scan, "edge"), "start_window")
    time = sum(step.elapsed for step in run.steps[1:])
    assert time > 500 * scale


def test_a_preset_one_scan_too_long_is_found() -> None:
    assert is_proved(two_hand(501, 500, (5, 20)), "start_window")
    violation(two_hand(502, 500, (5, 20)), "start_window")


def test_arming_by_one_release_violates_release_of_both() -> None:
    assert len(violation(two_hand(fault="rearm"), "release_both").steps) == 4


def test_a_kept_start_violates_both_hands() -> None:
    assert len(violation(two_hand(fault="latched"), "both_hands").steps) == 3


@pytest.mark.long
def test_a_run_says_which_reading_it_needs() -> None:
    block = two_hand(505, 500, (20, 20))
    counted = z3.And(block.bad["start_window"], z3.Bool("counts"))
    assert isinstance(decide(block.system, counted, 60), Proved)
    block = two_hand(521, 500, (20, 20))
    answer = decide(block.system, block.bad["start_window"], 60)
    assert isinstance(answer, Violated)
    assert set(answer.initial) == {"counts"}


@SCANS
def test_the_widest_lag_is_the_last_multiple_before_the_preset(scan: tuple[int, int]) -> None:
    block = two_hand(500, 500, scan)
    found = maximise(block.system, block.starts, block.lag, 60)
    assert found is not None
    widest, run = found
    assert widest == {(1, 1): 499, (10, 10): 490, (20, 20): 480, (5, 20): 499}[scan]
    simulator = Simulator(block.system, block.starts, block.lag)
    assert simulator.confirmed(run) == run
    assert simulator.measured(run) == widest


@pytest.mark.long
def test_a_lag_without_limit_is_followed_for_a_while_only() -> None:
    block = two_hand(500, 500, (10, 10), "edge")
    found = maximise(block.system, block.starts, block.lag, 60)
    assert found is not None
    assert found[0] > 100_000


@pytest.mark.long
def test_what_is_never_reached_has_no_greatest_value() -> None:
    block = two_hand()
    condition = z3.And(block.starts, z3.Not(block.starts))
    assert maximise(block.system, condition, block.lag, 1) is None


def test_the_horn_clause_engine_comes_to_the_same_verdicts() -> None:
    block, broken = two_hand(50, 50), two_hand(50, 50, fault="edge")
    for requirement, bad in block.bad.items():
        assert isinstance(decide_by_chc(block.system, bad, 60), Proved), requirement
    assert isinstance(decide_by_chc(broken.system, broken.bad["start_window"], 60), Violated)


def test_an_invariant_that_does_not_hold_is_a_contradiction() -> None:
    block = two_hand(fault="latched")
    run, armed = z3.Bools("run armed")
    for clauses, message in (
        ([z3.Not(run)], "a scan leaves it"),
        ([armed, z3.Not(armed)], "an initial state is outside"),
        ([z3.BoolVal(True)], "it allows a bad scan"),
    ):
        with pytest.raises(EngineContradiction, match=message):
            established(block.system, block.bad["both_hands"], clauses, "test")


def test_the_slice_keeps_what_the_bad_term_and_the_assumptions_need() -> None:
    block = two_hand()
    reduced = cone(block.system, block.bad["both_hands"])
    assert {s.name for s in reduced.states} == {"armed", "run", "timer_in", "age", "counts"}
    assert {str(i) for i in reduced.inputs} == {"left", "right"}
    spare, other = z3.Bools("spare other")
    more = block.system.extended((boolean("spare", other), boolean("other", other)))
    assert cone(more, block.bad["both_hands"]) == reduced
    assumed = more.extended(constraints=(z3.Not(spare),))
    assert {"spare", "other"} < {s.name for s in cone(assumed, block.bad["both_hands"]).states}


@pytest.mark.parametrize("scale", [1, 20])
def test_a_wait_in_time_is_bounded_in_scans_by_the_shortest_scan(scale: int) -> None:
    push = z3.Bool("push")
    age, waited = z3.Ints("age waited")
    elapsed, scans = z3.Int("elapsed"), z3.Int("scans")
    lit = z3.And(push, age + elapsed >= 300 * scale)
    states = (
        boolean("lamp", lit),
        clock("age", z3.If(push, age + elapsed, 0)),
        clock("waited", z3.If(z3.And(push, z3.Not(lit)), waited + scans, 0)),
    )
    system = TransitionSystem(states, (push,), elapsed, scans, 5, 20, 1)
    longest = 300 * scale // 5 - 1
    assert isinstance(decide(system, waited > longest, 60), Proved)
    assert isinstance(decide(system, waited >= longest, 60), Violated)
