"""A review as plain data."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum

from twohand.analyses.check.record import CheckedSpec
from twohand.analyses.compare.record import CompareResult
from twohand.analyses.faults.record import SpecUnderFaults
from twohand.analyses.inspect.record import InspectedBlock
from twohand.analyses.measure.record import MeasuredSpec
from twohand.formats.items import Item, ItemOutcome, SpecItems
from twohand.gate.former_self import SinceState
from twohand.gate.waivers import BoundItem, WaivedSpec, Waiver, WaiverStanding, WrittenWaiver
from twohand.record.judged import Judged
from twohand.record.message import FilePlace, place_in_file
from twohand.report.cautions import caution_texts
from twohand.report.exit_code import ExitCode, worst
from twohand.specification.model.specification import Specification


class ReviewOutcome(Enum):
    """How an item counts in a review; HOLDS and WAIVED pass, and WAIVED is no proof."""

    HOLDS = "holds"
    FAILS = "fails"
    OPEN = "open"
    WAIVED = "waived"


@dataclass(frozen=True)
class AppliedWaiver:
    """Who answers for an item that does not hold: the ``reason``, the role that decided
    (``decided_by``), and the last day (``until``: YYYY-MM-DD)."""

    reason: str
    decided_by: str
    until: str


@dataclass(frozen=True)
class ReviewedItem:
    """One thing that the project asks. ``rule`` names what was asked in every spec alike,
    ``identifier`` this very item; ``text`` begins with the word of its outcome. ``place`` is where
    to look first, ``asked`` where the spec asks. ``content`` is the hash of block and requirement
    by which a ``waiver`` fits. ``before``: how it came out at the revision that the review is
    compared with; null where it was not there, or where it was not asked, as all holds now."""

    rule: str
    identifier: str
    outcome: ReviewOutcome
    text: str
    place: FilePlace
    asked: FilePlace
    content: str
    waiver: AppliedWaiver | None
    before: ReviewOutcome | None = None


@dataclass(frozen=True)
class ReviewedSpec(Judged):
    """One spec with all that the project asks of it: its check, and where it is asked the fault
    table, the inspection of its block and the measuring. ``items`` are what counts of all of
    them. ``since``: what became of it since the revision that the review is compared with, and
    ``compared`` its block with the former one where its files changed (null: not asked)."""

    checked: CheckedSpec
    faults: SpecUnderFaults | None
    inspected: InspectedBlock | None
    measured: MeasuredSpec | None
    items: tuple[ReviewedItem, ...]
    since: SinceState | None = None
    compared: CompareResult | None = None


@dataclass(frozen=True)
class ReviewedWaiver:
    """A waiver of the project for a ``requirement`` of the file ``path``, and whether it is in
    force."""

    path: str
    requirement: str
    standing: WaiverStanding
    place: FilePlace


@dataclass(frozen=True)
class ReviewResult(Judged):
    """The specs of one project, in the order of their paths; ``waivers`` are those of the specs
    that were reviewed, and of specs that are not there. ``cautions`` are what no answer says."""

    project: FilePlace
    specs: tuple[ReviewedSpec, ...]
    waivers: tuple[ReviewedWaiver, ...]
    cautions: tuple[str, ...]


OUTCOMES = {
    ItemOutcome.HOLDS: ReviewOutcome.HOLDS,
    ItemOutcome.FAILS: ReviewOutcome.FAILS,
    ItemOutcome.OPEN: ReviewOutcome.OPEN,
}
_CODES = {
    ReviewOutcome.HOLDS: ExitCode.ALL_PROVED,
    ReviewOutcome.WAIVED: ExitCode.ALL_PROVED,
    ReviewOutcome.FAILS: ExitCode.VIOLATED,
    ReviewOutcome.OPEN: ExitCode.UNDECIDED,
}


def review_code(items: Sequence[tuple[BoundItem, Waiver | None]], own: ExitCode) -> ExitCode:
    """What the items of a spec answer. ``own`` is what its check answers: where nothing fails or is
    open among the items, and nothing is waived, it decides, so that nothing is lost between."""
    found = worst(_CODES[outcome_of(item, waiver)] for item, waiver in items)
    unexplained = all(each.item.outcome is ItemOutcome.HOLDS for each, _ in items)
    return worst([found, own]) if unexplained else found


def outcome_of(item: BoundItem, waiver: Waiver | None) -> ReviewOutcome:
    return OUTCOMES[item.item.outcome] if waiver is None else ReviewOutcome.WAIVED


def reviewed_items(spec: WaivedSpec) -> tuple[ReviewedItem, ...]:
    return tuple(
        ReviewedItem(
            bound.item.rule,
            bound.item.identifier,
            outcome_of(bound, waiver),
            bound.item.text,
            bound.item.place,
            bound.item.asked,
            bound.content,
            None
            if waiver is None
            else AppliedWaiver(waiver.reason, waiver.decided_by, waiver.until.isoformat()),
        )
        for bound, waiver in spec.items
    )


def reviewed_waivers(
    standings: Sequence[tuple[WrittenWaiver, WaiverStanding]],
) -> tuple[ReviewedWaiver, ...]:
    return tuple(
        ReviewedWaiver(
            each.waiver.spec, each.waiver.requirement, standing, place_in_file(each.span)
        )
        for each, standing in standings
    )


def review_result(
    project: str,
    specs: Sequence[ReviewedSpec],
    standings: Sequence[tuple[WrittenWaiver, WaiverStanding]],
    code: ExitCode,
    specifications: Sequence[Specification],
) -> ReviewResult:
    return ReviewResult(
        code,
        FilePlace(project),
        tuple(specs),
        reviewed_waivers(standings),
        tuple(caution_texts(specifications)),
    )


def waiver_words(waiver: Waiver) -> str:
    """Who answers for it, until when and why."""
    return f"{waiver.decided_by}, until {waiver.until}: {waiver.reason}"


def items_with_waivers(spec: WaivedSpec) -> tuple[Item, ...]:
    """For other tools: a waived item says so."""
    return tuple(
        bound.item if waiver is None else replace(bound.item, waived=waiver_words(waiver))
        for bound, waiver in spec.items
    )


def spec_items_of(checked: CheckedSpec, spec: WaivedSpec) -> SpecItems:
    found = checked.spec
    return SpecItems(found.name, found.path, found.sources, items_with_waivers(spec))
