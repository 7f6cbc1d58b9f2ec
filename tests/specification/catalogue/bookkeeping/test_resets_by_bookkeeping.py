"""What is asked of a manual reset against plain bookkeeping: the prose of ISO 13849-1:2015, 5.2.2
(from a secondary source), kept scan by scan in a few variables, on random traces with a supply that
comes and goes. No formula has a part in what is expected."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from pathlib import Path
from random import Random

import pytest

from tests.support.samples.free_block import ONE_STATION, asked, refuted

Trace = Mapping[str, Sequence[bool]]
NAMES = ("left", "right", "guardOpen", "reset", "ready", "start", "stroke", "power.on")
SCANS = 18
ASKED = "REQUIRE manual_reset (reset := reset, ready := ready, safeguards := NOT guardOpen{});"


def random_trace(random: Random, powered: bool) -> Trace:
    """A button that is pressed for a while, a guard that is mostly shut, and a logic that mostly
    takes a reset as it should."""
    fair, lively = random.choice((0.0, 0.8, 0.95)), random.choice((0.2, 0.4))
    rare = {"guardOpen": 0.12, "power.on": 0.1}
    values = {name: random.random() < 0.3 for name in NAMES}
    values["power.on"] = not powered or random.random() < 0.7
    found: dict[str, list[bool]] = {name: [] for name in NAMES}
    armed = False
    for _ in range(SCANS):
        before = dict(values)
        for name in NAMES:
            if random.random() < rare.get(name, lively) and (powered or name != "power.on"):
                values[name] = not values[name]
        armed = (armed and not values["guardOpen"]) or (values["reset"] and not before["reset"])
        if random.random() < fair:
            let_go = armed and before["reset"] and not values["reset"]
            works = values["power.on"] and not values["guardOpen"]
            values["ready"] = works and (before["ready"] or let_go)
            values["stroke"] = values["ready"] and before["ready"] and values["left"]
        for name, value in values.items():
            found[name].append(value)
    return found


class Bookkeeping:
    """What the rules say of a trace; ``broken`` has the first scan that breaks each of them."""

    def __init__(self, trace: Trace, by_start: bool) -> None:
        self.trace, self.by_start = trace, by_start
        self.broken: dict[str, int] = {}
        self.pressed = self.waits = self.was_ready = False
        for scan in range(SCANS):
            self._scan(scan)

    def _value(self, name: str, scan: int) -> bool:
        return scan >= 0 and self.trace[name][scan]

    def _edge(self, name: str, scan: int, to: bool) -> bool:
        was, now = self._value(name, scan - 1), self._value(name, scan)
        return scan > 0 and was is not to and now is to

    def _scan(self, scan: int) -> None:
        power, safe = self._value("power.on", scan), not self._value("guardOpen", scan)
        ready = power and self._value("ready", scan)
        begins = power and not self._value("power.on", scan - 1)
        comes = scan > 0 and ready and not self.was_ready
        if not (power and safe):
            self.pressed = False
        let_go = self.pressed and self._edge("reset", scan, to=False)
        if self._edge("reset", scan, to=True):
            self.pressed = power and safe and not begins
        elif not self._value("reset", scan):
            self.pressed = False
        on = self._value("stroke", scan)
        self.waits = (self.waits or comes) and not self._acted(scan, comes)
        self._break("release", scan, comes and not begins and not let_go)
        self._break("safeguard_lost", scan, ready and not safe)
        self._break("power_up", scan, ready and begins)
        self._break("stop_held", scan, on and not ready)
        self._break("starts_nothing", scan, on and self.waits)
        self.was_ready = ready

    def _acted(self, scan: int, comes: bool) -> bool:
        if self.by_start:
            return self._edge("start", scan, to=True) and not comes
        return not self._value("left", scan) and not self._value("right", scan)

    def _break(self, rule: str, scan: int, broken: bool) -> None:
        if broken:
            self.broken.setdefault(rule, scan)


@pytest.mark.long
@pytest.mark.parametrize("powered", [False, True], ids=["supplied", "power cycles"])
@pytest.mark.parametrize("by_start", [False, True], ids=["hands", "start"])
def test_a_reset_says_what_the_prose_says(by_start: bool, powered: bool, tmp_path: Path) -> None:
    demand = ASKED.format(", start := start" if by_start else "")
    found = asked(tmp_path, f"POWER CYCLES; {demand}" if powered else demand, ONE_STATION)
    random = Random(f"{by_start} {powered}")
    counts: Counter[str] = Counter()
    for _ in range(400):
        trace = random_trace(random, powered)
        text = {name: "".join("01"[value] for value in trace[name]) for name in NAMES}
        broken = Bookkeeping(trace, by_start).broken
        for name, requirement in found.items():
            scan = broken.get(name.removeprefix("manual_reset_"))
            assert refuted(requirement, **text) == scan, (name, text)
            counts[name] += scan is not None
    assert len(counts) == 5
    assert all(20 < count < 380 for count in counts.values()), counts
