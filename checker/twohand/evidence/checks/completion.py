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
from twohand.text.diagnostic import Diagnostic, Severity
from twohand.text.source_text import Span

_SECONDS = 10.0


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
                min(self._case.seconds, _SECONDS),
            )

    def _answered(self, asked: QueryResult) -> None:
        if isinstance(asked.answer, Certified):
            self.never = self._case.certificate(asked.answer)

    @property
    def warnings(self) -> tuple[Diagnostic, ...]:
        return () if self.never is None else (_warning(self._places[0]),)

    def emptied(self, verdicts: Sequence[Verdict]) -> tuple[Verdict, ...]:
        """The verdicts, VACUOUS where no scan completes. InternalContradiction where one of them
        has a run of whole scans all the same."""
        if self.never is None:
            return tuple(verdicts)
        return tuple(_emptied(verdict, self.never) for verdict in verdicts)


def _emptied(verdict: Verdict, proof: Certificate) -> Verdict:
    if verdict.counterexample is not None or verdict.witness is not None:
        raise InternalContradiction(
            f"{verdict.requirement.identifier}: no scan completes, but a run of whole scans was "
            "executed"
        )
    return replace(
        verdict, outcome=Outcome.VACUOUS, certificate=proof, vacuity=Vacuity.NO_SCAN, reason=""
    )


def _warning(place: Span) -> Diagnostic:
    return Diagnostic(
        "no-scan-completes",
        "no scan completes: every run ends in a finding in its first scan, so that nothing can be "
        "said of what the block does",
        place,
        "mend what ends the first scan, then check again",
        severity=Severity.WARNING,
    )
