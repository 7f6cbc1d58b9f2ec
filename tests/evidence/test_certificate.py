"""A proof is accepted from scratch or not at all."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import pytest
import z3
from twohand.engine import portfolio
from twohand.engine.jobs import Problem
from twohand.engine.system.contract import Proved
from twohand.evidence.contradiction import InternalContradiction
from twohand.evidence.encoding import Encoding
from twohand.evidence.proofs.certificate import CHECKERS, recheck
from twohand.evidence.proofs.dispatcher import believed
from twohand.evidence.proofs.invariant_text import ClauseWords
from twohand.evidence.proofs.query import Certified, Query, certify
from twohand.scan.sorts import boolean
from twohand.scan.transition_system import StateKind, StateVariable, TransitionSystem

from tests.support.samples.check_samples import type_three

SECONDS = 20.0
EVERY_CHECKER = pytest.mark.parametrize("checker", sorted(CHECKERS))


@pytest.fixture(scope="module")
def problem(tmp_path_factory: pytest.TempPathFactory) -> Problem:
    """The question about the window of a correct block of type III."""
    questions = Encoding(type_three(tmp_path_factory.mktemp("certificate")))
    asked = {r.identifier: r for r in questions.specification.requirements}
    assert questions.bad(asked["start_window"].property) == 0
    return questions.problem()


@dataclass(frozen=True)
class Asked:
    """A question and its proof, in one context of the solver."""

    system: TransitionSystem
    bad: z3.BoolRef
    clauses: tuple[z3.BoolRef, ...]


@pytest.fixture(scope="module")
def proof(problem: Problem) -> Asked:
    system, (term,) = problem.loaded()
    bad = boolean(term)
    answer = portfolio.decide(system, bad, SECONDS)
    assert isinstance(answer, Proved)
    assert len(answer.clauses) > 2
    return Asked(system, bad, answer.clauses)


@EVERY_CHECKER
def test_a_proof_is_accepted(proof: Asked, checker: str) -> None:
    result = recheck(proof.system, proof.bad, proof.clauses, SECONDS, [checker])
    assert result.accepted
    assert checker in result.checker


def mutants(clauses: tuple[z3.BoolRef, ...]) -> Iterator[tuple[z3.BoolRef, ...]]:
    """Each clause left out, negated, and made stronger by one of its literals."""
    for number, clause in enumerate(clauses):
        before, after = clauses[:number], clauses[number + 1 :]
        yield (*before, *after)
        yield (*before, z3.Not(clause), *after)
        for literal in clause.children() if z3.is_or(clause) else ():
            yield (*before, literal, *after)


@pytest.mark.long
def test_wrong_invariants_are_refused_by_every_checker(proof: Asked) -> None:
    """The engine keeps only needed clauses, so each mutant but a luckily stronger one is wrong;
    both checkers have to agree on each."""
    system, bad = proof.system, proof.bad
    refused = 0
    for mutant in mutants(proof.clauses):
        verdicts = [recheck(system, bad, mutant, SECONDS, [name]) for name in sorted(CHECKERS)]
        assert len({verdict.accepted for verdict in verdicts}) == 1
        assert all(verdict.certain for verdict in verdicts)
        refused += not verdicts[0].accepted
    assert refused >= 2 * len(proof.clauses)


@EVERY_CHECKER
def test_what_is_true_but_not_inductive_is_refused(checker: str) -> None:
    system, clock = _clock()
    never_above = z3.Not(clock == 5)
    result = recheck(system, clock > 10, [never_above], SECONDS, [checker])
    assert (result.accepted, result.certain) == (False, True)


@EVERY_CHECKER
def test_an_invariant_that_the_first_state_breaks_is_refused(checker: str) -> None:
    system, clock = _clock()
    result = recheck(system, clock > 10, [clock >= 1, clock <= 10], SECONDS, [checker])
    assert result.fault == "an initial state is outside"


@EVERY_CHECKER
def test_an_invariant_that_allows_a_bad_scan_is_refused(checker: str) -> None:
    system, clock = _clock()
    result = recheck(system, clock > 3, [clock >= 0], SECONDS, [checker])
    assert not result.accepted


def test_a_clause_over_inputs_is_no_clause() -> None:
    system, clock = _clock()
    result = recheck(system, clock < 0, [z3.Or(clock >= 0, system.inputs[0])], SECONDS)
    assert not result.accepted


def test_no_clause_proves_what_no_scan_can_do() -> None:
    system, clock = _clock()
    assert recheck(system, z3.And(clock > 3, clock < 2), [], SECONDS).accepted
    assert not recheck(system, clock > 3, [], SECONDS).accepted


@pytest.mark.long
def test_a_proof_about_part_of_the_system_holds_of_the_whole(problem: Problem) -> None:
    system, (bad,) = problem.loaded()
    context = system.elapsed.ctx
    extra, zero = z3.Int("an unrelated number", context), z3.IntVal(0, context)
    state = StateVariable("an unrelated number", extra, zero, extra + system.elapsed)
    whole = replace(system, states=(*system.states, state))
    answer = portfolio.decide(system, bad, SECONDS)
    assert isinstance(answer, Proved)
    assert recheck(whole, bad, answer.clauses, SECONDS).accepted


def test_a_refused_proof_stops_the_run() -> None:
    system, clock = _clock()
    certified = certify(system, clock > 3, Proved((clock >= 0,), "a faulty engine"))
    with pytest.raises(InternalContradiction, match="a faulty engine"):
        believed("window", certified)


@pytest.mark.long
def test_a_job_answers_with_a_checked_proof(problem: Problem) -> None:
    asked = Query(problem, 0, SECONDS)()
    assert isinstance(asked.answer, Certified)
    assert asked.answer.recheck.accepted
    assert asked.answer.count > 0


def test_clauses_read_in_the_words_of_the_program(tmp_path: Path) -> None:
    questions = Encoding(type_three(tmp_path))
    spec = questions.specification
    system, _ = questions.problem().loaded()
    words = ClauseWords(system, spec.program, spec.clocking)
    state = {s.name: s.symbol for s in system.states}
    armed, stroke, age = state["armed"], state["stroke"], state["window#age"]
    elapsed = state["window.ET"]
    assert words.of(z3.Or(armed, z3.Not(stroke))) == "armed or not stroke"
    assert words.of(z3.Implies(stroke, armed)) == "not stroke or armed"
    assert words.of(z3.Not(z3.And(stroke, armed))) == "not stroke or not armed"
    assert words.of(z3.And(armed, z3.Or(stroke, armed))) == "armed and (stroke or armed)"
    # With a fixed scan of 10 ms the timer's age counts scans.
    assert words.of(age <= 7) == "time since window started <= 70 ms"
    assert words.of(z3.Not(age <= 7)) == "time since window started > 70 ms"
    assert words.of(z3.IntVal(7, age.ctx) >= age) == "time since window started <= 70 ms"
    assert words.of(age + -2 <= age) == (
        "time since window started - 20 ms <= time since window started"
    )
    assert words.of(elapsed <= 10 * age) == "window.ET <= time since window started"
    assert words.of(elapsed >= 30) == "window.ET >= 30 ms"


def _clock() -> tuple[TransitionSystem, z3.ArithRef]:
    """A clock that a button resets, and that stops at 10."""
    clock, elapsed, scans = z3.Int("clock"), z3.Int("#elapsed"), z3.Int("#scans")
    reset = z3.Bool("reset")
    update = z3.If(z3.Or(reset, clock >= 10), z3.IntVal(0), clock + elapsed)
    state = StateVariable("clock", clock, z3.IntVal(0), update, StateKind.CLOCK)
    system = TransitionSystem((state,), (reset,), elapsed, scans, 1, 1, 10)
    return system, clock
