"""A replayed run as plain data: its signals, and for each scan the values that change."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from typing import TypeAlias

from twohand.evidence.verdict import Counterexample
from twohand.program.durations import Units
from twohand.program.types import Duration, Enumeration, Type, Value
from twohand.record.message import FilePlace, place_in_file
from twohand.report.drawing.lanes import Lane, LaneGroup, lanes_of
from twohand.scan.clocking import Clocking
from twohand.scan.scan_record import ScanRecord
from twohand.specification.model.specification import Specification

PlainValue: TypeAlias = bool | int | str
"""BOOL as bool, durations in nanoseconds, other numbers as int, enumerations by name."""
Choices: TypeAlias = tuple[tuple[str, bool], ...]
"""Readings (what the standard leaves open) by name, in the order of their names, as chosen."""


class SignalRole(Enum):
    """What a variable is for the block, and for what the spec puts around it."""

    INPUT = "input"
    OUTPUT = "output"
    INTERNAL = "internal"


_ROLES = {
    LaneGroup.INPUTS: SignalRole.INPUT,
    LaneGroup.OUTPUTS: SignalRole.OUTPUT,
    LaneGroup.INTERNAL: SignalRole.INTERNAL,
}


@dataclass(frozen=True)
class Signal:
    """``type`` is the name of the type (``BOOL``, ``TIME``); ``unit`` of its values is ``ns`` for
    durations, else ''."""

    name: str
    type: str
    unit: str
    role: SignalRole


@dataclass(frozen=True)
class RunStep:
    """One scan: ``time`` is when its inputs were sampled, in nanoseconds since the first scan's
    sampling; ``changes`` are the signals whose values differ from those of the scan before (in the
    first scan: all that have one). Inputs as sampled, all others as they are at its end.

    A run may begin with scans before power-up, in which nothing but inputs is sampled: their
    ``time`` is negative."""

    time: int
    changes: tuple[tuple[str, PlainValue], ...]

    @property
    def before_power_up(self) -> bool:
        return self.time < 0


@dataclass(frozen=True)
class Run:
    """A run that was executed statement by statement; its last scan is what it is shown for.

    ``readings`` are the choices of what the standard leaves open that it was executed with;
    ``reading_decides``: under another choice of them the requirement was proved. ``causes`` give
    for outputs the statement that last wrote them, ``executed`` the statements that wrote a value
    in the last scan, in the order of the text.
    """

    signals: tuple[Signal, ...]
    steps: tuple[RunStep, ...]
    readings: Choices = ()
    reading_decides: bool = False
    causes: tuple[tuple[str, FilePlace], ...] = ()
    executed: tuple[FilePlace, ...] = ()

    def values(self, scan: int) -> dict[str, PlainValue]:
        """All values of one step (from 0, negative from the end)."""
        number = range(len(self.steps))[scan]
        found: dict[str, PlainValue] = {}
        for step in self.steps[: number + 1]:
            found.update(step.changes)
        return found


def step_text(scan: int, step: RunStep) -> str:
    """``scan 4, 15 ms: left := TRUE, n := 3``; durations in nanoseconds."""
    values = ", ".join(f"{name} := {_value_text(value)}" for name, value in step.changes)
    return f"scan {scan}, {step.time / 1_000_000:g} ms: {values or 'as before'}"


def _value_text(value: PlainValue) -> str:
    return str(value).upper() if isinstance(value, bool) else str(value)


def choices_of(readings: Mapping[str, bool]) -> Choices:
    return tuple(sorted(readings.items()))


def nanoseconds_of(units: Units | None, clocking: Clocking) -> int | None:
    return None if units is None else clocking.nanoseconds(units)


def plain_value(value: Value, kind: Type, clocking: Clocking) -> PlainValue:
    """A value of a run; durations in it are in units."""
    if isinstance(kind, Duration):
        return clocking.nanoseconds(Units(int(value)))
    return kind.value_name(int(value)) if isinstance(kind, Enumeration) else value


def signals_of(specification: Specification) -> tuple[Signal, ...]:
    """Every variable of its program."""
    return tuple(_signal(lane) for lane in _variables(specification, ()))


def run_of(run: Counterexample | None, specification: Specification) -> Run | None:
    """With every variable of the program that it is a run of."""
    if run is None:
        return None
    return run_of_lanes(run, _variables(specification, run.records), specification.clocking)


def run_of_lanes(run: Counterexample, lanes: Iterable[Lane], clocking: Clocking) -> Run:
    """With these signals, each under its lane's label."""
    shown = tuple(lanes)
    steps = [
        RunStep(clocking.nanoseconds(record.time), _changes(shown, scan, clocking))
        for scan, record in enumerate(run.records)
    ]
    return Run(
        tuple(_signal(lane) for lane in shown),
        tuple(steps),
        choices_of(run.all_readings),
        run.reading_decides,
        tuple((name, place_in_file(span)) for name, span in run.causes.items()),
        _executed(run.records[-1]) if run.records else (),
    )


def _executed(last: ScanRecord) -> tuple[FilePlace, ...]:
    places = {place_in_file(span) for span in last.writers.values()}
    return tuple(sorted(places, key=lambda each: (each.path, each.line, each.column)))


def _variables(specification: Specification, records: Sequence[ScanRecord]) -> tuple[Lane, ...]:
    """A lane for each variable, under its own name: hands would stand in place of their inputs."""
    return lanes_of(replace(specification, stations=()), None, records)


def _signal(lane: Lane) -> Signal:
    unit = "ns" if isinstance(lane.kind, Duration) else ""
    return Signal(lane.label, lane.kind.name, unit, _ROLES[lane.group])


def _changes(
    lanes: Sequence[Lane], scan: int, clocking: Clocking
) -> tuple[tuple[str, PlainValue], ...]:
    changed = []
    for lane in lanes:
        value = lane.values[scan]
        if value is not None and (scan == 0 or value != lane.values[scan - 1]):
            changed.append((lane.label, plain_value(value, lane.kind, clocking)))
    return tuple(changed)
