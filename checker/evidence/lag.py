"""How far apart the presses of a station may be and still start the output: terms and replay.

The question itself is ``lag_question``'s.
"""

from __future__ import annotations

from collections.abc import Sequence

import z3

from checker.evidence.lag_question import LagTerms
from checker.evidence.replay import Replayer
from checker.scan.record import ScanRecord
from checker.scan.system import StateKind, StateVariable
from checker.temporal.formula import Formula, Rose
from checker.temporal.monitor import Monitors
from checker.temporal.requirement import Lag


def lag_terms(
    monitors: Monitors, lag: Lag, names: Sequence[str]
) -> tuple[tuple[StateVariable, ...], LagTerms]:
    """Clocks for one station's hands and the terms over them; ``names`` are the hands'."""
    base = monitors.system
    states: list[StateVariable] = []
    pressed: list[z3.BoolRef] = []
    ages: list[z3.ArithRef] = []
    for name, hand in zip(names, lag.hands, strict=True):
        rose = monitors.formula(Rose(hand))
        seen = z3.Bool(f"pressed({name})")
        clock = z3.Int(f"time since {name} was pressed")
        seen_now = z3.Or(rose, seen)
        age = z3.If(rose, z3.IntVal(0), clock + base.elapsed)
        states.append(StateVariable(str(seen.decl().name()), seen, z3.BoolVal(False), seen_now))
        states.append(
            StateVariable(str(clock.decl().name()), clock, z3.IntVal(0), age, StateKind.CLOCK)
        )
        pressed.append(seen_now)
        ages.append(age)
    return tuple(states), LagTerms(monitors.formula(lag.start), tuple(pressed), tuple(ages))


def lag_of(
    hands: Sequence[Formula], records: Sequence[ScanRecord], replayer: Replayer
) -> int | None:
    """The distance, in units, between the first and the last of the hands' last presses, read
    from the records; None where a hand was not pressed."""
    times = []
    for hand in hands:
        truths = replayer.holds(Rose(hand), records)
        if True not in truths:
            return None
        position = len(truths) - 1 - truths[::-1].index(True)
        times.append(records[position].time)
    return max(times) - min(times)
