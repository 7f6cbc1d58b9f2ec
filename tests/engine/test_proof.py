"""What the proof alone has to find with little effort: each needs one part of it."""

from __future__ import annotations

import z3
from twohand.engine.proof.ic3 import prove
from twohand.engine.system.budget import Budget
from twohand.engine.system.contract import Proved
from twohand.engine.system.invariant import first_failed_obligation
from twohand.scan.transition_system import StateVariable, TransitionSystem

from tests.support.samples.engine_systems import ELAPSED, SCANS, boolean, clock
from tests.support.samples.small_models import finished

PUSH, OTHER, ON = z3.Bools("push other on")
FIRST, SECOND = z3.Ints("first second")
EFFORT = 3.0


def assert_proved(
    bad: z3.BoolRef, *states: StateVariable, assumed: tuple[z3.BoolRef, ...] = ()
) -> None:
    system = TransitionSystem(states, (PUSH, OTHER), ELAPSED, SCANS, 1, 2, 1, constraints=assumed)
    answer = finished(prove(system, bad, Budget(EFFORT)))
    assert isinstance(answer, Proved), answer
    assert first_failed_obligation(system, bad, answer.clauses) is None


def test_a_proof_may_rest_on_what_is_assumed() -> None:
    assert_proved(ON, boolean("on", PUSH), assumed=(z3.Not(PUSH),))


def test_a_proof_may_rest_on_the_first_state() -> None:
    assert_proved(ON, boolean("on", z3.And(ON, PUSH)))


def test_a_proof_may_rest_on_how_far_one_clock_is_ahead_of_another() -> None:
    """The second clock restarts with the first, or within 100 of it: it is never further behind."""
    restarts = z3.Or(PUSH, z3.And(OTHER, FIRST + ELAPSED < 100))
    first = clock("first", z3.If(PUSH, 0, FIRST + ELAPSED))
    second = clock("second", z3.If(restarts, 0, SECOND + ELAPSED))
    assert_proved(z3.And(FIRST >= 305, SECOND <= 200), first, second)
