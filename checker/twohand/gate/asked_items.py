"""Everything that a project asks of a spec, as items: those of its check, and of what else it is
asked."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from twohand.analyses.faults.record import SpecUnderFaults, UnderFault
from twohand.analyses.faults.table import Standing
from twohand.analyses.inspect.points import Weight
from twohand.analyses.inspect.record import InspectedBlock
from twohand.analyses.measure.record import MeasuredFigure, MeasuredSpec
from twohand.analyses.measure.results import Decision
from twohand.evidence.verdict import Outcome
from twohand.formats.items import Item, ItemOutcome
from twohand.gate.identifiers import FAULTS, INSPECT, MEASURE
from twohand.gate.project.project_file import FigureLimit
from twohand.program.durations import Nanoseconds
from twohand.record.content import identified
from twohand.record.message import FilePlace
from twohand.report.exit_code import ExitCode
from twohand.specification.model.fault import Kept
from twohand.specification.phrases import duration_of

_HOLDS, _FAILS, _OPEN = ItemOutcome.HOLDS, ItemOutcome.FAILS, ItemOutcome.OPEN


def _whole(
    code: ExitCode, parts: Sequence[Item], name: str, what: str, place: FilePlace
) -> Iterator[Item]:
    """An item for what the exit code says and none of the ``parts`` does."""
    outcomes = {each.outcome for each in parts}
    if code is ExitCode.ALL_PROVED:
        if not parts:
            yield Item("as-a-whole", name, _HOLDS, f"CLEAN: {what}", place, place)
    elif code is not ExitCode.UNDECIDED and _FAILS not in outcomes:
        yield Item("as-a-whole", name, _FAILS, f"FAILED: {what} is no pass", place, place)
    elif not outcomes & {_FAILS, _OPEN}:
        yield Item("as-a-whole", name, _OPEN, f"UNDECIDED: {what} is open", place, place)


# --- faults -------------------------------------------------------------------------------------


def fault_items(table: SpecUnderFaults) -> tuple[Item, ...]:
    """What each fault costs that may cost nothing; what is lost and may be, holds."""
    spec, found = table.without_fault.spec, list(_fault_items(table))
    name = f"{FAULTS}{spec.name}/table"
    whole = _whole(table.exit_code, found, name, "the fault table", FilePlace(spec.path))
    return identified([*found, *whole])


def _fault_items(table: SpecUnderFaults) -> Iterator[Item]:
    spec = table.without_fault.spec
    whole = FilePlace(spec.path)
    places = {each.name: each.place for each in spec.requirements}
    pairs = table.pairs if table.kept is Kept.KEPT_AND_NOTICED else ()
    for fault in _each_course((*table.single, *pairs)):
        for answer in fault.answers:
            place = places.get(answer.requirement, whole)
            outcome = _STANDINGS.get(answer.standing, _HOLDS)
            word = {_FAILS: "LOST", _OPEN: "UNDECIDED", _HOLDS: answer.standing.value}[outcome]
            text = f"{word}: {answer.requirement} with this fault: {fault.title}"
            name = FAULTS + answer.identifier
            yield Item("under-fault", name, outcome, text, place, place, answer.run)
        for found in fault.findings:
            fails = found.outcome is Outcome.VIOLATED
            word = "FINDING" if fails else "UNDECIDED"
            text = f"{word}: {found.kind.value} with this fault: {fault.title}"
            name = f"{FAULTS}{spec.name}/{fault.name}/{found.identifier}"
            outcome = _FAILS if fails else _OPEN
            yield Item("finding-under-fault", name, outcome, text, found.place, whole, found.run)
    unnoticed = any(fault.noticed is not Outcome.PROVED for fault in table.single)
    if table.kept is Kept.KEPT_AND_NOTICED and not table.pairs_asked and unnoticed:
        text = "UNDECIDED: second faults are not asked"
        name = f"{FAULTS}{spec.name}/second-faults"
        yield Item("second-faults", name, _OPEN, text, whole, whole)


_STANDINGS = {Standing.VIOLATED: _FAILS, Standing.UNDECIDED: _OPEN}


def _each_course(faults: Sequence[UnderFault]) -> Iterator[UnderFault]:
    for fault in faults:
        yield fault
        yield from fault.ending


# --- inspections --------------------------------------------------------------------------------


def inspection_items(block: InspectedBlock, spec: str) -> tuple[Item, ...]:
    """What was found or suspected in the block of the ``spec`` of this name."""
    name = f"{INSPECT}{spec}/{block.block}"
    found = list(_inspection_items(block, f"{INSPECT}{spec}/"))
    whole = _whole(block.exit_code, found, name, "the inspection", FilePlace(block.path))
    return identified([*found, *whole])


def _inspection_items(block: InspectedBlock, begin: str) -> Iterator[Item]:
    for point in block.points:
        outcome = {Weight.FAULT: _FAILS, Weight.OPEN: _OPEN}.get(point.weight, _HOLDS)
        text = f"{point.weight.value.upper()}: {point.sentence}"
        if outcome is _OPEN and point.reason:
            text += f"; stopped by: {point.reason}"
        name = begin + point.identifier
        yield Item(point.kind.value, name, outcome, text, point.place, point.place, point.run)


# --- figures ------------------------------------------------------------------------------------


def limit_items(measured: MeasuredSpec, limits: Sequence[FigureLimit]) -> tuple[Item, ...]:
    """Whether each figure that has a limit keeps it; KeyError where there is no such figure."""
    figures = {each.identifier: each for each in measured.figures}
    found = []
    for limit in limits:
        figure = figures[limit.figure]
        outcome, words = kept(figure, limit.at_most, limit.at_least)
        if outcome is _HOLDS and measured.findings:
            outcome, words = _OPEN, f"{words}; only until a finding happens"
        word = {_HOLDS: "WITHIN", _FAILS: "BEYOND", _OPEN: "UNDECIDED"}[outcome]
        text = f"{word}: {figure.title}: {words}"
        name = f"{MEASURE}{figure.identifier}/{_limit_name(limit)}"
        place = figure.place
        found.append(Item("figure", name, outcome, text, place, place, figure.run))
    return identified(found)


def _limit_name(limit: FigureLimit) -> str:
    """Another limit is another thing to answer for."""
    if limit.at_most is not None:
        return f"at-most-{limit.at_most}ns"
    return f"at-least-{limit.at_least}ns"


def kept(
    figure: MeasuredFigure, most: Nanoseconds | None, least: Nanoseconds | None
) -> tuple[ItemOutcome, str]:
    """Whether a figure keeps its limit, and in words. It does where that is proved of the true
    time, and does not where a run shows it as sampled or there is nothing to measure."""
    if figure.decision is Decision.NEVER:
        return _FAILS, "there is nothing to measure, and a limit of it says nothing"
    limit = most if least is None else least
    assert limit is not None
    wished = f"asked is {'at most' if least is None else 'at least'} {duration_of(limit)}"
    if figure.least is (least is None):
        side = "least" if figure.least else "greatest"
        return _OPEN, f"{wished}, and what is measured is the {side} time"
    if figure.decision is Decision.NO_LIMIT:
        return _FAILS, f"there is no limit; {wished}"
    reached, true = figure.reached, figure.true_bound
    if reached is not None and (reached < limit if figure.least else reached > limit):
        return _FAILS, f"{duration_of(Nanoseconds(reached))} is reached; {wished}"
    if true is None:
        return _OPEN, f"no bound is proved; {wished}"
    words = f"the true time is {'above' if figure.least else 'below'}"
    words += f" {duration_of(Nanoseconds(true))} (proved); {wished}"
    return (_HOLDS if (true >= limit if figure.least else true <= limit) else _OPEN), words
