"""A run made easier to read: what does not matter is taken away, and it is replayed each time.

Every try is executed and judged again, so that what is left is as good a run as the first.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from twohand.evidence.runs.known_runs import rest_position
from twohand.evidence.runs.replay import Replayer
from twohand.evidence.runs.trace import Scan, Trace
from twohand.program.durations import Scans
from twohand.program.types import Value
from twohand.scan.scan_record import ScanRecord

MOST_SCANS = 20_000
"""Scans that are executed for one run's sake."""
_MOST_PAIRS = 4_000_000
"""Pairs of scans in the runs that are judged: a formula over the past looks back from each scan."""

Wanted = Callable[[Sequence[ScanRecord]], bool]


def simplified(trace: Trace, replayer: Replayer, wanted: Wanted) -> Trace:
    """A run whose records are still ``wanted`` and meet the assumptions: from rest where it can
    be, with as little before power-up, as few losses of power, changes of inputs and scans as some
    ten thousand executed scans find. No change of an input can be taken away from it, where they
    suffice."""
    return _Simplifier(trace, replayer, wanted).simplified()


class _Simplifier:
    """One run, and what may still be executed for its sake."""

    def __init__(self, trace: Trace, replayer: Replayer, wanted: Wanted) -> None:
        specification = replayer.specification
        self._trace = trace
        self._replayer = replayer
        self._wanted = wanted
        self._supply = None if specification.power is None else specification.power.name
        self._rest = rest_position(specification)
        self._end = replayer.scans_executed + MOST_SCANS
        self._pairs = _MOST_PAIRS

    def simplified(self) -> Trace:
        for variants in (_without_past, _powered, _without_inputs, _evenly_timed):
            self._exhaust(variants)
        if not self._rests(self._trace):
            self._take(self._from_rest(self._trace))
        before = None
        while before != self._trace and not self._spent(self._trace):
            before = self._trace
            for variants in (_without_past, _without_scans, _without_values, _with_fewer_changes):
                self._exhaust(variants)
        return self._trace

    def _exhaust(self, variants: Callable[[Trace, str | None], Iterator[Trace]]) -> None:
        """Takes every variant that is good, pass by pass, until a whole pass finds none."""
        progress, once = True, variants is _evenly_timed
        while progress:
            progress, position = False, 0
            while (found := self._next(variants, position)) is not None:
                position, progress = found, not once
                if once:
                    break

    def _next(
        self, variants: Callable[[Trace, str | None], Iterator[Trace]], position: int
    ) -> int | None:
        """Takes the first good variant from ``position`` on; its position, None for none."""
        for number, tried in enumerate(variants(self._trace, self._supply)):
            if number >= position and self._take(tried):
                return number
            if self._spent(tried):
                return None
        return None

    def _spent(self, tried: Trace) -> bool:
        executed = self._replayer.scans_executed + len(tried.scans)
        return self._pairs < len(tried.scans) ** 2 or executed > self._end

    def _take(self, tried: Trace) -> bool:
        """Whether the variant is as good a run, which is then the run."""
        if tried == self._trace or self._spent(tried):
            return False
        if self._rests(self._trace) and not self._rests(tried):
            return False
        self._pairs -= len(tried.scans) ** 2
        records = self._replayer.records(tried)
        good = (
            len(records) == len(tried.scans)
            and self._wanted(records)
            and self._replayer.allowed(records)
        )
        if good:
            self._trace = tried
        return good

    def _rests(self, trace: Trace) -> bool:
        first = trace.scans[trace.past].inputs
        return all(first.get(name, False) == value for name, value in self._rest.items())

    def _from_rest(self, trace: Trace) -> Trace:
        before, run = trace.scans[: trace.past], trace.scans[trace.past :]
        rest = replace(run[0], inputs={**run[0].inputs, **self._rest})
        return replace(trace, scans=(*before, rest, *run))


def relevant_readings(trace: Trace, replayer: Replayer, wanted: Wanted) -> dict[str, bool]:
    """The chosen readings without which the run is not what it is."""

    def differs(name: str, value: bool) -> bool:
        other = replace(trace, readings=replace(trace.readings, **{name: not value}))
        records = replayer.records(other)
        return len(records) != len(trace.scans) or not wanted(records)

    return {name: value for name, value in trace.chosen.items() if differs(name, value)}


def _without_past(trace: Trace, _: str | None) -> Iterator[Trace]:
    """Less before power-up: nothing, then without what is furthest back."""
    fewer = trace.past
    while fewer:
        yield replace(trace, scans=trace.scans[fewer:], past=Scans(trace.past - fewer))
        fewer = Scans(fewer // 2)


def _powered(trace: Trace, supply: str | None) -> Iterator[Trace]:
    """The supply on all the time, then each stretch without it under power."""
    if supply is None:
        return
    off = [not scan.inputs.get(supply, False) for scan in trace.scans]
    if any(off):
        yield _with_value(trace, supply, True, 0, len(off) - 1)
    for first, last in _stretches(off):
        if off[first]:
            yield _with_value(trace, supply, True, first, last)


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


def _with_fewer_changes(trace: Trace, supply: str | None) -> Iterator[Trace]:
    """Each change of an input away: what was before it goes on until the next one, or what comes
    with it is so from the one before it on."""
    for name in _names(trace, supply):
        values = [scan.inputs.get(name, 0) for scan in trace.scans]
        stretches = list(_stretches(values))
        for (first, last), (begin, end) in pairwise(stretches):
            yield _with_value(trace, name, values[first], begin, end)
            yield _with_value(trace, name, values[begin], first, last)


def _with_value(trace: Trace, name: str, value: Value, first: int, last: int) -> Trace:
    """The run with an input at ``value`` from scan ``first`` to ``last``, inclusive."""
    scans = [
        replace(scan, inputs={**scan.inputs, name: value}) if first <= position <= last else scan
        for position, scan in enumerate(trace.scans)
    ]
    return replace(trace, scans=tuple(scans))


def _evenly_timed(trace: Trace, _: str | None) -> Iterator[Trace]:
    """Every scan as long as one of those that occur."""
    for elapsed in sorted({scan.elapsed for scan in trace.scans}, reverse=True):
        yield replace(trace, scans=tuple(replace(s, elapsed=elapsed) for s in trace.scans))


def _without_scans(trace: Trace, _: str | None) -> Iterator[Trace]:
    """Stretches of scans with equal inputs, shorter: half of a stretch, or one scan of it."""
    start = 0
    scans, past = trace.scans, trace.past
    for position in range(1, len(scans) + 1):
        alike = position < len(scans) and scans[position].inputs == scans[start].inputs
        if alike and position != past:
            continue
        length = position - start
        for fewer in sorted({length // 2, 1}, reverse=True):
            all_of_them = fewer == length == 1 and (start < past or len(scans) > past + 1)
            if 0 < fewer < length or all_of_them:
                left = Scans(past - fewer) if start < past else past
                yield replace(trace, scans=scans[:start] + scans[start + fewer :], past=left)
        start = position
