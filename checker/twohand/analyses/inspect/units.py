"""The units of files and folders, and what became of each: the table above the details."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from enum import Enum

from twohand.analyses.inspect.check import Inspection
from twohand.analyses.inspect.subject import Library, SourceUnit, Subject, in_turn, subject_of_block
from twohand.analyses.inspect.text import (
    cause_sentence,
    counted_points,
    inspection_code,
    inspection_total,
)
from twohand.report.drawing.source_line import address
from twohand.report.drawing.terminal import Paint, Terminal
from twohand.report.exit_code import ExitCode, worst
from twohand.report.verdict_line import worded
from twohand.specification.phrases import count, listing
from twohand.text.diagnostic import Diagnostic, InputError, wrong
from twohand.text.source_text import COMMAND_LINE
from twohand.text.suggestions import nearest

_COLUMNS = 11


class UnitAnswer(Enum):
    """What became of a unit; the values are the words of tables and documents."""

    FAULTS = "faults"
    UNDECIDED = "undecided"
    REFUSED = "refused"
    CLEAN = "clean"
    WITHIN = "within"
    """It is inspected within the units that have or call it."""


_PAINTS = {
    UnitAnswer.FAULTS: Paint.BAD,
    UnitAnswer.UNDECIDED: Paint.OPEN,
    UnitAnswer.REFUSED: Paint.OPEN,
    UnitAnswer.CLEAN: Paint.GOOD,
    UnitAnswer.WITHIN: Paint.STRONG,
}
_OF_CODE = {
    ExitCode.VIOLATED: UnitAnswer.FAULTS,
    ExitCode.UNDECIDED: UnitAnswer.UNDECIDED,
    ExitCode.ALL_PROVED: UnitAnswer.CLEAN,
}


@dataclass(frozen=True, eq=False)
class UnitOutcome:
    """A unit with its ``inspection``, or with the ``problems`` for which it is refused, or with
    neither where it is within others. ``named``: whether the user asked for it by its name."""

    unit: SourceUnit
    inspection: Inspection | None = None
    problems: tuple[Diagnostic, ...] = ()
    named: bool = False

    @property
    def answer(self) -> UnitAnswer:
        if self.inspection is not None:
            return _OF_CODE[inspection_code(self.inspection)]
        return UnitAnswer.REFUSED if self.problems else UnitAnswer.WITHIN


def outcomes_of(
    library: Library,
    wished: tuple[str | None, tuple[str, ...], tuple[str, ...]],
    inspected: Callable[[Subject], Inspection],
) -> Iterator[UnitOutcome]:
    """The units of a library, one after the other, as they are ``inspected``; ``wished`` are the
    scan time, what is said of the platform, and the variables that others write."""
    scan, platform, free = wished
    refused: list[SourceUnit] = []
    for unit, alone in in_turn(library.units, refused):
        if not alone:
            away = {each.name for each in refused}
            users = tuple(name for name in unit.users if name not in away)
            yield UnitOutcome(replace(unit, users=users))
            continue
        try:
            subject = subject_of_block(
                library.sources, unit.name, scan, platform, library.searched, unit.kind, free
            )
        except InputError as error:
            refused.append(unit)
            yield UnitOutcome(unit, None, tuple(error.diagnostics), library.named)
        else:
            yield UnitOutcome(unit, inspected(subject), (), library.named)


def check_freed(free: Sequence[str], outcomes: Iterable[UnitOutcome]) -> None:
    """InputError for names of variables that no unit has."""
    inspections = [each.inspection for each in outcomes if each.inspection is not None]
    having = {name for each in inspections for name in each.subject.freed}
    for name in free:
        if name not in having:
            known = [v.name for i in inspections for v in i.subject.specification.program.variables]
            close = nearest(name, known)
            way = f"did you mean '{close}'?" if close else "name a variable of an inspected unit"
            if name.casefold() in {each.casefold() for each in known}:
                way = f"the block of a spec has it: write OUTSIDE {name}; there"
            message = f"no inspected unit of a source file has a variable '{name}'"
            raise wrong("unknown-name", message, None, way, path=COMMAND_LINE)


def outcome_of_spec(found: Inspection) -> UnitOutcome:
    """The outcome of the block of a spec."""
    spec = found.subject.specification
    return UnitOutcome(SourceUnit(spec.program.name, "SPEC", spec.source.path), found)


def units_code(outcomes: Iterable[UnitOutcome]) -> ExitCode:
    """The worst of one path's units. One that is refused is as good as undecided; it cannot be used
    where it was named, or where nothing else could be inspected."""
    given = list(outcomes)
    refused = [each for each in given if each.answer is UnitAnswer.REFUSED]
    codes = [inspection_code(each.inspection) for each in given if each.inspection is not None]
    if not codes or any(each.named for each in refused):
        codes.append(ExitCode.UNUSABLE)
    return worst([*codes, *(ExitCode.UNDECIDED for _ in refused)])


def in_order(outcomes: Sequence[UnitOutcome]) -> list[UnitOutcome]:
    """What has to be looked at first, first."""
    order = list(UnitAnswer)
    return sorted(outcomes, key=lambda each: order.index(each.answer))


def shows_more(outcome: UnitOutcome) -> bool:
    """Whether the details of a unit say more than that it is clean."""
    found = outcome.inspection
    return found is not None and bool(found.found or found.warnings)


def unit_lines(outcomes: Sequence[UnitOutcome], terminal: Terminal, details: bool) -> list[str]:
    """The table of the units; those that are clean have no ``details`` below where these were not
    asked for."""
    lines = [terminal.heading(count(len(outcomes), "unit"))]
    for each in in_order(outcomes):
        unit, answer = each.unit, each.answer
        text = f"{unit.name} ({unit.kind}, {unit.path}){_detail(each)}"
        lines += worded(answer.value.upper(), _PAINTS[answer], text, terminal, _COLUMNS)
    inspected = [each for each in outcomes if each.inspection is not None]
    if not details and not all(map(shows_more, inspected)):
        note = "what was looked for in the units of which nothing more is said: --details"
        lines += terminal.wrap(note, 2)
    return lines


def _detail(outcome: UnitOutcome) -> str:
    if outcome.inspection is not None:
        parts = counted_points([outcome.inspection]), cause_sentence(outcome.inspection)
        return "".join(f"{sign} {part}" for sign, part in zip(":;", parts, strict=True) if part)
    if not outcome.problems:
        return f": inspected within {listing(list(outcome.unit.users))}"
    first = outcome.problems[0]
    place = "" if first.span is None else f"{address(first.span)}: "
    more = len(outcome.problems) - 1
    return f": {place}{first.message}{f', and {more} more' if more else ''}"


def units_total(outcomes: Sequence[UnitOutcome]) -> str:
    inspections = [each.inspection for each in outcomes if each.inspection is not None]
    refused = sum(each.answer is UnitAnswer.REFUSED for each in outcomes)
    text = inspection_total(inspections)
    return f"{text}; {count(refused, 'unit')} refused" if refused else text
