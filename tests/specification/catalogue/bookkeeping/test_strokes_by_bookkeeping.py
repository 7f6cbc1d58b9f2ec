"""What is asked of the end of a stroke against plain bookkeeping: the definition of anti-repeat in
29 CFR 1910.211 and what is asked beside it, kept scan by scan in a few variables, on random traces
with a supply that comes and goes. No formula has a part in what is expected."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from pathlib import Path
from random import Random

import pytest

from tests.support.samples.free_block import CHOSEN, ONE_STATION, asked, refuted
from tests.support.tiers import rows

Trace = Mapping[str, Sequence[bool]]
HANDS = ("left", "right", "third", "fourth")
NAMES = (*HANDS, "useFront", "useRear", "complete", "dangerous", "stroke", "power.on")
SCANS = 20
PERIOD, UNCHANGED = 10, 40
DEMAND = "(complete := complete, unchanged := T#40ms{});"
WORDS = {"single_stroke": ("anti_repeat", "resumption"), "two_hand_trip": ("anti_repeat",)}


def random_trace(random: Random, powered: bool) -> Trace:
    """Hands that mostly go together, an end signal that mostly stays, strokes that mostly last."""
    values = {name: random.random() < 0.4 for name in NAMES}
    values["power.on"] = True
    found: dict[str, list[bool]] = {name: [] for name in NAMES}
    together, lively = random.random() < 0.7, random.choice((0.1, 0.3))
    fair = random.choice((0.0, 0.7, 0.95))
    for _ in range(SCANS):
        before, target = dict(values), random.random() < 0.5
        for name in NAMES:
            if random.random() < {"complete": lively, "power.on": 0.05}.get(name, 0.25):
                values[name] = target if together and name in HANDS else not values[name]
        values["power.on"] = values["power.on"] or not powered
        if random.random() < fair:
            rises = values["complete"] and not before["complete"]
            again = before["stroke"] and not rises
            values["stroke"] = values["left"] and values["right"] and (again or target)
        values["stroke"] = values["stroke"] and values["power.on"]
        for name, value in values.items():
            found[name].append(value)
    return found


class Bookkeeping:
    """What the rules say of a trace; ``broken`` has the first scan that breaks each of them.

    ``ends`` and ``stuck_end`` are told at the scan beyond the last that would have been in time
    where there is a time, for only then it is over."""

    def __init__(self, trace: Trace, chosen: bool, scans: int) -> None:
        self.trace, self.chosen, self.scans = trace, chosen, scans
        self.broken: dict[str, int] = {}
        self.waits = {"anti_repeat": False, "resumption": False, "trip": False}
        self.began: int | None = None
        self.seen_off = False
        self.reached: int | None = None
        self.quiet_since: int | None = None
        for scan in range(SCANS):
            self._scan(scan)

    def _hands(self, scan: int) -> list[bool]:
        in_use = [*HANDS[:2]]
        if self.chosen:
            in_use = in_use if self.trace["useFront"][scan] else []
            in_use += HANDS[2:] if self.trace["useRear"][scan] else []
        return [self.trace[hand][scan] for hand in in_use]

    def _scan(self, scan: int) -> None:
        on = self.trace["stroke"][scan]
        if self.began is not None:
            self._end_of_a_stroke(scan, on)
        if not on:
            if self.began is not None:
                self._rest(scan)
            self.began = self.reached = self.quiet_since = None
            self.seen_off = False
        elif self.began is None:
            self.began = scan
            changed = (
                scan > 0 and self.trace["complete"][scan - 1] is not self.trace["complete"][scan]
            )
            self.quiet_since = scan + changed
        if on:
            self.seen_off = self.seen_off or not self.trace["complete"][scan]
        hands = self._hands(scan)
        for rule, waiting in self.waits.items():
            self.waits[rule] = waiting and not (hands and not any(hands))
            if self.waits[rule] and on:
                self.broken.setdefault(rule, scan)

    def _end_of_a_stroke(self, scan: int, on: bool) -> None:
        """In a scan after the first of a stroke: did its end come, has it taken too long?"""
        was, now = self.trace["complete"][scan - 1], self.trace["complete"][scan]
        if now and not was and self.seen_off and self.reached is None:
            self.reached = scan
        if self.reached is not None and scan - self.reached >= self.scans:
            # With no scan to spare it is over at once, else only in the next one.
            late = scan - self.reached > self.scans if self.scans else on
            if late:
                self.broken.setdefault("ends", scan)
        if self.quiet_since is not None:
            waited = PERIOD * (scan - self.quiet_since)
            if waited > UNCHANGED:
                self.broken.setdefault("stuck_end", scan)
            elif was is not now:
                self.quiet_since = scan + 1

    def _rest(self, scan: int) -> None:
        hands = self._hands(scan)
        self.waits["trip"] = True
        self.waits["anti_repeat" if hands and all(hands) else "resumption"] = True


@pytest.mark.parametrize("powered", [False, True], ids=["supplied", "power cycles"])
@pytest.mark.parametrize(
    "chosen", rows([False, True], bool), ids=["one station", "stations chosen"]
)
@pytest.mark.parametrize("scans", rows([0, 1, 3], lambda scans: scans != 1))
def test_a_stroke_ends_as_the_prose_says(
    scans: int, chosen: bool, powered: bool, tmp_path: Path
) -> None:
    more = f", scans := {scans}" if scans else ""
    demands = "".join(f"REQUIRE {word} {DEMAND.format(more)}" for word in WORDS)
    supply = "POWER CYCLES;" if powered else ""
    roles = CHOSEN if chosen else ONE_STATION
    found = asked(tmp_path, f"{supply} HAZARD dangerous; {demands}", roles)
    random = Random(f"{scans} {chosen} {powered}")
    counts: Counter[str] = Counter()
    for _ in range(300):
        trace = random_trace(random, powered)
        text = {name: "".join("01"[value] for value in trace[name]) for name in NAMES}
        broken = Bookkeeping(trace, chosen, scans).broken
        for word, parts in WORDS.items():
            for part in (*parts, "ends", "stuck_end"):
                rule = "trip" if (word, part) == ("two_hand_trip", "anti_repeat") else part
                scan = refuted(found[f"{word}_{part}"], **text)
                assert scan == broken.get(rule), (word, part, text)
                counts[f"{word}_{part}"] += scan is not None
    assert len(counts) == 7
    assert all(10 < count < 290 for count in counts.values()), counts
