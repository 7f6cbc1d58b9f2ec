"""What measures time, as terms: TON, TOF and TP, and the readings of the scan's clock.

A timer remembers its last IN, its age (ticks since its edge, always running) and, where the
preset is read at the edge only, that preset; TOF also whether it has fallen, TP whether its pulse
is still on. ET and Q are those of the last call. An idle timer's age is kept at 0 where nobody can
see it, so that equal behaviour is equal state.

A variable that keeps a reading of the clock is represented by that reading's age: the clock less
the value, modulo the clock's range. ``TIME()`` is what has the age 0, and a copy is as old as what
it is a copy of, so that no term hangs on what the clock shows. Only where a variable is given its
initial value does that matter: there its age is that of 0, the clock itself, less the value.
"""

from __future__ import annotations

from dataclasses import dataclass

import z3

from twohand.program import StandardBlock, StandardInstance, Variable
from twohand.scan.clocking import CLOCK_AT_FIRST
from twohand.scan.sorts import integer
from twohand.scan.symbolic.frames import SymbolicScan
from twohand.scan.symbolic.integers import difference, times, total
from twohand.scan.symbolic.nodes import symbol
from twohand.scan.symbolic.terms import (
    Number,
    Term,
    Truth,
    all_of,
    at_least,
    below,
    both,
    choose,
    either,
    equal,
    lifted,
    negation,
    number_of,
)
from twohand.scan.transition_system import StateKind, StateVariable

TIMERS = {StandardBlock.TON, StandardBlock.TOF, StandardBlock.TP}
NUMBER = z3.IntSort
TRUTH = z3.BoolSort


@dataclass(frozen=True)
class _Pass:
    """A timer's call: what the scan's term needs to know of it."""

    scan: SymbolicScan
    instance: StandardInstance
    age: Number
    """Ticks, before this call decides anything."""
    contribution: Number
    """What the edge call counts, in ticks."""
    preset: Number
    """Units."""
    edge: Truth
    """The edge that starts this kind of timer."""

    def over(self, age: Number) -> Truth:
        """Whether an age reaches the preset, in a call after the edge."""
        return at_least(times(self.scan.tick, age), self.preset)

    def over_at_edge(self) -> Truth:
        positive = at_least(self.preset, 1)
        at_once = True if positive is True else self.scan.reading("zero_preset_at_once")
        return both(self.over(self.contribution), either(positive, at_once))

    def shown(self, age: Number) -> Number:
        """ET: the age, not beyond the preset, never negative."""
        value = choose(self.over(age), self.preset, times(self.scan.tick, age), NUMBER())
        return choose(at_least(self.preset, 1), value, 0, NUMBER())

    def remember(self, **values: Truth | Number) -> None:
        for name, value in values.items():
            self.scan.write(f"{self.instance.name}#{name}", value)

    def show(self, q: Truth, elapsed: Number) -> None:
        self.scan.write(self.instance.pins["Q"], q)
        self.scan.write(self.instance.pins["ET"], elapsed)


def call_timer(scan: SymbolicScan, instance: StandardInstance) -> None:
    """One call; the pins hold the arguments already."""
    start = scan.truth(instance.pins["IN"])
    last = scan.truth(f"{instance.name}#last")
    if instance.block is StandardBlock.TON:
        edge = both(start, negation(last))
    elif instance.block is StandardBlock.TOF:
        edge = both(negation(start), last)
    else:
        pulsing = scan.truth(f"{instance.name}#pulsing")
        edge = both(negation(pulsing), both(start, negation(last)))
    this = _Pass(
        scan,
        instance,
        scan.number(f"{instance.name}#age"),
        _contribution(scan, instance, edge),
        _preset(scan, instance, edge),
        edge,
    )
    if instance.block is StandardBlock.TON:
        _on_delay(this, start, last)
    elif instance.block is StandardBlock.TOF:
        _off_delay(this, start, last)
    else:
        _pulse(this, start)
    this.remember(last=start)


def _contribution(scan: SymbolicScan, instance: StandardInstance, edge: Truth) -> Number:
    """What the edge call counts, in ticks."""
    if instance.surroundings:
        return 0
    counts = scan.reading("edge_call_counts")
    slot = scan.begun.get(instance)
    if slot is not None:
        begun = both(symbol(slot, TRUTH()), scan.truth(slot))
        scan.starts.setdefault(slot, []).append(all_of((scan.here(), edge, negation(begun))))
        counts = both(counts, either(begun, scan.reading("first_scan_has_time")))
    return choose(counts, scan.elapsed, 0, NUMBER())


def _preset(scan: SymbolicScan, instance: StandardInstance, edge: Truth) -> Number:
    """The preset that counts in this call, in units."""
    now = scan.number(instance.pins["PT"])
    scan.presets.setdefault(instance.name, []).append(now)
    if instance.name not in scan.latching:
        return now
    latched = choose(edge, now, scan.number(f"{instance.name}#preset"), NUMBER())
    scan.write(f"{instance.name}#preset", latched)
    return choose(scan.reading("preset_latched"), latched, now, NUMBER())


def _on_delay(this: _Pass, start: Truth, last: Truth) -> None:
    over = choose(last, this.over(this.age), this.over_at_edge(), TRUTH())
    shown = choose(last, this.shown(this.age), this.shown(this.contribution), NUMBER())
    this.show(both(start, over), choose(start, shown, 0, NUMBER()))
    age = choose(last, this.age, this.contribution, NUMBER())
    this.remember(age=choose(start, age, 0, NUMBER()))


def _off_delay(this: _Pass, start: Truth, last: Truth) -> None:
    running = this.scan.truth(f"{this.instance.name}#running")
    timing = both(negation(start), either(last, running))
    over = choose(last, this.over_at_edge(), this.over(this.age), TRUTH())
    shown = choose(last, this.shown(this.contribution), this.shown(this.age), NUMBER())
    age = choose(last, this.contribution, this.age, NUMBER())
    this.show(either(start, both(timing, negation(over))), choose(timing, shown, 0, NUMBER()))
    this.remember(age=choose(timing, age, 0, NUMBER()), running=timing)


def _pulse(this: _Pass, start: Truth) -> None:
    pulsing = this.scan.truth(f"{this.instance.name}#pulsing")
    on = either(pulsing, this.edge)
    age = choose(pulsing, this.age, this.contribution, NUMBER())
    over = choose(pulsing, this.over(this.age), this.over_at_edge(), TRUTH())
    shown = choose(pulsing, this.shown(this.age), this.shown(this.contribution), NUMBER())
    still = both(on, negation(over))
    held = choose(on, shown, this.scan.number(this.instance.pins["ET"]), NUMBER())
    released = choose(still, shown, 0, NUMBER())
    this.show(still, choose(start, held, released, NUMBER()))
    idle = both(negation(start), negation(still))
    kept = choose(on, age, this.age, NUMBER())
    this.remember(age=choose(idle, 0, kept, NUMBER()), pulsing=still)


# --- the scan's clock -------------------------------------------------------------------------

CLOCK_SLOT = "#clock"
"""The age of 0: what the clock shows, as a number from 0 on."""
_BEYOND = -1
"""The age after a step of several scans in which the clock comes round: no age at all."""


def age_symbol(stamp: Variable) -> z3.ExprRef:
    """The age of what the variable keeps, before the scan."""
    return symbol(f"{stamp.name}#since", NUMBER())


def older(scan: SymbolicScan, age: Number) -> Number:
    """The age once the scan's elapsed time is over."""
    later, end = total(age, scan.elapsed), scan.clocking.clock_range
    once = scan.clocking.longest < end
    less = difference(later, end) if once else integer(lifted(later, NUMBER())) % end
    round_again = choose(equal(scan.scans, 1), less, _BEYOND, NUMBER())
    return choose(below(later, end), later, round_again, NUMBER())


def initial_value(scan: SymbolicScan, variable: Variable) -> Term:
    """What the variable is once it is given its initial value in this scan."""
    value = scan.converted(variable.initial, variable.type, variable.span)
    if not variable.keeps_clock:
        return value
    end = scan.clocking.clock_range
    age = difference(scan.number(CLOCK_SLOT), number_of(value) % end)
    return choose(below(age, 0), total(age, end), age, NUMBER())


def restart_clock(scan: SymbolicScan) -> None:
    """From here on the clock shows what this scan's input says."""
    if scan.clock is not None:
        scan.write(CLOCK_SLOT, integer(symbol(scan.clock.name, NUMBER())))


def clock_difference(scan: SymbolicScan, left: Number, right: Number) -> Number:
    """The duration from one reading to another, of which the ages are given; one that is not in the
    range of durations of 32 bits is wrapped around."""
    end, apart = scan.clocking.clock_range, difference(right, left)
    if not isinstance(left, int):
        unsigned = choose(below(apart, 0), total(apart, end), apart, NUMBER())
        low = choose(below(apart, -(end // 2)), total(apart, end), apart, NUMBER())
    else:  # TIME(), than which nothing is younger
        unsigned = low = apart
    signed = choose(at_least(apart, end // 2), difference(apart, end), low, NUMBER())
    return choose(scan.reading("clock_is_signed"), signed, unsigned, NUMBER())


def clock_states(scan: SymbolicScan, stamps: dict[Variable, Number]) -> list[StateVariable]:
    """The ages, with those after the scan; at first one clock for all tells them."""
    first, end = integer(symbol(CLOCK_AT_FIRST, NUMBER())), scan.clocking.clock_range
    ages = [(age_symbol(stamp), _given(scan, stamp), later) for stamp, later in stamps.items()]
    ages.append((symbol(CLOCK_SLOT, NUMBER()), 0, scan.number(CLOCK_SLOT)))
    kind = StateKind.WRAPPING_CLOCK
    return [
        *(
            StateVariable(
                age.decl().name(), age, (first - value) % end, lifted(later, NUMBER()), kind
            )
            for age, value, later in ages
        ),
        StateVariable(CLOCK_AT_FIRST, first, None, first),
    ]


def _given(scan: SymbolicScan, stamp: Variable) -> int:
    value = scan.converted(stamp.initial, stamp.type, stamp.span)
    assert isinstance(value, int)
    return value
