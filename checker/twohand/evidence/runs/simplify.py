"""A run made easier to read: what does not matter is taken away, and it is replayed each time.

Every try is executed and judged again, so that what is left is as good a run as the first.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from twohand.evidence.runs.replay import Replayer
from twohand.evidence.runs.trace import Scan, Trace
from twohand.program.types import Value
from twohand.scan.scan_record import ScanRecord

MOST_SCANS = 6000
"""Scans that are executed for one run's sake."""
_MOST_PAIRS = 4_000_000
"""Pairs of scans in the runs that are judged: a formula over the past looks back from each scan."""

Wanted = Callable[[Sequence[ScanRecord]], bool]


def simplified(trace: Trace, replayer: Replayer, wanted: Wanted) -> Trace:
    """A run whose records are still ``wanted`` and meet the assumptions: as few losses of power,
    inputs, presses and scans as a few thousand executed scans find."""
    power = replayer.specification.power
    supply = None if power is None else power.name
    end = replayer.scans_executed + MOST_SCANS
    pairs = _MOST_PAIRS

    def good(tried: Trace) -> bool:
        records = replayer.records(tried)
        return len(records) == len(tried.scans) and wanted(records) and replayer.allowed(records)

    for variants in (_powered, _without_inputs, _evenly_timed, _without_values, _without_scans):
        progress = True
        while progress:
            progress = False
            for tried in variants(trace, supply):
                length = len(tried.scans)
                pairs -= length * length
                if pairs < 0 or replayer.scans_executed + length > end:
                    return trace
                if tried != trace and good(tried):
                    trace, progress = tried, True
                    break
            if variants is _evenly_timed:
                break
    return trace


def relevant_readings(trace: Trace, replayer: Replayer, wanted: Wanted) -> dict[str, bool]:
    """The chosen readings without which the run is not what it is."""

    def differs(name: str, value: bool) -> bool:
        other = replace(trace, readings=replace(trace.readings, **{name: not value}))
        records = replayer.records(other)
        return len(records) != len(trace.scans) or not wanted(records)

    return {name: value for name, value in trace.chosen.items() if differs(name, value)}


def _powered(trace: Trace, supply: str | None) -> Iterator[Trace]:
    """The supply on all the time, then each stretch without it under power."""
    if supply is None:
        return
    off = [not scan.inputs.get(supply, False) for scan in trace.scans]
    if any(off):
        yield _with_power(trace, supply, 0, len(off) - 1)
    for first, last in _stretches(off):
        if off[first]:
            yield _with_power(trace, supply, first, last)


def _with_power(trace: Trace, supply: str, first: int, last: int) -> Trace:
    scans = [
        replace(scan, inputs={**scan.inputs, supply: True}) if first <= position <= last else scan
        for position, scan in enumerate(trace.scans)
    ]
    return replace(trace, scans=tuple(scans))


def _stretches(values: Sequence[Value]) -> Iterator[tuple[int, int]]:
    """First and last position of each stretch of equal values."""
    start = 0
    for position in range(1, len(values) + 1):
        if position == len(values) or values[position] != values[start]:
            yield start, position - 1
            start = position


def _names(trace: Trace, supply: str | None) -> list[str]:
    """The inputs that may be taken away; the supply is none."""
    return sorted({name for scan in trace.scans for name in scan.inputs} - {supply or ""})


def _without(trace: Trace, names: Sequence[str], first: int, last: int) -> Trace:
    """The run with these inputs at their default from scan ``first`` to ``last``, inclusive."""
    gone = set(names)
    scans = [
        Scan({n: v for n, v in scan.inputs.items() if n not in gone}, scan.elapsed)
        if first <= position <= last
        else scan
        for position, scan in enumerate(trace.scans)
    ]
    return replace(trace, scans=tuple(scans))


def _without_inputs(trace: Trace, supply: str | None) -> Iterator[Trace]:
    """Many inputs constant, then fewer, at last each by itself."""
    names = _names(trace, supply)
    size = len(names)
    while size:
        for start in range(0, len(names), size):
            yield _without(trace, names[start : start + size], 0, len(trace.scans) - 1)
        size //= 2


def _without_values(trace: Trace, supply: str | None) -> Iterator[Trace]:
    """Each stretch of a TRUE (or other than 0) input away."""
    for name in _names(trace, supply):
        values = [scan.inputs.get(name, 0) for scan in trace.scans]
        for first, last in _stretches(values):
            if values[first]:
                yield _without(trace, [name], first, last)


def _evenly_timed(trace: Trace, _: str | None) -> Iterator[Trace]:
    """Every scan as long as one of those that occur."""
    for elapsed in sorted({scan.elapsed for scan in trace.scans}, reverse=True):
        yield replace(trace, scans=tuple(replace(s, elapsed=elapsed) for s in trace.scans))


def _without_scans(trace: Trace, _: str | None) -> Iterator[Trace]:
    """Stretches of scans with equal inputs, shorter: half of a stretch, or one scan of it."""
    start = 0
    scans = trace.scans
    for position in range(1, len(scans) + 1):
        if position < len(scans) and scans[position].inputs == scans[start].inputs:
            continue
        length = position - start
        for fewer in sorted({length // 2, 1}, reverse=True):
            if 0 < fewer < length or (fewer == length == 1 and len(scans) > 1):
                yield replace(trace, scans=scans[:start] + scans[start + fewer :])
        start = position
