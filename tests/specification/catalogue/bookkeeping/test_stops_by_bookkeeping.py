"""What is asked of a stop and of its end against plain bookkeeping: the prose of IEC 60204-1,
chapter 9, and of Directive 2006/42/EC, Annex I, 1.2.4.3, kept scan by scan in a few variables, on
random traces. No formula has a part in what is expected."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from pathlib import Path
from random import Random

import pytest

from tests.support.samples.free_block import CHOSEN, ONE_STATION, asked, refuted

Trace = Mapping[str, Sequence[bool]]
HANDS = ("left", "right", "third", "fourth")
NAMES = (*HANDS, "guardOpen", "stopPressed", "useFront", "useRear", "start", "dangerous", "stroke")
SCANS = 16
STOPS = {"guard": "guardOpen", "button": "stopPressed"}
DEMANDS = "".join(
    f"REQUIRE {label} : stop (condition := {condition}{{start}});"
    for label, condition in STOPS.items()
)


def random_trace(random: Random) -> Trace:
    """Hands that mostly go together, short stops, an output that mostly is right."""
    together, fair = random.random() < 0.6, random.choice((0.0, 0.6, 0.9))
    values = {name: random.random() < 0.3 for name in NAMES}
    found: dict[str, list[bool]] = {name: [] for name in NAMES}
    for _ in range(SCANS):
        target = random.random() < 0.5
        for name in NAMES:
            if random.random() < 0.3:
                values[name] = target if together and name in HANDS else not values[name]
        if random.random() < fair:
            stopped = values["guardOpen"] or values["stopPressed"]
            values["stroke"] = values["left"] and values["right"] and not stopped
        for name, value in values.items():
            found[name].append(value)
    return found


def all_off(trace: Trace, scan: int, chosen: bool) -> bool:
    """All hands of the stations in use, of which there is one at least."""
    in_use = [*HANDS[:2]]
    if chosen:
        in_use = in_use if trace["useFront"][scan] else []
        in_use += HANDS[2:] if trace["useRear"][scan] else ()
    return bool(in_use) and not any(trace[hand][scan] for hand in in_use)


def on_while_stopped(trace: Trace, condition: str) -> int | None:
    stops = zip(trace[condition], trace["stroke"], strict=True)
    return next((scan for scan, (stop, on) in enumerate(stops) if stop and on), None)


def on_after_the_stop(trace: Trace, condition: str, chosen: bool, by_start: bool) -> int | None:
    """The first scan with the output between the end of a stop and the action after it."""
    waiting = False
    for scan in range(SCANS):
        ends = scan > 0 and trace[condition][scan - 1] and not trace[condition][scan]
        waiting = waiting or ends
        if by_start:
            pressed = scan > 0 and trace["start"][scan] and not trace["start"][scan - 1]
            waiting = waiting and not (pressed and not ends)
        else:
            waiting = waiting and not all_off(trace, scan, chosen)
        if waiting and trace["stroke"][scan]:
            return scan
    return None


@pytest.mark.long
@pytest.mark.parametrize("by_start", [False, True], ids=["hands", "start"])
@pytest.mark.parametrize("chosen", [False, True], ids=["one station", "stations chosen"])
def test_a_stop_says_what_the_prose_says(chosen: bool, by_start: bool, tmp_path: Path) -> None:
    roles = CHOSEN if chosen else ONE_STATION
    start = ", start := start" if by_start else ""
    hazard = "HAZARD dangerous; REQUIRE single_stroke (complete := complete);"
    found = asked(tmp_path, hazard + DEMANDS.format(start=start), roles)
    random = Random(f"{chosen} {by_start}")
    counts: Counter[str] = Counter()
    for _ in range(300):
        trace = random_trace(random)
        text = {name: "".join("01"[value] for value in trace[name]) for name in NAMES}
        for label, condition in STOPS.items():
            expected = {
                f"{label}_off": on_while_stopped(trace, condition),
                f"{label}_end_starts_nothing": on_after_the_stop(
                    trace, condition, chosen, by_start
                ),
            }
            for name, scan in expected.items():
                assert refuted(found[name], **text) == scan, (name, text)
                counts[name] += scan is not None
    assert len(counts) == 4
    assert all(20 < count < 280 for count in counts.values()), counts
