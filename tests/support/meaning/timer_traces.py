"""Published behaviour of the IEC 61131-3 timers, sampled (Tables 37/38 of the second edition).

Scans every 100 ms, preset 300 ms, the edge call contributes no time. A trace is IN, Q and ET (in
ms) of each scan.
"""

from __future__ import annotations

from dataclasses import dataclass

PERIOD = 100
PRESET = 300


@dataclass(frozen=True)
class TimerTrace:
    title: str
    block: str
    start: tuple[int, ...]
    q: tuple[int, ...]
    elapsed: tuple[int, ...]


COMMON = (1, 1, 1, 1, 1, 0, 1, 0)

TRACES = (
    TimerTrace(
        "an on-delay waits, holds its preset, and falls back at once",
        "TON",
        COMMON,
        (0, 0, 0, 1, 1, 0, 0, 0),
        (0, 100, 200, 300, 300, 0, 0, 0),
    ),
    TimerTrace(
        "a pulse lasts its preset and starts again after a sampled FALSE",
        "TP",
        COMMON,
        (1, 1, 1, 0, 0, 0, 1, 1),
        (0, 100, 200, 300, 300, 0, 0, 100),
    ),
    TimerTrace(
        "an off-delay stays on for its preset, and a new rise cancels it",
        "TOF",
        (*COMMON, 0, 0, 0, 0, 1),
        (1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 0, 0, 1),
        (0, 0, 0, 0, 0, 0, 0, 0, 100, 200, 300, 300, 0),
    ),
    TimerTrace(
        "an edge during a pulse is ignored",
        "TP",
        (1, 0, 1, 0, 0, 1),
        (1, 1, 1, 0, 0, 1),
        (0, 100, 200, 0, 0, 0),
    ),
    TimerTrace(
        "an input that rises as the pulse ends starts no other",
        "TP",
        (1, 0, 0, 1, 1, 0, 1),
        (1, 1, 1, 0, 0, 0, 1),
        (0, 100, 200, 300, 300, 0, 0),
    ),
    TimerTrace("an off-delay that never saw its input is off", "TOF", (0, 0), (0, 0), (0, 0)),
)
