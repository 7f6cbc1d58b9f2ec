"""What can happen whatever is asked: an overflow, an index out of range, as plain data."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from twohand.evidence.verdict import FindingVerdict, Outcome
from twohand.record.content import identified
from twohand.record.message import FilePlace, place_in_file
from twohand.record.run import Run, run_of
from twohand.scan.finding import FindingKind
from twohand.specification.model.specification import Specification


@dataclass(frozen=True)
class FindingResult:
    """VIOLATED: it can happen, in the last scan of the ``run``; UNDECIDED: for the ``reason``.
    What else is proved holds only until it happens. ``identifier`` is made of the spec, the kind
    and the place by content."""

    kind: FindingKind
    place: FilePlace
    outcome: Outcome
    reason: str
    run: Run | None
    identifier: str


def finding_results(
    found: Iterable[FindingVerdict], specification: Specification
) -> tuple[FindingResult, ...]:
    return identified(_result(each, specification) for each in found)


def _result(found: FindingVerdict, specification: Specification) -> FindingResult:
    kind, place = found.finding.kind, place_in_file(found.finding.span)
    return FindingResult(
        kind,
        place,
        found.outcome,
        found.reason,
        run_of(found.counterexample, specification),
        f"{specification.name}/{kind.value.replace(' ', '-')}/{place.identifier}",
    )
