"""The two-hand requirements against plain bookkeeping: the prose of ISO 13851:2019, 5.2 to 5.8,
kept scan by scan in a few variables, on random traces. No formula has a part in what is expected.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from random import Random

import pytest
from twohand.scan.clocking import Clocking
from twohand.scan.scan_record import ScanRecord
from twohand.specification.logic.evaluate import refuted_at
from twohand.specification.logic.formula import Atom, Bound, Not
from twohand.specification.model.control import Availability, LogicType

from tests.support.requirement_traces import (
    ONE_STATION,
    SPAN,
    TWO_STATIONS,
    asked,
    read,
)

WINDOW, LAG, PATIENCE, RELEASE = 9, 5, 2, 1
CLOCKING = Clocking(1_000_000, 1, 4)
STATIONS = {1: (("left", "right"),), 2: (("left", "right"), ("third", "fourth"))}
ON = ("on", "second")


@dataclass(frozen=True)
class Trace:
    records: tuple[ScanRecord, ...]
    stations: tuple[tuple[str, ...], ...]

    def value(self, name: str, scan: int) -> bool:
        return bool(self.records[scan].values[name])

    @property
    def scans(self) -> range:
        return range(len(self.records))

    def hands(self, station: int | None = None) -> list[str]:
        chosen = self.stations if station is None else [self.stations[station]]
        return [hand for hands in chosen for hand in hands]

    def all_on(self, scan: int, station: int | None = None) -> bool:
        return all(self.value(hand, scan) for hand in self.hands(station))

    def all_off(self, scan: int, station: int | None = None) -> bool:
        return not any(self.value(hand, scan) for hand in self.hands(station))

    def output(self, scan: int) -> bool:
        return any(self.value(name, scan) for name in ON)

    def time(self, scan: int) -> int:
        return self.records[scan].time


def random_trace(random: Random, stations: int) -> Trace:
    """Hands that come and go as one or each by itself, an output that mostly does what a fair
    block would do, or nothing."""
    hands = [hand for station in STATIONS[stations] for hand in station]
    names = [*hands, *ON, "upstroke", "ready"]
    liveliness = random.choice((0.05, 0.1, 0.2, 0.4))
    together, fair = random.random() < 0.6, random.choice((0.0, 0.5, 0.9, 1.0))
    values = {name: random.random() < 0.4 for name in names}
    values["ready"] = random.random() < 0.8
    target, records, time = False, [], 0
    for scan in range(24):
        elapsed = random.randint(1, 4)
        time += elapsed if scan else 0
        if together:
            target = target is not (random.random() < 0.2)
            for hand in hands:
                values[hand] = target if random.random() < 0.6 else values[hand]
        for name in names if not together else ("upstroke", "ready"):
            if random.random() < liveliness:
                values[name] = not values[name]
        on = all(values[hand] for hand in hands) and values["ready"]
        for name in ON:
            values[name] = on if random.random() < fair else random.random() < 0.1
        others = dict.fromkeys(("third", "fourth"), False)
        records.append(ScanRecord(time, elapsed, {**others, **values}))
    return Trace(tuple(records), STATIONS[stations])


# --- bookkeeping: the first scan that breaks the requirement --------------------------------------


def both_hands(trace: Trace, hazard: bool, scans: int) -> int | None:
    """A scan with the output (in the dangerous part) and without all hands, now and in the last
    ``scans`` scans."""
    since = None
    for scan in trace.scans:
        since = 0 if trace.all_on(scan) else None if since is None else since + 1
        dangerous = not hazard or not trace.value("upstroke", scan)
        if trace.output(scan) and dangerous and (since is None or since > scans):
            return scan
    return None


def release_both(trace: Trace) -> int | None:
    barred = was = False
    for scan in trace.scans:
        now = trace.output(scan)
        barred = (barred or (was and not now)) and not trace.all_off(scan)
        if barred and now:
            return scan
        was = now
    return None


def power_up(trace: Trace) -> int | None:
    barred = not trace.all_off(0)
    for scan in trace.scans:
        barred = barred and not trace.all_off(scan)
        if barred and trace.output(scan):
            return scan
    return None


def start_window(trace: Trace, station: int) -> int | None:
    """A start for which the presses of the station, of those hands as they are held now, are
    further apart than the window, or are none."""
    pressed: dict[str, int | None] = {}
    was: dict[str, bool] = {}
    on_before = False
    for scan in trace.scans:
        for hand in trace.hands(station):
            now = trace.value(hand, scan)
            if scan and now and not was[hand]:
                pressed[hand] = trace.time(scan)
            if not now:
                pressed[hand] = None
            was[hand] = now
        on = trace.output(scan)
        if on and not on_before and scan:
            times = [pressed.get(hand) for hand in trace.hands(station)]
            known = [time for time in times if time is not None]
            if len(known) < len(times) or max(known) - min(known) > WINDOW:
                return scan
        on_before = on
    return None


def window_missed(trace: Trace, station: int, hazard: bool) -> int | None:
    """An attempt begins with the first hand and ends with the last. It is missed where the hands
    were not all on within the window; a hand that is on from the first scan began long ago."""
    began: int | None = None
    complete = missed = on_before = False
    long_ago = -WINDOW - 1
    for scan in trace.scans:
        if trace.all_off(scan, station):
            began, complete, missed = None, False, False
        elif began is None:
            began = trace.time(scan) if scan else long_ago
        if began is not None:
            late = trace.time(scan) - began > WINDOW
            complete = complete or (trace.all_on(scan, station) and (not late or scan == 0))
            missed = missed or (late and not complete)
        on = trace.output(scan)
        if missed and on and not (hazard and (on_before or scan == 0)):
            return scan
        on_before = on
    return None


def available(trace: Trace, timed: bool) -> int | None:
    """An attempt from rest that went on, in time where that is asked, and ready throughout; each
    output has to come within ``PATIENCE`` scans, unless the attempt is given up."""
    waiting: list[int] = []
    from_rest = False
    began: dict[int, int] = {}
    for scan in trace.scans:
        ready = trace.value("ready", scan)
        for number in range(len(trace.stations)):
            on_before = scan and not trace.all_off(scan - 1, number)
            if scan and not on_before and not trace.all_off(scan, number):
                began[number] = trace.time(scan)
        released = scan and any(
            trace.value(hand, scan - 1) and not trace.value(hand, scan) for hand in trace.hands()
        )
        begins = from_rest and trace.all_on(scan) and ready
        if timed:
            begins = begins and all(
                number in began and trace.time(scan) - began[number] <= LAG
                for number in range(len(trace.stations))
            )
        if begins:
            waiting.append(scan)
        answered = all(trace.value(name, scan) for name in ON)
        if any(scan - start > PATIENCE for start in waiting):
            return scan
        if answered or not trace.all_on(scan) or not ready:
            waiting = []
        rest = trace.all_off(scan) and ready
        from_rest = rest or (from_rest and ready and not trace.all_on(scan) and not released)
    return None


# --- both ways ------------------------------------------------------------------------------------


def expected(name: str, trace: Trace, hazard: bool, scans: int, timed: bool) -> int | None:
    match name:
        case "both_hands":
            return both_hands(trace, hazard, scans)
        case "release_both":
            return release_both(trace)
        case "power_up":
            return power_up(trace)
        case "available":
            return available(trace, timed)
    number = 1 if name.endswith("_rear") else 0
    if name.startswith("start_window"):
        return start_window(trace, number)
    return window_missed(trace, number, hazard)


@pytest.mark.long
@pytest.mark.parametrize("stations", [1, 2])
@pytest.mark.parametrize("logic_type", LogicType)
def test_the_requirements_say_what_the_prose_says(logic_type: LogicType, stations: int) -> None:
    random = Random(f"{logic_type} {stations}")
    timed = logic_type is LogicType.THREE
    counts: Counter[str] = Counter()
    for _ in range(160):
        hazard, scans = random.random() < 0.4, random.choice((0, RELEASE))
        requirements = asked(
            logic_type,
            ONE_STATION if stations == 1 else TWO_STATIONS,
            outputs=ON,
            window=WINDOW,
            hazard=Not(Atom(read("upstroke"))) if hazard else None,
            release_scans=scans,
            available=Availability(
                Bound(0, PATIENCE, in_scans=True),
                SPAN,
                Atom(read("ready")),
                "ready",
                LAG if timed else None,
            ),
        )
        trace = random_trace(random, stations)
        for name, requirement in requirements.items():
            found = refuted_at(requirement.property, trace.records, CLOCKING)
            assert found == expected(name, trace, hazard, scans, timed), (name, shown(trace))
            counts[name] += found is not None
    assert min(counts.values()) >= 3


def shown(trace: Trace) -> Sequence[tuple[int, str]]:
    """Times and what is on, scan by scan."""
    return [
        (record.time, " ".join(name for name, value in record.values.items() if value))
        for record in trace.records
    ]
