"""The documents that there are, that of a review among them."""

from __future__ import annotations

from dataclasses import dataclass

from twohand.analyses.documents import CHECK, FAULT_TABLE
from twohand.analyses.documents import KINDS as KINDS_OF_ANALYSES
from twohand.gate.record import ReviewResult
from twohand.record.document import DocumentKind, EffortLimits


@dataclass(frozen=True)
class ReviewOptions(EffortLimits):
    """What decides beside the project file: ``today`` is the day by which waivers end (in
    UTC); ``staged``: the index of git was asked; ``since`` is the commit that it is compared with
    (null: none)."""

    today: str
    staged: bool
    since: str | None


REVIEW = DocumentKind("review", "review", ReviewOptions, ReviewResult)
KINDS = {**KINDS_OF_ANALYSES, REVIEW.name: REVIEW}
IN_PARTS = {each.name: each for each in (CHECK, FAULT_TABLE, REVIEW)}
"""Those that several runs can answer together."""
