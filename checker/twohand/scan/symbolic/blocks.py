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


def call_standard(work: SymbolicScan, instance: StandardInstance) -> None:
    """One call; the pins hold the arguments already."""
    if instance.block in TIMERS:
        call_timer(work, instance)
        return
    match instance.block:
        case StandardBlock.R_TRIG:
            _pin(work, instance, "Q", _rise(work, instance, "CLK", "last"))
        case StandardBlock.F_TRIG:
            _falling_trigger(work, instance)
        case StandardBlock.SR:
            stays = both(negation(_read(work, instance, "R")), _read(work, instance, "Q1"))
            _pin(work, instance, "Q1", either(_read(work, instance, "S1"), stays))
        case StandardBlock.RS:
            on = either(_read(work, instance, "S"), _read(work, instance, "Q1"))
            _pin(work, instance, "Q1", both(negation(_read(work, instance, "R1")), on))
        case _:
            _count(work, instance)


def _read(work: SymbolicScan, instance: StandardInstance, pin: str) -> Truth:
    return work.truth(instance.pins[pin])


def _pin(work: SymbolicScan, instance: StandardInstance, pin: str, value: Truth | Number) -> None:
    work.write(instance.pins[pin], value)


def _rise(work: SymbolicScan, instance: StandardInstance, pin: str, memory: str) -> Truth:
    """Whether the pin is TRUE and was not at the last call."""
    slot = f"{instance.name}#{memory}"
    now = _read(work, instance, pin)
    edge = both(now, negation(work.truth(slot)))
    work.write(slot, now)
    return edge


def _falling_trigger(work: SymbolicScan, instance: StandardInstance) -> None:
    """Q := NOT CLK AND NOT M; M := NOT CLK, where M begins as NOT falling_edge_at_first_call.

    The slot holds M XOR its first value, so that it begins as FALSE in either reading."""
    slot = f"{instance.name}#last"
    first = negation(work.reading("falling_edge_at_first_call"))
    off = negation(_read(work, instance, "CLK"))
    memory = negation(equal(work.truth(slot), first))
    _pin(work, instance, "Q", both(off, negation(memory)))
    work.write(slot, negation(equal(off, first)))


def _count(work: SymbolicScan, instance: StandardInstance) -> None:
    """CTU, CTD, CTUD: R before LD before counting; both edges together change nothing."""
    pins = instance.pins
    up = _rise(work, instance, "CU", "last_up") if "CU" in pins else False
    down = _rise(work, instance, "CD", "last_down") if "CD" in pins else False
    reset = _read(work, instance, "R") if "R" in pins else False
    load = _read(work, instance, "LD") if "LD" in pins else False
    count, preset = work.number(pins["CV"]), work.number(pins["PV"])
    kind = pins["CV"].type
    if not isinstance(kind, Integer):
        raise TypeError("a counter counts in integers")
    stops = work.reading("counter_stops_at_preset")
    truth, number = z3.BoolSort(), z3.IntSort()
    room_above = choose(stops, below(count, preset), below(count, kind.highest), truth)
    room_below = choose(stops, at_least(count, 1), at_least(count, kind.lowest + 1), truth)
    rises = both(both(up, negation(down)), room_above)
    falls = both(both(down, negation(up)), room_below)
    counted = choose(rises, total(count, 1), choose(falls, total(count, -1), count, number), number)
    count = choose(reset, 0, choose(load, preset, counted, number), number)
    _pin(work, instance, "CV", count)
    full, empty = at_least(count, preset), below(count, 1)
    if instance.block is StandardBlock.CTUD:
        _pin(work, instance, "QU", full)
        _pin(work, instance, "QD", empty)
    else:
        _pin(work, instance, "Q", full if instance.block is StandardBlock.CTU else empty)
