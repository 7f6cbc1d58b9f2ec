"""Whether a scan completes: where every run ends in a finding in its first scan, nothing is said.

It is asked only where some finding can happen.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from twohand.evidence.context import CheckContext
from twohand.evidence.contradiction import InternalContradiction
from twohand.evidence.proofs.query import Certified, QueryResult
from twohand.evidence.verdict import Certificate, Outcome, Vacuity, Verdict
from twohand.specification.model.specification import Aim
from twohand.text.diagnostic import Diagnostic, Severity
from twohand.text.source_text import Span

_EFFORT = 10.0


class CompletionCheck:
    """``places`` are those at which findings can happen, as far as that is known. ``never`` is the
    proof, once the desk has served, that no scan completes (None: one does, or that was not
    decided)."""

    def __init__(self, case: CheckContext, places: Sequence[Span]) -> None:
        self._case = case
        self._places = places
        self.never: Certificate | None = None

    def begin(self) -> None:
        if self._places:
            self._case.desk.decide(
                "whether a scan completes",
                self._case.questions.completed_scan(),
                0,
                self._answered,
                min(self._case.effort, _EFFORT),
            )

    def _answered(self, asked: QueryResult) -> None:
        if isinstance(asked.answer, Certified):
            self.never = self._case.certificate(asked.answer)

    @property
    def warnings(self) -> tuple[Diagnostic, ...]:
        if self.never is None:
            return ()
        return (_warning(self._places[0], self._case.specification.power is not None),)

    def emptied(self, verdicts: Sequence[Verdict]) -> tuple[Verdict, ...]:
        """The verdicts, VACUOUS where no scan completes; what a run without power shows stays.
        InternalContradiction where there is such a run and the supply is always there."""
        if self.never is None:
            return tuple(verdicts)
        return tuple(self._emptied(verdict, self.never) for verdict in verdicts)

    def _emptied(self, verdict: Verdict, proof: Certificate) -> Verdict:
        shown = verdict.counterexample is not None or verdict.witness is not None
        if shown and self._case.specification.power is None:
            raise InternalContradiction(
                f"{verdict.requirement.identifier}: no scan completes, but a run of whole scans "
                "was executed"
            )
        if verdict.outcome is Outcome.VIOLATED or (
            verdict.outcome is Outcome.PROVED and verdict.requirement.aim is Aim.REACHABLE
        ):
            return verdict
        vacuous = replace(verdict, outcome=Outcome.VACUOUS, vacuity=Vacuity.NO_SCAN, reason="")
        return replace(vacuous, certificate=proof, witness=None, readings={})


def _warning(place: Span, power: bool) -> Diagnostic:
    which = "scan under power" if power else "scan"
    return Diagnostic(
        "no-scan-completes",
        f"no {which} completes: every run ends in a finding in its first {which}, so that nothing "
        "can be said of what the block does",
        place,
        "mend what ends the first scan, then check again",
        severity=Severity.WARNING,
    )
