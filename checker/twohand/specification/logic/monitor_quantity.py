"""Quantities as terms: a flag and a clock for each event, and what is asked of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import permutations
from typing import ClassVar

import z3

from twohand.scan.sorts import boolean, integer
from twohand.scan.transition_system import StateKind, StateVariable
from twohand.specification.logic.monitor import Monitors
from twohand.specification.logic.quantity import Event, Missing, Quantity


@dataclass(frozen=True)
class QuantityTerms:
    """``read`` and the value in such a scan, in ticks or scans; ``without_limit`` says that the
    scan is read as without limit instead."""

    COUNT: ClassVar[int] = 3

    read: z3.BoolRef
    value: z3.ArithRef
    without_limit: z3.BoolRef

    @property
    def all(self) -> list[z3.ExprRef]:
        return [self.read, self.value, self.without_limit]

    @classmethod
    def taken(cls, terms: Sequence[z3.ExprRef], first: int) -> QuantityTerms:
        """Those from ``first`` on."""
        read, value, without_limit = terms[first : first + cls.COUNT]
        return cls(boolean(read), integer(value), boolean(without_limit))

    def beyond(self, bound: int | None, least: bool) -> z3.BoolRef:
        """A scan whose value goes beyond ``bound`` (None: that is read at all)."""
        if bound is None:
            return z3.Or(self.read, self.without_limit)
        further = self.value < bound if least else self.value > bound
        return z3.Or(self.without_limit, z3.And(self.read, further))


def quantity_terms(
    monitors: Monitors, quantity: Quantity
) -> tuple[tuple[StateVariable, ...], QuantityTerms]:
    """The states beside the program's and its monitors', and the terms over them."""
    base = monitors.system
    states: list[StateVariable] = []
    seen: list[z3.BoolRef] = []
    ages: list[z3.ArithRef] = []
    for event in quantity.events:
        own, happened, age = _clock(monitors, event, quantity)
        states += own
        seen.append(happened)
        ages.append(age)
    context = base.elapsed.ctx
    if quantity.until_now:
        ages.append(z3.IntVal(0, context))
    condition, every = monitors.formula(quantity.condition), z3.And(seen)
    missing = z3.BoolVal(False, context)
    if quantity.missing is Missing.WITHOUT_LIMIT:
        missing = z3.And(condition, z3.Not(every))
    value = _spread(ages)
    if not quantity.in_scans and base.whole_scan > 1:
        value = base.whole_scan * value
    terms = QuantityTerms(z3.And(condition, every), value, missing)
    return tuple(states), terms


def _clock(
    monitors: Monitors, event: Event, quantity: Quantity
) -> tuple[tuple[StateVariable, StateVariable], z3.BoolRef, z3.ArithRef]:
    """The flag and the clock of an event; whether it has been, and how long ago."""
    base = monitors.system
    context = base.elapsed.ctx
    happens = monitors.formula(event.formula)
    in_scans = quantity.in_scans or base.whole_scan > 1
    pace = base.scans if in_scans else base.elapsed
    seen = z3.Bool(f"ever: {event.words}", context)
    clock = z3.Int(f"{'scans' if in_scans else 'time'} measured since {event.words}", context)
    age = z3.If(happens, z3.IntVal(0, context), clock + pace)
    states = (
        StateVariable(seen.decl().name(), seen, z3.BoolVal(False, context), z3.Or(happens, seen)),
        StateVariable(clock.decl().name(), clock, z3.IntVal(0, context), age, StateKind.CLOCK),
    )
    if quantity.strict:
        return states, seen, clock + pace
    return states, z3.Or(happens, seen), age


def _spread(ages: Sequence[z3.ArithRef]) -> z3.ArithRef:
    """The greatest distance of two ages; the age itself where the other moment is now."""
    if len(ages) == 2 and z3.is_int_value(ages[1]):
        return ages[0]
    differences = [a - b for a, b in permutations(ages, 2)]
    widest = differences[0]
    for difference in differences[1:]:
        widest = z3.If(difference > widest, difference, widest)
    return widest
