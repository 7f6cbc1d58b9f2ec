"""An inspection as plain data for other programs."""

from __future__ import annotations

from collections.abc import Sequence

from twohand.analyses.compare.question import file_of
from twohand.analyses.inspect.check import FoundPoint, Inspection
from twohand.analyses.inspect.points import Status
from twohand.analyses.inspect.text import (
    clean_sentences,
    further_places,
    inspection_cautions,
    run_lanes,
)
from twohand.analyses.inspect.words import WORDS
from twohand.report.document import (
    Data,
    headed,
    milliseconds,
    place,
    proof,
    run_head,
    scan_times,
    value_of,
)


def inspection_data(inspections: Sequence[Inspection]) -> Data:
    """The whole document; durations are numbers of milliseconds."""
    blocks = [_block(each) for each in inspections]
    cautions = inspection_cautions(inspections)
    return headed("inspection", {"inspected": blocks, "cautions": cautions})


def _block(found: Inspection) -> Data:
    spec = found.subject.specification
    clocking = spec.clocking
    return {
        "block": found.subject.name,
        "file": file_of(spec.program),
        "scan_ms": {**scan_times(clocking), "from": found.subject.scan_origin},
        "kinds": [kind.value for kind in found.kinds],
        "points": [_point(each) for each in found.found],
        "clean": list(clean_sentences(found)),
        "warnings": [warning.message for warning in found.warnings],
        "seconds": round(found.seconds, 2),
    }


def _point(each: FoundPoint) -> Data:
    point, answer = each.point, each.answer
    return {
        "kind": point.kind.value,
        "weight": WORDS[point.weight][0],
        **place(point.span),
        "sentence": point.sentence,
        "why": point.why,
        "formula": point.asks,
        "others": [{**place(span), "what": words} for span, words in further_places(each)],
        "proof": proof(answer.certificate) if answer.status is Status.NEVER else None,
        "run": None if answer.run is None else _run(each),
        "reason": answer.reason,
    }


def _run(each: FoundPoint) -> Data:
    run, clocking = each.answer.run, each.specification.clocking
    assert run is not None
    lanes = run_lanes(each)
    return {
        **run_head(run, clocking),
        "values": [
            {
                "ms": milliseconds(record.time, clocking),
                **{
                    lane.label: value_of(lane.values[number], lane.kind, clocking) for lane in lanes
                },
            }
            for number, record in enumerate(run.records)
        ],
    }
