"""Inputs that a constraint holds at one value in every scan, as that value.

``preset = T#500ms`` among the assumptions makes a timer's preset a constant, and what is compared
with it a comparison with a constant. The engine sees the system with the values put in; what is
proved of it is proved of the system with the constraints, against which the proof is checked, and a
run of it is one of that system once it gives these inputs their values.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

import z3

from twohand.engine.system.contract import Answer, Violated
from twohand.engine.system.terms import Substitution, is_symbol, literal_value, name, value_term
from twohand.program.types import Value
from twohand.scan.transition_system import TransitionSystem


@dataclass(frozen=True)
class Fixed:
    """``system`` and ``bad`` with the ``values`` of inputs put in, which have left it."""

    system: TransitionSystem
    bad: z3.BoolRef
    values: Mapping[str, Value] = field(default_factory=dict)

    def answer(self, found: Answer) -> Answer:
        """An answer for the system with the constraints."""
        if not isinstance(found, Violated) or not self.values:
            return found
        steps = (replace(each, inputs={**each.inputs, **self.values}) for each in found.steps)
        return replace(found, steps=tuple(steps))


def with_fixed_inputs(system: TransitionSystem, bad: z3.BoolRef) -> Fixed:
    """The system with every input put in that a constraint holds at a value; as it is where the
    constraints then contradict each other, or an input's range: that is to be found, not hidden."""
    values: dict[str, Value] = {}
    fixed = system
    goal = bad
    while found := _fixed(fixed):
        fixed, goal = _put_in(fixed, goal, found)
        values.update({name(symbol): value for symbol, value in found})
        if any(z3.is_false(each) for each in (*fixed.constraints, *fixed.ranges)):
            return Fixed(system, bad)
    return Fixed(fixed, goal, values)


def _fixed(system: TransitionSystem) -> list[tuple[z3.ExprRef, Value]]:
    """Inputs with the values at which constraints hold them, each once."""
    inputs = {name(symbol) for symbol in system.inputs}
    found: dict[str, tuple[z3.ExprRef, Value]] = {}
    for constraint in system.constraints:
        for part in _parts(constraint):
            held = _held(part)
            if held is not None and name(held[0]) in inputs:
                found.setdefault(name(held[0]), held)
    return list(found.values())


def _parts(constraint: z3.BoolRef) -> Iterator[z3.ExprRef]:
    """What a conjunction asks one by one."""
    waiting: list[z3.ExprRef] = [constraint]
    while waiting:
        term = waiting.pop()
        if z3.is_and(term):
            waiting.extend(reversed(term.children()))
        else:
            yield term


def _held(term: z3.ExprRef) -> tuple[z3.ExprRef, Value] | None:
    """A symbol, and the only value with which the term is TRUE, where it is as plain as that."""
    if z3.is_bool(term) and is_symbol(term):
        return term, True
    if z3.is_not(term) and is_symbol(term.arg(0)):
        return term.arg(0), False
    if z3.is_eq(term):
        for symbol, other in (term.children(), reversed(term.children())):
            value = literal_value(other)
            if is_symbol(symbol) and value is not None:
                return symbol, value
    return None


def _put_in(
    system: TransitionSystem, bad: z3.BoolRef, found: list[tuple[z3.ExprRef, Value]]
) -> tuple[TransitionSystem, z3.BoolRef]:
    pairs = [(symbol, value_term(value, symbol)) for symbol, value in found]
    put = Substitution(pairs, system.elapsed.ctx)
    gone = {name(symbol) for symbol, _ in found}
    smaller = replace(
        system,
        states=tuple(replace(each, update=put(each.update)) for each in system.states),
        inputs=tuple(symbol for symbol in system.inputs if name(symbol) not in gone),
        ranges=_left([put(each) for each in system.ranges]),
        constraints=_left([put(each) for each in system.constraints]),
        signals={signal: put(term) for signal, term in system.signals.items()},
        findings=(),
    )
    return smaller, put(bad)


def _left(terms: list[z3.BoolRef]) -> tuple[z3.BoolRef, ...]:
    """The terms without those that are TRUE now."""
    found = [(term, z3.simplify(term)) for term in terms]
    return tuple(
        plain if z3.is_false(plain) else term for term, plain in found if not z3.is_true(plain)
    )
