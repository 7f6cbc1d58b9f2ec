"""The units of files and folders, and what became of each: the table above the details."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from enum import Enum

from twohand.analyses.inspect.check import Inspection
from twohand.analyses.inspect.subject import Library, SourceUnit, Subject, in_turn, subject_of_block
from twohand.analyses.inspect.text import counted_points, inspection_code, inspection_total
from twohand.report.drawing.source_line import address
from twohand.report.drawing.terminal import Paint, Terminal
from twohand.report.exit_code import ExitCode, worst
from twohand.report.verdict_line import worded
from twohand.specification.phrases import count, listing
from twohand.text.diagnostic import Diagnostic, InputError

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
    wished: tuple[str | None, tuple[str, ...]],
    inspected: Callable[[Subject], Inspection],
) -> Iterator[UnitOutcome]:
    """The units of a library, one after the other, as they are ``inspected``; ``wished`` are the
    scan time and what is said of the platform."""
    refused: list[SourceUnit] = []
    for unit, alone in in_turn(library.units, refused):
        if not alone:
            away = {each.name for each in refused}
            users = tuple(name for name in unit.users if name not in away)
            yield UnitOutcome(replace(unit, users=users))
            continue
        try:
            subject = subject_of_block(
                library.sources, unit.name, *wished, library.searched, unit.kind
            )
        except InputError as error:
            refused.append(unit)
            yield UnitOutcome(unit, None, tuple(error.diagnostics), library.named)
        else:
            yield UnitOutcome(unit, inspected(subject), (), library.named)


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


def unit_lines(outcomes: Sequence[UnitOutcome], terminal: Terminal) -> list[str]:
    """The table of the units."""
    lines = [terminal.heading(count(len(outcomes), "unit"))]
    for each in in_order(outcomes):
        unit, answer = each.unit, each.answer
        text = f"{unit.name} ({unit.kind}, {unit.path}){_detail(each)}"
        lines += worded(answer.value.upper(), _PAINTS[answer], text, terminal, _COLUMNS)
    return lines


def _detail(outcome: UnitOutcome) -> str:
    if outcome.inspection is not None:
        points = counted_points([outcome.inspection])
        return f": {points}" if points else ""
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
