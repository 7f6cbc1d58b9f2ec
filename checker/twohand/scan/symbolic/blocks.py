"""The standard blocks without time as terms: edge triggers, bistables, counters."""

from __future__ import annotations

import z3

from twohand.program import StandardBlock, StandardInstance
from twohand.program.types import Integer
from twohand.scan.symbolic.frames import SymbolicScan
from twohand.scan.symbolic.integers import total
from twohand.scan.symbolic.terms import (
    Number,
    Truth,
    at_least,
    below,
    both,
    choose,
    either,
    equal,
    negation,
)
from twohand.scan.symbolic.timers import TIMERS, call_timer


def hidden_slots(instance: StandardInstance, latches: bool) -> dict[str, bool | int]:
    """What the instance remembers besides its pins: slot names and initial values.

    Raises nothing; ``latches`` says whether a timer's preset must be remembered."""
    name = instance.name
    match instance.block:
        case StandardBlock.TON | StandardBlock.TOF | StandardBlock.TP:
            slots: dict[str, bool | int] = {f"{name}#last": False, f"{name}#age": 0}
            if instance.block is StandardBlock.TOF:
                slots[f"{name}#running"] = False
            if instance.block is StandardBlock.TP:
                slots[f"{name}#pulsing"] = False
            if latches:
                slots[f"{name}#preset"] = 0
            return slots
        case StandardBlock.R_TRIG | StandardBlock.F_TRIG:
            return {f"{name}#last": False}
        case StandardBlock.CTU:
            return {f"{name}#last_up": False}
        case StandardBlock.CTD:
            return {f"{name}#last_down": False}
        case StandardBlock.CTUD:
            return {f"{name}#last_up": False, f"{name}#last_down": False}
    return {}


def call_standard(scan: SymbolicScan, instance: StandardInstance) -> None:
    """One call; the pins hold the arguments already."""
    if instance.block in TIMERS:
        call_timer(scan, instance)
        return
    match instance.block:
        case StandardBlock.R_TRIG:
            _pin(scan, instance, "Q", _rise(scan, instance, "CLK", "last"))
        case StandardBlock.F_TRIG:
            _falling_trigger(scan, instance)
        case StandardBlock.SR:
            stays = both(negation(_read(scan, instance, "R")), _read(scan, instance, "Q1"))
            _pin(scan, instance, "Q1", either(_read(scan, instance, "S1"), stays))
        case StandardBlock.RS:
            on = either(_read(scan, instance, "S"), _read(scan, instance, "Q1"))
            _pin(scan, instance, "Q1", both(negation(_read(scan, instance, "R1")), on))
        case _:
            _count(scan, instance)


def _read(scan: SymbolicScan, instance: StandardInstance, pin: str) -> Truth:
    return scan.truth(instance.pins[pin])


def _pin(scan: SymbolicScan, instance: StandardInstance, pin: str, value: Truth | Number) -> None:
    scan.write(instance.pins[pin], value)


def _rise(scan: SymbolicScan, instance: StandardInstance, pin: str, memory: str) -> Truth:
    """Whether the pin is TRUE and was not at the last call."""
    slot = f"{instance.name}#{memory}"
    now = _read(scan, instance, pin)
    edge = both(now, negation(scan.truth(slot)))
    scan.write(slot, now)
    return edge


def _falling_trigger(scan: SymbolicScan, instance: StandardInstance) -> None:
    """Q := NOT CLK AND NOT M; M := NOT CLK, where M begins as NOT falling_edge_at_first_call.

    The slot holds M XOR its first value, so that it begins as FALSE in either reading."""
    slot = f"{instance.name}#last"
    first = negation(scan.reading("falling_edge_at_first_call"))
    off = negation(_read(scan, instance, "CLK"))
    memory = negation(equal(scan.truth(slot), first))
    _pin(scan, instance, "Q", both(off, negation(memory)))
    scan.write(slot, negation(equal(off, first)))


def _count(scan: SymbolicScan, instance: StandardInstance) -> None:
    """CTU, CTD, CTUD: R before LD before counting; both edges together change nothing."""
    pins = instance.pins
    up = _rise(scan, instance, "CU", "last_up") if "CU" in pins else False
    down = _rise(scan, instance, "CD", "last_down") if "CD" in pins else False
    reset = _read(scan, instance, "R") if "R" in pins else False
    load = _read(scan, instance, "LD") if "LD" in pins else False
    count, preset = scan.number(pins["CV"]), scan.number(pins["PV"])
    kind = pins["CV"].type
    if not isinstance(kind, Integer):
        raise TypeError("a counter counts in integers")
    stops = scan.reading("counter_stops_at_preset")
    truth, number = z3.BoolSort(), z3.IntSort()
    room_above = choose(stops, below(count, preset), below(count, kind.highest), truth)
    room_below = choose(stops, at_least(count, 1), at_least(count, kind.lowest + 1), truth)
    rises = both(both(up, negation(down)), room_above)
    falls = both(both(down, negation(up)), room_below)
    counted = choose(rises, total(count, 1), choose(falls, total(count, -1), count, number), number)
    count = choose(reset, 0, choose(load, preset, counted, number), number)
    _pin(scan, instance, "CV", count)
    full, empty = at_least(count, preset), below(count, 1)
    if instance.block is StandardBlock.CTUD:
        _pin(scan, instance, "QU", full)
        _pin(scan, instance, "QD", empty)
    else:
        _pin(scan, instance, "Q", full if instance.block is StandardBlock.CTU else empty)
