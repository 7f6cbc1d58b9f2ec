"""Everything that a check asked, as items that hold, fail or are open: what other tools list."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

from twohand.analyses.check.exit_code import HANDS_UNDECIDED, OUTPUT_UNDECIDED
from twohand.analyses.check.record import CheckedSpec, NeverOn, RequirementResult
from twohand.evidence.verdict import Outcome
from twohand.record.content import identified
from twohand.record.finding import FindingResult
from twohand.record.message import FilePlace, Message
from twohand.record.run import Choices, Run
from twohand.record.sources import HashedFile
from twohand.report.drawing.readings import reading_words
from twohand.report.drawing.terminal import UNSHOWN

_NEVER_SHOWN = (*UNSHOWN, "Co", "Cn")


class ItemOutcome(Enum):
    """How an item came out; only HOLDS is a pass."""

    HOLDS = "holds"
    FAILS = "fails"
    OPEN = "open"


@dataclass(frozen=True)
class Item:
    """One thing that was asked, or is always asked.

    ``rule`` names what was asked in every spec alike; ``identifier`` is this very item's and stays
    as lines are inserted. ``text`` begins with the word of the outcome. ``place`` is where to look
    first, ``asked`` where the spec asks. ``meant``: EXPECT names this outcome. ``waived`` says who
    answers for it although it does not hold, until when and why; it is no pass, and '' for most.
    """

    rule: str
    identifier: str
    outcome: ItemOutcome
    text: str
    place: FilePlace
    asked: FilePlace
    run: Run | None = None
    meant: bool = False
    waived: str = ""


@dataclass(frozen=True)
class SpecItems:
    """The items of the spec of this ``name`` in the file ``path``; ``sources`` are all files that
    were read for it."""

    name: str
    path: str
    sources: tuple[HashedFile, ...]
    items: tuple[Item, ...]


def spec_items(checked: CheckedSpec) -> SpecItems:
    spec = checked.spec
    return SpecItems(spec.name, spec.path, spec.sources, items_of(checked))


def items_of(checked: CheckedSpec) -> tuple[Item, ...]:
    """All of them, in the order of the report."""
    return identified(_items(checked))


def harmless(text: str) -> str:
    """With '?' for every character that is not shown, or changes how others are."""
    return "".join("?" if unicodedata.category(each) in _NEVER_SHOWN else each for each in text)


def _items(checked: CheckedSpec) -> Iterator[Item]:
    whole = FilePlace(checked.spec.path)
    for each in checked.requirements:
        yield _requirement(each, checked.doubt)
    for found in checked.findings:
        yield _finding(found, whole)
    for off in checked.never_on:
        yield _never_on(off, checked)
    for warning in checked.spec.wide:
        yield _message(warning, ItemOutcome.FAILS, "NOT ACCEPTED", checked)
    for warning in checked.warnings:
        if warning.code in (OUTPUT_UNDECIDED, HANDS_UNDECIDED):
            yield _message(warning, ItemOutcome.OPEN, "UNDECIDED", checked)
    if checked.doubt:
        text = f"UNDECIDED: {checked.doubt}"
        name = f"{checked.spec.name}/assumptions"
        yield Item("assumptions", name, ItemOutcome.OPEN, text, whole, whole)


_OUTCOMES = {
    Outcome.PROVED: ItemOutcome.HOLDS,
    Outcome.VIOLATED: ItemOutcome.FAILS,
    Outcome.VACUOUS: ItemOutcome.FAILS,
    Outcome.UNDECIDED: ItemOutcome.OPEN,
}


def _requirement(result: RequirementResult, doubt: str) -> Item:
    asked, outcome = result.asked, _OUTCOMES[result.outcome]
    if outcome is ItemOutcome.HOLDS and (result.reason or doubt):
        outcome = ItemOutcome.OPEN
    return Item(
        asked.name,
        asked.identifier,
        outcome,
        f"{result.outcome.value}: {_said(result, doubt)}",
        result.cause or asked.place,
        asked.place,
        result.run,
        result.as_expected and outcome is ItemOutcome.FAILS,
    )


def _said(result: RequirementResult, doubt: str) -> str:
    asked = result.asked.sentence
    match result.outcome:
        case Outcome.VIOLATED if result.seen:
            return result.seen
        case Outcome.VACUOUS if result.vacuity is not None:
            return f"{asked}; but {result.vacuity.value}{_under(result.readings)}"
        case Outcome.UNDECIDED:
            return f"{asked}; stopped by: {result.reason}"
        case Outcome.PROVED if doubt or result.reason:
            return f"{asked}; but this is open: {doubt or result.reason}"
    return asked


def _under(readings: Choices) -> str:
    return f" where {reading_words(dict(readings))}" if readings else ""


def _finding(found: FindingResult, whole: FilePlace) -> Item:
    can = found.outcome is Outcome.VIOLATED
    how = "FINDING: {} can happen" if can else "UNDECIDED: {} is not excluded"
    return Item(
        found.kind.value.replace(" ", "-"),
        found.identifier,
        ItemOutcome.FAILS if can else ItemOutcome.OPEN,
        how.format(found.kind.value),
        found.place,
        whole,
        found.run,
    )


def _never_on(off: NeverOn, checked: CheckedSpec) -> Item:
    whole = FilePlace(checked.spec.path)
    text = f"NEVER ON: output {off.output} can never turn on{_under(off.readings)}"
    name = f"{checked.spec.name}/never-on/{off.output}"
    return Item("never-on", name, ItemOutcome.FAILS, text, whole, whole)


def _message(said: Message, outcome: ItemOutcome, word: str, checked: CheckedSpec) -> Item:
    place = said.place or FilePlace(checked.spec.path)
    name = f"{checked.spec.name}/{said.code}/{place.identifier}"
    return Item(said.code, name, outcome, f"{word}: {said.text}", place, place)
