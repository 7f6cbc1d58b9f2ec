"""The page of an inspection: what was found or suspected in a block, and what is clean."""

from __future__ import annotations

from twohand.analyses.inspect.points import InspectionKind, Weight
from twohand.analyses.inspect.record import InspectedBlock, InspectedPoint
from twohand.formats.page.view import (
    Answer,
    Evidence,
    PageItem,
    PageSubject,
    Tone,
    invariant_of,
)
from twohand.formats.page.views.common import scan_text
from twohand.record.plain import relative_path
from twohand.specification.phrases import listing

_TONES = {
    Weight.FAULT: Tone.BAD,
    Weight.OPEN: Tone.OPEN,
    Weight.NOTE: Tone.PLAIN,
    Weight.HARMLESS: Tone.GOOD,
}
NOT_ASKED = "any requirement: what the block is for, and whether it does that (twohand check)"
LEAD = "This page has what can be wrong in a block whatever it is for; it says nothing of:"


def inspection_subject(block: InspectedBlock, evidence: Evidence, command: str) -> PageSubject:
    looked_for = listing([kind.value for kind in block.kinds])
    others = [kind.value for kind in InspectionKind if kind not in block.kinds]
    scan = scan_text(block.shortest_scan, block.longest_scan)
    facts = [
        ("Block", (block.block,)),
        ("Scan time", (f"{scan} ({block.scan_origin})",)),
        ("Looked for", (looked_for,)),
        ("Cause", () if block.cause is None else (block.cause.sentence,)),
        ("Clean", block.clean),
    ]
    return PageSubject(
        block.block,
        block.path,
        tuple((term, texts) for term, texts in facts if texts),
        block.sources,
        "Point",
        tuple(_point(each, evidence, command) for each in block.points),
        beside="Place",
        said="What was found",
        not_asked=(
            NOT_ASKED,
            *([f"what --kinds or --skip left out: {listing(others)}"] if others else []),
        ),
        not_asked_lead=LEAD,
        warnings=block.warnings,
        command=command,
    )


def _point(point: InspectedPoint, evidence: Evidence, command: str) -> PageItem:
    drawn, undrawn = evidence.of(point.run, "The run that shows it, replayed", "here")
    return PageItem(
        point.kind.value,
        Answer(point.weight.value.upper(), _TONES[point.weight]),
        point.sentence,
        f"{relative_path(point.place.path)}:{point.place.line}",
        said=(point.why, *([f"stopped by: {point.reason}"] if point.reason else [])),
        formula=point.formula,
        evidence=drawn,
        undrawn=undrawn,
        invariant=invariant_of(point.certificate),
        excerpts=evidence.places((point.place, point.kind.value), *point.others),
        command=command,
    )
