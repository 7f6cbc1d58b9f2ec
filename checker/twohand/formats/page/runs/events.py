"""The scans of a run in which something happens, and what each signal shows in them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from twohand.program.durations import Nanoseconds
from twohand.record.run import PlainValue, Run, Signal, SignalRole
from twohand.specification.phrases import duration_of

MOST_EVENTS = 24
"""Events of a run that are shown; of more the first and the last ones are."""
_FIRST = 8
_STEADY = 4
"""A number that changes in more than one of so many scans runs on, and is no news."""


@dataclass(frozen=True)
class ShownScan:
    """One scan (from 0, those before power-up included), with the ``values`` at its end."""

    scan: int
    time: int
    values: Mapping[str, PlainValue]


@dataclass(frozen=True)
class ShownRun:
    """``left_out`` are the first and the last scan between the ``events`` that are not shown, if
    there are any; ``past`` is the number of scans before power-up."""

    run: Run
    events: tuple[ShownScan, ...]
    left_out: tuple[int, int] | None
    past: int

    @property
    def gap(self) -> int | None:
        """The position of the first event behind what is left out."""
        return None if self.left_out is None else _FIRST

    def scan_name(self, scan: int) -> str:
        return "before" if scan < self.past else f"scan {scan - self.past + 1}"


def shown_run(run: Run) -> ShownRun:
    past = sum(step.before_power_up for step in run.steps)
    scans = [*_happening(run)]
    left_out = None
    if len(scans) > MOST_EVENTS:
        begin, end = scans[:_FIRST], scans[_FIRST - MOST_EVENTS :]
        left_out = (begin[-1] + 1, end[0] - 1)
        scans = [*begin, *end]
    return ShownRun(run, tuple(_events(run, scans)), left_out, past)


def changing(shown: ShownRun) -> list[Signal]:
    """The signals that have more than one value in the run."""
    changes = Counter(name for step in shown.run.steps for name, _ in step.changes)
    known = {name for name, _ in shown.run.steps[shown.past].changes} if shown.past else set()
    first = {name for name, _ in shown.run.steps[0].changes}
    return [
        signal
        for signal in shown.run.signals
        if changes[signal.name] > 1 or (changes[signal.name] and signal.name not in first | known)
    ]


def in_order(signals: Iterable[Signal], hands: Iterable[str]) -> list[Signal]:
    """Those that hands are read from first, then inputs, outputs and all others."""
    first = {name: number for number, name in enumerate(hands)}
    roles = [*SignalRole]
    return sorted(
        signals, key=lambda each: (first.get(each.name, len(first)), roles.index(each.role))
    )


def value_text(value: PlainValue | None, signal: Signal) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(value).upper()
    return duration_of(Nanoseconds(int(value))) if signal.unit == "ns" else str(value)


def _happening(run: Run) -> Iterator[int]:
    """The scans with news: the first, the last, the first with power, and every change other than
    that of a number that runs on."""
    changes = Counter(name for step in run.steps for name, _ in step.changes)
    few = max(_STEADY, len(run.steps) // _STEADY)
    numbers = {each.name for each in run.signals if each.type != "BOOL"}
    runs_on = {name for name in numbers if changes[name] > few}
    last = len(run.steps) - 1
    powered = next((n for n, each in enumerate(run.steps) if not each.before_power_up), 0)
    for scan, step in enumerate(run.steps):
        news = any(name not in runs_on for name, _ in step.changes)
        if scan in (0, powered, last) or news:
            yield scan


def _events(run: Run, scans: Iterable[int]) -> Iterator[ShownScan]:
    wanted = {*scans}
    values: dict[str, PlainValue] = {}
    for scan, step in enumerate(run.steps):
        values.update(step.changes)
        if scan in wanted:
            yield ShownScan(scan, step.time, dict(values))
