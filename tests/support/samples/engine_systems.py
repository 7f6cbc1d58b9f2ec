"""Transition systems built by hand: a two-hand block with its requirements, and small models."""

from __future__ import annotations

from dataclasses import dataclass

import z3
from twohand.scan.transition_system import StateKind, StateVariable, TransitionSystem

ELAPSED, SCANS = z3.Int("elapsed"), z3.Int("scans")
FALSE, TRUE = z3.BoolVal(False), z3.BoolVal(True)


@dataclass(frozen=True)
class TwoHand:
    """A two-hand block of type III with its monitors, and the bad terms by requirement."""

    system: TransitionSystem
    bad: dict[str, z3.BoolRef]
    lag: z3.ArithRef
    starts: z3.BoolRef


def boolean(name: str, update: z3.BoolRef, initial: bool | None = False) -> StateVariable:
    start = None if initial is None else z3.BoolVal(initial)
    return StateVariable(name, z3.Bool(name), start, update)


def clock(name: str, update: z3.ArithRef) -> StateVariable:
    return StateVariable(name, z3.Int(name), z3.IntVal(0), update, StateKind.CLOCK)


def two_hand(
    preset: int = 500, window: int = 500, scan: tuple[int, int] = (5, 20), fault: str = ""
) -> TwoHand:
    """Times in units of the scan. ``fault``: '' (correct), 'edge' (any rise of both starts),
    'rearm' (one hand off arms), 'latched' (the start is kept)."""
    left, right = z3.Bools("left right")
    armed, run, timer_in, counts = z3.Bools("armed run timer_in counts")
    age = z3.Int("age")
    rearm = z3.Not(z3.And(left, right)) if fault == "rearm" else z3.Not(z3.Or(left, right))
    armed1 = z3.Or(armed, rearm)
    calls = z3.And(armed1, z3.Or(left, right))
    edge = z3.And(calls, z3.Not(timer_in))
    age1 = z3.If(edge, z3.If(counts, ELAPSED, 0), age + ELAPSED)
    over = FALSE if fault == "edge" else z3.And(calls, age1 >= preset)
    both = z3.And(left, right)
    run1 = z3.Or(z3.And(both, armed1, z3.Not(over)), z3.And(both, run))
    if fault == "latched":
        run1 = z3.Or(run1, run)
    armed2 = z3.And(armed1, z3.Not(both), z3.Not(over))
    block = (
        boolean("armed", armed2),
        boolean("run", run1),
        boolean("timer_in", calls),
        clock("age", age1),
        boolean("counts", counts, None),
    )
    monitors, bad, lag, starts = _monitors(left, right, run, run1, window)
    system = TransitionSystem(
        states=block + monitors,
        inputs=(left, right),
        elapsed=ELAPSED,
        scans=SCANS,
        shortest=scan[0],
        longest=scan[1],
        tick=1,
    )
    return TwoHand(system, bad, lag, starts)


def _monitors(
    left: z3.BoolRef, right: z3.BoolRef, run: z3.BoolRef, run1: z3.BoolRef, window: int
) -> tuple[tuple[StateVariable, ...], dict[str, z3.BoolRef], z3.ArithRef, z3.BoolRef]:
    past, left_seen, right_seen = z3.Bools("past left_seen right_seen")
    left_before, right_before, sync, owed = z3.Bools("left_before right_before sync owed")
    left_age, right_age = z3.Ints("left_age right_age")
    left_rose = z3.And(past, left, z3.Not(left_before))
    right_rose = z3.And(past, right, z3.Not(right_before))
    left1 = z3.If(left_rose, 0, left_age + ELAPSED)
    right1 = z3.If(right_rose, 0, right_age + ELAPSED)
    left_seen1, right_seen1 = z3.Or(left_seen, left_rose), z3.Or(right_seen, right_rose)
    both = z3.And(left, right)
    synchronous = z3.And(
        past, both, z3.Not(z3.And(left_before, right_before)),
        left_seen1, left1 <= window, right_seen1, right1 <= window,
    )  # fmt: skip
    sync1 = z3.And(both, z3.Or(synchronous, sync))
    fell = z3.And(past, run, z3.Not(run1))
    owed1 = z3.And(z3.Or(owed, fell), z3.Or(left, right))
    starts = z3.And(run1, z3.Not(run))
    states = (
        boolean("past", TRUE),
        boolean("left_before", left),
        boolean("right_before", right),
        boolean("left_seen", left_seen1),
        boolean("right_seen", right_seen1),
        clock("left_age", left1),
        clock("right_age", right1),
        boolean("sync", sync1),
        boolean("owed", owed1),
    )
    bad = {
        "both_hands": z3.And(run1, z3.Not(both)),
        "release_both": z3.And(run1, owed1),
        "start_window": z3.And(starts, z3.Not(sync1)),
    }
    lag = z3.If(left1 >= right1, left1 - right1, right1 - left1)
    return states, bad, lag, starts
