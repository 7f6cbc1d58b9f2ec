"""Assumptions on which no verdict rests.

A run that violates a requirement, or reaches something, is one without the assumption as well. A
proof is checked again without it; where its invariant does not hold any more, the question is
asked anew. An assumption without which everything is proved as before was not needed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from twohand.analyses.check.lag_query import lag_bad
from twohand.engine.jobs import Problem
from twohand.engine.workers.process import Stopped
from twohand.evidence.context import CheckContext
from twohand.evidence.contradiction import InternalContradiction
from twohand.evidence.proofs.certificate import recheck
from twohand.evidence.proofs.query import Certified, QueryResult
from twohand.program.durations import Ticks
from twohand.scan import serialisation as exchange
from twohand.scan.sorts import boolean
from twohand.text.diagnostic import Diagnostic, Severity

_ASK_EFFORT = 10.0
"""For a question that is asked anew without an assumption."""
_RECHECK_EFFORT = 5.0
"""For one query of a proof's check without it: where this is not enough, nothing is said."""


@dataclass(frozen=True)
class Proof:
    """What was proved: a problem's term ``index``, or ``of_lag`` that no start has a lag above
    ``bound`` ticks (the terms from ``index`` on are the lag's)."""

    problem: Problem
    index: int
    clauses: str
    of_lag: bool = False
    bound: Ticks | None = None


@dataclass(frozen=True)
class Refused:
    """The places of the proofs that do not hold without the assumptions."""

    places: tuple[int, ...]


@dataclass(frozen=True)
class CheckWithout:
    """A job: which of the proofs are refused where these ``assumptions`` (by number) are not
    made."""

    proofs: tuple[Proof, ...]
    assumptions: tuple[int, ...]

    def __call__(self) -> Refused:
        return Refused(tuple(n for n, proof in enumerate(self.proofs) if not self._holds(proof)))

    def _holds(self, proof: Proof) -> bool:
        system, terms = replace(proof.problem, without=self.assumptions).loaded()
        if proof.of_lag:
            bad = lag_bad(terms, proof.index, proof.bound)
        else:
            bad = boolean(terms[proof.index])
        clauses = exchange.load_terms(proof.clauses, system)
        return recheck(system, bad, clauses, _RECHECK_EFFORT).accepted


class NeedlessAssumptions:
    """``warnings`` are of assumptions that can all be left out together.

    To be begun when everything else is decided; ``proofs`` are those of the whole check.
    """

    def __init__(self, case: CheckContext, proofs: Sequence[Proof]) -> None:
        self._case = case
        self._proofs = tuple(proofs)
        self._needless: list[int] = []
        assumptions = case.specification.assumptions
        self._waiting = [number for number, each in enumerate(assumptions) if each.stated]

    @property
    def warnings(self) -> tuple[Diagnostic, ...]:
        assumptions = self._case.specification.assumptions
        return tuple(
            Diagnostic(
                "needless-assumption",
                "no requirement needs this assumption: without it every verdict is the same",
                assumptions[number].span,
                "remove it; what is assumed has to be true of the machine",
                severity=Severity.WARNING,
            )
            for number in sorted(self._needless)
        )

    def begin(self) -> None:
        """The last assumption first, so that of two that say the same the first is kept."""
        if not self._waiting:
            return
        number = self._waiting.pop()
        without = (*self._needless, number)
        job = CheckWithout(self._proofs, without)

        def checked(result: object) -> None:
            if isinstance(result, Stopped):
                self.begin()
            elif isinstance(result, Refused):
                self._ask_anew(number, without, [self._proofs[n] for n in result.places])
            else:
                raise InternalContradiction("a worker answered another question")

        self._case.desk.submit(job, checked)

    def _ask_anew(self, number: int, without: tuple[int, ...], refused: list[Proof]) -> None:
        """Whether every refused proof can be had in another way; the next assumption after that."""
        if not refused:
            self._needless.append(number)
        if not refused or any(proof.of_lag for proof in refused):
            self.begin()
            return
        first, *others = refused

        def answered(asked: QueryResult) -> None:
            if isinstance(asked.answer, Certified):
                self._ask_anew(number, without, others)
            else:
                self.begin()

        self._case.desk.decide(
            "a requirement without an assumption",
            replace(first.problem, without=without),
            first.index,
            answered,
            min(self._case.effort, _ASK_EFFORT),
        )
