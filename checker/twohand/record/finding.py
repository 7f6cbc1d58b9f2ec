"""What can happen whatever is asked: an overflow, an index out of range, as plain data."""

from __future__ import annotations

from dataclasses import dataclass

from twohand.evidence.verdict import FindingVerdict, Outcome
from twohand.record.message import FilePlace, place_in_file
from twohand.record.run import Run, run_of
from twohand.scan.finding import FindingKind
from twohand.specification.model.specification import Specification


@dataclass(frozen=True)
class FindingResult:
    """VIOLATED: it can happen, in the last scan of the ``run``; UNDECIDED: for the ``reason``.
    What else is proved holds only until it happens."""

    kind: FindingKind
    place: FilePlace
    outcome: Outcome
    reason: str
    run: Run | None


def finding_result(found: FindingVerdict, specification: Specification) -> FindingResult:
    return FindingResult(
        found.finding.kind,
        place_in_file(found.finding.span),
        found.outcome,
        found.reason,
        run_of(found.counterexample, specification),
    )
