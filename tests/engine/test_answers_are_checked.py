"""No answer of an engine counts because nobody knew better; its own proofs hold."""

from __future__ import annotations

import pytest
import z3
from twohand.engine import portfolio
from twohand.engine.portfolio import decide
from twohand.engine.proof import chc
from twohand.engine.proof.chc import solve_clauses
from twohand.engine.proof.ic3 import prove
from twohand.engine.system.budget import EFFORT_IS_SPENT, Budget, Engine
from twohand.engine.system.contract import Answer, EngineContradiction, Proved, Unknown, Violated
from twohand.engine.system.invariant import established, first_failed_obligation, needed
from twohand.scan.transition_system import TransitionSystem

from tests.support.randomness.systems import random_model
from tests.support.samples.engine_systems import ELAPSED, SCANS, boolean, two_hand
from tests.support.samples.small_models import clocked_counter, counter, finished, known_answers


def chain() -> tuple[TransitionSystem, z3.BoolRef, list[z3.BoolRef]]:
    """Three states, each what the one before it was; the first one is never on. The clauses are
    an invariant, with one more than is needed."""
    one, two, three, lone = z3.Bools("one two three lone")
    states = (
        boolean("one", z3.BoolVal(False)),
        boolean("two", one),
        boolean("three", two),
        boolean("lone", z3.BoolVal(False)),
    )
    system = TransitionSystem(states, (), ELAPSED, SCANS, 1, 1, 1)
    return system, three, [z3.Not(lone), z3.Not(one), z3.Not(two), z3.Not(three)]


# --- what nobody knows ----------------------------------------------------------------------------


def test_a_scan_of_which_the_solver_does_not_know_is_not_excluded(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(z3.Solver, "check", lambda *_: z3.unknown)
    for model in (counter(3), clocked_counter(3)):
        assert not isinstance(decide(model.system, model.bad, 5), Proved)


def test_an_invariant_of_which_the_solver_does_not_know_proves_nothing(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    system, bad, clauses = chain()
    assert first_failed_obligation(system, bad, clauses) is None
    monkeypatch.setattr(z3.Solver, "check", lambda *_: z3.unknown)
    failed = first_failed_obligation(system, bad, clauses)
    assert failed is not None
    assert failed[1] is False, "it is not certain that the invariant is wrong"
    assert isinstance(established(system, bad, clauses, "test"), Unknown)


def test_each_obligation_of_an_invariant_can_fail_alone() -> None:
    system, bad, clauses = chain()
    one, two = z3.Bools("one two")
    outside = [*clauses, z3.Or(one, two, z3.Bool("lone"))]
    for wrong, failed in (
        (outside, "an initial state is outside"),
        ([z3.Not(two)], "a scan leaves it"),
        ([z3.Not(one)], "it allows a bad scan"),
    ):
        assert first_failed_obligation(system, bad, wrong) == (failed, True)


def test_an_invariant_of_the_horn_clause_engine_is_checked(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    system, bad, _ = chain()
    assert isinstance(solve_clauses(system, bad, Budget(20)), Proved)
    monkeypatch.setattr(chc, "_invariant", lambda *_: z3.Not(bad))
    assert isinstance(solve_clauses(system, bad, Budget(20)), Unknown)


def test_what_is_left_of_an_invariant_is_one() -> None:
    system, bad, clauses = chain()
    assert needed(system, bad, clauses) == clauses[1:]


# --- who answers ----------------------------------------------------------------------------------


def engine(answer: Answer) -> Engine:
    """One that answers at once."""
    yield
    return answer


@pytest.mark.long
def test_another_engine_goes_on_where_one_gives_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(portfolio, "search_events", lambda *_: engine(Unknown("too hard")))
    for model in known_answers():
        kind = Violated if model.first_bad is not None else Proved
        assert isinstance(decide(model.system, model.bad, 30), kind), model.name


def test_an_open_answer_says_how_far_the_farthest_has_looked_and_what_stopped_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    for name, found in (
        ("search_events", Unknown(EFFORT_IS_SPENT, events=3, scans=3)),
        ("prove", Unknown("beyond its predicates", scans=7)),
        ("search_scans", Unknown(EFFORT_IS_SPENT, scans=5)),
    ):
        monkeypatch.setattr(portfolio, name, lambda *_, found=found: engine(found))
    model = counter(4)
    assert decide(model.system, model.bad, 5) == Unknown("beyond its predicates", 3, 7)


# --- the proof's own proofs -----------------------------------------------------------------------


def outcome(system: TransitionSystem, bad: z3.BoolRef, seconds: float) -> Answer | str:
    """The proof's answer, or what its own check found wrong with it."""
    try:
        return finished(prove(system, bad, Budget(seconds)))
    except EngineContradiction as contradiction:
        return str(contradiction)


@pytest.mark.parametrize("model", known_answers(), ids=lambda model: model.name)
def test_the_proof_never_contradicts_itself_on_small_models(model: object) -> None:
    assert not isinstance(outcome(model.system, model.bad, 30), str)  # type: ignore[attr-defined]


def test_the_proof_never_contradicts_itself_on_a_two_hand_block() -> None:
    block = two_hand(50, 50)
    for requirement, bad in block.bad.items():
        assert isinstance(outcome(block.system, bad, 30), Proved), requirement


def test_the_proof_never_contradicts_itself_on_random_models() -> None:
    for seed in range(15):
        system, bad = random_model(seed).terms()
        assert not isinstance(outcome(system, bad, 3), str), seed
