"""One question to a worker: decide, and where the answer is a proof, check it from scratch."""

from __future__ import annotations

import time
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace

import z3

from twohand.engine import portfolio
from twohand.engine.jobs import Problem
from twohand.engine.proof.equivalences import Prefixes
from twohand.engine.proof.known_clauses import prove_with
from twohand.engine.system.budget import Budget
from twohand.engine.system.contract import Answer, Proved, Unknown, Violated
from twohand.evidence.cache.question import Plain, Unbelieved
from twohand.evidence.proofs.certificate import Recheck, recheck
from twohand.evidence.proofs.kept import is_cost, kept_run, rechecked_proof, rechecked_run
from twohand.scan import serialisation as exchange
from twohand.scan.sorts import boolean
from twohand.scan.transition_system import TransitionSystem

SEARCH_SHARE = 0.7
"""Of a question's effort for search and proof; what is left is the CHC engine's."""
_MUCH_MEMORY = 512 * 1024 * 1024
"""Bytes that a process may hold after a question, so that its limit is there for the next one."""
OUT_OF_MEMORY = "the memory limit was reached"
RECHECK_EFFORT = 20.0
"""For one query of the check of a proof."""


@dataclass(frozen=True)
class Certified:
    """A proof: its clauses as text (``twohand.scan.serialisation``) and what its check gave."""

    clauses: str = field(repr=False)
    count: int
    method: str
    recheck: Recheck

    @property
    def kept(self) -> Plain:
        """For ``rechecked``."""
        return {"clauses": self.clauses, "method": self.method}

    @staticmethod
    def rechecked(kept: Plain, system: TransitionSystem, bad: z3.BoolRef) -> Certified:
        """A kept proof, checked against a system that is read afresh; Unbelieved where it does not
        hold."""
        return Certified(*rechecked_proof(kept, system, bad, RECHECK_EFFORT))


@dataclass(frozen=True)
class QueryResult:
    """``seconds`` of wall time, and the ``effort`` that the search took. ``spent`` says that its
    process holds so much memory that the next question had better have another one."""

    answer: Certified | Violated | Unknown
    seconds: float = 0.0
    effort: float = 0.0
    spent: bool = False


@dataclass(frozen=True)
class Query:
    """Can a scan be bad? ``index`` is the bad term's place in the problem. ``hints`` are clauses,
    each as text, that may make a proof; one that speaks of something else is passed over."""

    problem: Problem
    index: int
    effort: float
    chc: bool = False
    hints: tuple[str, ...] = field(default=(), repr=False)

    def __call__(self) -> QueryResult:
        began = time.monotonic()
        system, terms = self.problem.loaded()
        bad = boolean(terms[self.index])
        budget = Budget(self.effort)
        answer: Answer | None = None
        if self.hints:
            clauses = list(_clauses(self.hints, system))
            answer = prove_with(system, bad, clauses, budget)
        if answer is None:
            answer = decided(system, bad, budget, self.chc, self.problem.equivalent)
        checked: Certified | Violated | Unknown
        if isinstance(answer, Proved):
            whole, fresh = self.problem.loaded()
            checked = certify(whole, boolean(fresh[self.index]), answer)
        else:
            checked = answer
        full = isinstance(answer, Unknown) and answer.reason == OUT_OF_MEMORY
        spent = full or z3.Z3_get_estimated_alloc_size() > _MUCH_MEMORY
        taken = self.effort - budget.remaining
        return QueryResult(checked, time.monotonic() - began, taken, spent)

    def kept(self, result: object) -> Plain | None:
        """An accepted proof or a run, and what it took; nothing that is undecided."""
        if not isinstance(result, QueryResult) or not is_cost(result.effort, self.effort):
            return None
        match result.answer:
            case Certified() as proof if proof.recheck.accepted:
                return {"proof": proof.kept, "effort": result.effort}
            case Violated() as run:
                return {"run": kept_run(run), "effort": result.effort}
        return None

    def rechecked(self, kept: Plain) -> QueryResult:
        """What was kept, checked again; whatever it raises says that it does not hold."""
        began = time.monotonic()
        effort = kept["effort"]
        if not is_cost(effort, self.effort):
            raise Unbelieved("it took what no question may take")
        system, terms = self.problem.loaded()
        bad = boolean(terms[self.index])
        answer: Certified | Violated
        if "run" in kept:
            answer = rechecked_run(kept["run"], system, bad)
        else:
            answer = Certified.rechecked(kept["proof"], system, bad)
        spent = z3.Z3_get_estimated_alloc_size() > _MUCH_MEMORY
        return QueryResult(answer, time.monotonic() - began, effort, spent)


def _clauses(texts: Sequence[str], system: TransitionSystem) -> Iterator[z3.BoolRef]:
    for text in texts:
        with suppress(ValueError):  # it speaks of what this system has not
            yield from exchange.load_terms(text, system)


def decided(
    system: TransitionSystem,
    bad: z3.BoolRef,
    budget: Budget | float,
    chc: bool = False,
    equivalent: Prefixes | None = None,
) -> Answer:
    """The engine's answer, with a plain reason where z3 itself fails."""
    ask = portfolio.decide_by_chc if chc else portfolio.decide
    try:
        answer = ask(system, bad, budget, equivalent)
    except z3.Z3Exception as error:
        answer = Unknown(f"the solver gave up ({error})")
    if isinstance(answer, Unknown) and "memory" in answer.reason:
        return replace(answer, reason=OUT_OF_MEMORY)
    return answer


def certify(system: TransitionSystem, bad: z3.BoolRef, proof: Proved) -> Certified:
    """The proof, checked against a system that is read afresh; only text goes from one side to
    the other."""
    text = exchange.dump_terms(list(proof.clauses))
    clauses: Sequence[z3.BoolRef] = exchange.load_terms(text, system)
    result = recheck(system, bad, clauses, RECHECK_EFFORT)
    return Certified(text, len(clauses), proof.method, result)
