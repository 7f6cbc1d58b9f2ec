"""An inspection as plain data."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from twohand.analyses.compare.question import file_of
from twohand.analyses.inspect.check import FoundPoint, Inspection
from twohand.analyses.inspect.points import InspectionKind, Status, Weight
from twohand.analyses.inspect.text import (
    cause_sentence,
    clean_sentences,
    further_places,
    inspection_cautions,
    inspection_code,
    run_lanes,
)
from twohand.analyses.inspect.units import UnitAnswer, UnitOutcome, units_code
from twohand.evidence.verdict import Certificate
from twohand.record.content import identified
from twohand.record.judged import Judged
from twohand.record.message import FilePlace, Message, messages_of, place_in_file
from twohand.record.run import Run, run_of_lanes
from twohand.record.sources import HashedFile, read_files
from twohand.report.exit_code import worst
from twohand.text.diagnostic import Diagnostic


@dataclass(frozen=True)
class InspectedPoint:
    """One place that was found or suspected. ``sentence`` says what and ``why`` why it matters,
    without a final full stop; ``others`` are further places with a word each. The evidence is the
    replayed ``run``, the ``certificate``, or the text itself; OPEN (undecided) for the ``reason``.
    ``formula`` is in words what run or certificate answer, '' where the text itself does.
    ``identifier`` is made of the block, the kind and the place by content."""

    kind: InspectionKind
    weight: Weight
    sentence: str
    why: str
    place: FilePlace
    others: tuple[tuple[FilePlace, str], ...]
    run: Run | None
    certificate: Certificate | None
    reason: str
    formula: str
    identifier: str


@dataclass(frozen=True)
class CauseOfFaults:
    """What makes several faults of one mistake: nothing writes the ``variables``, which are here
    with the places of their declarations. ``points`` are the identifiers of the faults that are
    gone where those are inputs."""

    sentence: str
    variables: tuple[tuple[str, FilePlace], ...]
    points: tuple[str, ...]


@dataclass(frozen=True)
class InspectedBlock(Judged):
    """One block, with scan times in nanoseconds and where they are from. ``kinds`` were looked
    for; ``clean`` are sentences on what was looked for and is nowhere. A FAULT or an OPEN point is
    no pass; ``cause`` is what many of them hang on, if anything. ``sources`` are all files that
    were read for it, with their hashes."""

    block: str
    path: str
    shortest_scan: int
    longest_scan: int
    scan_origin: str
    kinds: tuple[InspectionKind, ...]
    points: tuple[InspectedPoint, ...]
    cause: CauseOfFaults | None
    clean: tuple[str, ...]
    warnings: tuple[Message, ...]
    sources: tuple[HashedFile, ...]


@dataclass(frozen=True)
class InspectedUnit:
    """One row of the table of units: a block or function of the file ``path``. ``kind`` is its
    first word, or SPEC. REFUSED for the ``messages``; WITHIN is what is inspected within its
    ``users``, the units that have or call it. All others are among the blocks."""

    name: str
    kind: str
    path: str
    answer: UnitAnswer
    users: tuple[str, ...]
    messages: tuple[Message, ...]


@dataclass(frozen=True)
class InspectResult(Judged):
    """The blocks and functions of files or folders, and all ``units`` with what became of them;
    ``cautions`` are what no point says; ``unread`` are the files of a folder that cannot be read,
    which count for nothing."""

    blocks: tuple[InspectedBlock, ...]
    units: tuple[InspectedUnit, ...]
    cautions: tuple[str, ...]
    unread: tuple[Message, ...]


def inspect_result(
    paths: Sequence[Sequence[UnitOutcome]], unread: Iterable[Diagnostic] = ()
) -> InspectResult:
    """The outcomes of each path."""
    outcomes = [each for path in paths for each in path]
    inspections = [each.inspection for each in outcomes if each.inspection is not None]
    return InspectResult(
        worst(map(units_code, paths)),
        tuple(inspected_block(each) for each in inspections),
        tuple(map(_unit, outcomes)),
        tuple(inspection_cautions(inspections)),
        messages_of(unread),
    )


def _unit(outcome: UnitOutcome) -> InspectedUnit:
    unit, within = outcome.unit, outcome.answer is UnitAnswer.WITHIN
    return InspectedUnit(
        unit.name,
        unit.kind,
        unit.path,
        outcome.answer,
        unit.users if within else (),
        messages_of(outcome.problems),
    )


def inspected_block(found: Inspection) -> InspectedBlock:
    specification = found.subject.specification
    clocking = specification.clocking
    points = identified(_point(each, found.subject.name) for each in found.found)
    return InspectedBlock(
        inspection_code(found),
        found.subject.name,
        file_of(specification.program),
        clocking.nanoseconds(clocking.shortest),
        clocking.nanoseconds(clocking.longest),
        found.subject.scan_origin,
        found.kinds,
        points,
        _cause(found, points),
        tuple(clean_sentences(found)),
        messages_of(found.warnings),
        read_files(specification),
    )


def _cause(found: Inspection, points: Sequence[InspectedPoint]) -> CauseOfFaults | None:
    cause = found.cause
    if cause is None:
        return None
    names = {id(each): point.identifier for each, point in zip(found.found, points, strict=True)}
    return CauseOfFaults(
        cause_sentence(found),
        tuple((v.name, place_in_file(v.span)) for v in cause.variables),
        tuple(names[id(each)] for each in cause.points),
    )


def _point(each: FoundPoint, block: str) -> InspectedPoint:
    point, answer = each.point, each.answer
    run, place = answer.run, place_in_file(point.span)
    clocking = each.specification.clocking
    return InspectedPoint(
        point.kind,
        point.weight,
        point.sentence,
        point.why,
        place,
        tuple((place_in_file(span), words) for span, words in further_places(each)),
        None if run is None else run_of_lanes(run, run_lanes(each), clocking),
        answer.certificate if answer.status is Status.NEVER else None,
        answer.reason,
        point.asks,
        f"{block}/{point.kind.value}/{place.identifier}",
    )
