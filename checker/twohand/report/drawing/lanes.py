"""What a run is shown as: one lane for each hand and variable, with its values scan by scan."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from functools import cached_property

from twohand.program import Read
from twohand.program.durations import Scans, Units
from twohand.program.types import BOOL, Boolean, Duration, Enumeration, Integer, Type, Value
from twohand.program.walks import nodes_below
from twohand.report.drawing.hands import pressed
from twohand.report.drawing.terminal import Terminal
from twohand.scan.clocking import Clocking
from twohand.scan.scan_record import ScanRecord, scans_before
from twohand.specification.logic.formula import Property
from twohand.specification.model.specification import Hand, Requirement, Specification
from twohand.specification.phrases import duration, value

BEFORE_POWER_UP = "before power-up"


class LaneGroup(Enum):
    INPUTS = "inputs"
    OUTPUTS = "outputs"
    INTERNAL = "internal"


@dataclass(frozen=True)
class Lane:
    """``values`` and ``pace`` (elapsed time, also in whole milliseconds) have one item a scan;
    before power-up only inputs have values.
    ``subject`` says that a requirement or the spec's HAND and OUTPUT speak of it."""

    label: str
    variable: str
    group: LaneGroup
    kind: Type
    values: tuple[Value | None, ...]
    pace: tuple[tuple[Units, int], ...]
    subject: bool = False

    @property
    def changes(self) -> bool:
        return len({each for each in self.values if each is not None}) > 1

    def acts(self, scan: int) -> bool:
        """Whether this scan brings news: a change other than the steady progress of a clock or of
        a counter of scans."""
        before, now = self.values[scan - 1], self.values[scan]
        if before == now:
            return False
        if before is None or now is None or isinstance(self.kind, (Boolean, Enumeration)):
            return True
        if not isinstance(self.kind, (Duration, Integer)):
            return True
        step = int(now) - int(before)
        if abs(step) == self.pace[scan][isinstance(self.kind, Integer)]:
            return False
        earlier = self.values[scan - 2] if scan > 1 else None
        return earlier is None or step != int(before) - int(earlier)


@dataclass(frozen=True)
class Picture:
    """What a run is drawn from, and where."""

    lanes: tuple[Lane, ...]
    records: Sequence[ScanRecord]
    clocking: Clocking
    terminal: Terminal

    @cached_property
    def past(self) -> Scans:
        """Scans before power-up."""
        return scans_before(self.records)

    def time(self, scan: int) -> str:
        return duration(self.records[scan].time, self.clocking)

    def name(self, scan: int) -> str:
        """The scan by its number since power-up."""
        return BEFORE_POWER_UP if scan < self.past else f"scan {scan - self.past + 1}"

    def value(self, lane: Lane, scan: int) -> str:
        """A value in words; '' for what has none before power-up."""
        now = lane.values[scan]
        return "" if now is None and scan < self.past else value(now, lane.kind, self.clocking)

    def first_values(self, lanes: Sequence[Lane]) -> str:
        """Those of the first scan of the run."""
        return ", ".join(f"{lane.label} {self.value(lane, self.past)}" for lane in lanes)


@dataclass(frozen=True)
class ScanRange:
    """Scans ``first`` to ``last`` (inclusive, from 0) in which nothing new happens after the
    first one."""

    first: int
    last: int

    @property
    def scans(self) -> int:
        return self.last - self.first + 1


def stretches(lanes: Iterable[Lane], scans: int) -> tuple[ScanRange, ...]:
    """A run cut where a lane acts; its last scan, which is what the run is shown for, is one of
    its own."""
    shown = tuple(lanes)
    starts = [
        scan
        for scan in range(scans)
        if scan in (0, scans - 1) or any(lane.acts(scan) for lane in shown)
    ]
    ends = [*(start - 1 for start in starts[1:]), scans - 1]
    return tuple(ScanRange(first, last) for first, last in zip(starts, ends, strict=True))


def variables_of(asked: Property) -> Iterator[str]:
    """Names of the variables that a property reads."""
    for node in nodes_below(asked):
        if isinstance(node, Read):
            yield node.variable.name


def _pace(records: Sequence[ScanRecord], clocking: Clocking) -> tuple[tuple[Units, int], ...]:
    per_millisecond = clocking.units_per_millisecond
    return tuple((record.elapsed, record.elapsed // per_millisecond) for record in records)


def _hand_label(hand: Hand) -> tuple[str, str]:
    """How a hand is called, and the input that it is read from where it is just that."""
    if not isinstance(hand.pressed, Read):
        return hand.name, ""
    variable = hand.pressed.variable.name
    same = variable.casefold() in (hand.name.casefold(), f"hand.{hand.name}".casefold())
    return (hand.name if same else f"{hand.name} ({variable})"), variable


def lanes_of(
    specification: Specification,
    requirement: Requirement | None,
    records: Sequence[ScanRecord],
    also: Iterable[Requirement] = (),
) -> tuple[Lane, ...]:
    """Every hand and variable of a run: hands first, then inputs, outputs and all others. ``also``
    are further requirements that the run is shown for."""
    program = specification.program
    pace = _pace(records, specification.clocking)
    shown_for = [*also] if requirement is None else [requirement, *also]
    asked = {name for each in shown_for for name in variables_of(each.property)}
    counted = {variable.name for variable in specification.outputs}
    inputs = {variable.name for variable in program.inputs}
    outputs = counted | {variable.name for variable in program.outputs}
    lanes = []
    read_by_hand = set()
    for hand in specification.hands:
        label, variable = _hand_label(hand)
        read_by_hand.add(variable)
        values = tuple(pressed(hand.pressed, record.values) for record in records)
        lanes.append(Lane(label, variable, LaneGroup.INPUTS, BOOL, values, pace, True))
    others: dict[LaneGroup, list[Lane]] = {group: [] for group in LaneGroup}
    for item in program.variables:
        name = item.name
        if name not in read_by_hand:
            of_program = LaneGroup.OUTPUTS if name in outputs else LaneGroup.INTERNAL
            group = LaneGroup.INPUTS if name in inputs else of_program
            values = tuple(record.values.get(name) for record in records)
            subject = name in asked | counted
            label = f"({item.uncomputed})" if item.uncomputed else name
            others[group].append(Lane(label, name, group, item.type, values, pace, subject))
    return (*lanes, *(lane for group in LaneGroup for lane in others[group]))
