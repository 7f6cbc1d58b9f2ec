"""Waivers: what somebody answers for although it is not proved, written into the repository."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from enum import Enum
from pathlib import Path

from twohand.files.reading import read_source
from twohand.formats.items import Item, ItemOutcome
from twohand.gate.project.new_project import quoted
from twohand.gate.project.toml_table import TomlTable, toml_table
from twohand.text.diagnostic import Diagnostic, InputError
from twohand.text.source_text import SourceText, Span

KEYS = ("spec", "requirement", "outcome", "reason", "decided_by", "until", "content")
UNDECIDED = "UNDECIDED"


@dataclass(frozen=True)
class Waiver:
    """``spec`` is the path of a spec file from the folder of the project file on; ``requirement``
    the identifier of what is waived in it, ``outcome`` the word of how it came out. ``decided_by``
    is the role that answers for it, ``until`` the last day. ``content`` is the hash of block and
    requirement as they were."""

    spec: str
    requirement: str
    outcome: str
    reason: str
    decided_by: str
    until: date
    content: str


@dataclass(frozen=True)
class WrittenWaiver:
    """A waiver and where it is written."""

    waiver: Waiver
    span: Span


class WaiverStanding(Enum):
    """What became of a waiver."""

    IN_FORCE = "in force"
    EXPIRED = "expired"
    DOES_NOT_FIT = "does not fit"
    """Block, requirement or outcome are not what it was written for."""
    UNUSED = "unused"
    """What it names holds, or is not there."""


@dataclass(frozen=True)
class BoundItem:
    """An item, and the hash of block and requirement by which a waiver fits it."""

    item: Item
    content: str

    @property
    def word(self) -> str:
        """How it came out, as a waiver names it."""
        open_one = self.item.outcome is ItemOutcome.OPEN
        return UNDECIDED if open_one else self.item.text.partition(":")[0]


def read_waivers(path: Path, shown: str) -> tuple[WrittenWaiver, ...]:
    """All of them, in their order. InputError with everything that is wrong: then none counts."""
    source = waivers_text(path, shown)
    return () if source is None else waivers_of(toml_table(source))


def waivers_text(path: Path, shown: str) -> SourceText | None:
    """None where there is no file, or nothing in it."""
    if not path.exists() or (path.is_file() and not path.stat().st_size):
        return None
    return read_source(path, shown)


def waivers_of(table: TomlTable) -> tuple[WrittenWaiver, ...]:
    table.expect("waiver")
    found = [_waiver(each) for each in table.tables("waiver")]
    if table.problems:
        raise InputError(table.problems)
    return tuple(each for each in found if each is not None)


def _waiver(table: TomlTable) -> WrittenWaiver | None:
    table.expect(*KEYS)
    if not table.require(*KEYS):
        return None
    texts = {name: table.text(name) for name in KEYS if name != "until"}
    until = table.day("until")
    if until is None or None in texts.values():
        return None
    values = {name: text.text for name, text in texts.items() if text is not None}
    return WrittenWaiver(Waiver(**values, until=until), table.span)


def standing(waiver: Waiver, item: BoundItem | None, today: date) -> WaiverStanding:
    """Of a waiver of this item; None: there is no such item."""
    if item is None or item.item.outcome is ItemOutcome.HOLDS:
        return WaiverStanding.UNUSED
    if (waiver.content, waiver.outcome) != (item.content, item.word):
        return WaiverStanding.DOES_NOT_FIT
    return WaiverStanding.EXPIRED if today > waiver.until else WaiverStanding.IN_FORCE


@dataclass(frozen=True)
class WaivedSpec:
    """The items of a spec file, each with the waiver that is in force for it; and what became of
    each waiver of that file."""

    items: tuple[tuple[BoundItem, Waiver | None], ...]
    standings: tuple[tuple[WrittenWaiver, WaiverStanding], ...]


def waived(items: Sequence[BoundItem], waivers: Sequence[WrittenWaiver], today: date) -> WaivedSpec:
    """``waivers`` are those of the file that the items are of. Of several for one item the first
    counts, and the others are unused."""
    by_name = {each.item.identifier: each for each in items}
    in_force: dict[str, Waiver] = {}
    standings = []
    for written in waivers:
        name = written.waiver.requirement
        found = standing(written.waiver, by_name.get(name), today)
        if found is WaiverStanding.IN_FORCE and name in in_force:
            found = WaiverStanding.UNUSED
        if found is WaiverStanding.IN_FORCE:
            in_force[name] = written.waiver
        standings.append((written, found))
    pairs = tuple((each, in_force.get(each.item.identifier)) for each in items)
    return WaivedSpec(pairs, tuple(standings))


_WAYS = {
    WaiverStanding.EXPIRED: (
        "waiver-expired",
        "this waiver ended on {until}",
        "mend what it waives, or decide anew: remove it and write one with 'twohand waive'",
    ),
    WaiverStanding.DOES_NOT_FIT: (
        "waiver-does-not-fit",
        "this waiver was written for another text of block or requirement, or another outcome",
        "look at it as it is now: remove the waiver and write one with 'twohand waive'",
    ),
    WaiverStanding.UNUSED: (
        "waiver-unused",
        "this waiver waives nothing: '{requirement}' holds, is waived already, or is not asked",
        "remove it",
    ),
}


def complaints(
    standings: Sequence[tuple[WrittenWaiver, WaiverStanding]],
) -> Iterator[Diagnostic]:
    """Why waivers that are not in force fail a review."""
    for written, found in standings:
        if found in _WAYS:
            code, message, way = _WAYS[found]
            said = message.format(
                until=written.waiver.until, requirement=written.waiver.requirement
            )
            yield Diagnostic(code, said, written.span, way)


def with_waiver(source: SourceText | None, waiver: Waiver) -> str:
    """The text of the file of waivers with one more at its end."""
    before = "" if source is None else source.text.rstrip("\n") + "\n\n"
    return before + waiver_text(waiver)


def waiver_text(waiver: Waiver) -> str:
    lines = ["[[waiver]]"]
    for name in KEYS:
        value = getattr(waiver, name)
        lines.append(f"{name} = {value if isinstance(value, date) else quoted(value)}")
    return "\n".join(lines) + "\n"
