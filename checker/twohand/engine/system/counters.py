"""Which numbers of a program may count scans, and how far the time is from what they count.

A program that has no timer for it counts scans: ``IF n < 48 THEN n := n + 1``. What is asked speaks
of time, and so does a proof: so many scans take at least so many times the least scan time, and at
most so many times the greatest.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product
from typing import TypeAlias

import z3

from twohand.engine.system.clocks import comparable, inputs_read, timed_states
from twohand.engine.system.terms import literal_value, name, operands, walk
from twohand.scan.sorts import integer
from twohand.scan.transition_system import StateVariable, TransitionSystem

_MOST_ORIGINS = 3
"""Literals that a number counts from, of those that it is given."""


@dataclass(frozen=True)
class Counter:
    """A number that may count scans: one scan adds ``step`` to it, from ``origin`` on."""

    name: str
    step: int
    origin: int = 0


Pace: TypeAlias = tuple[str, Counter]
"""A clock of time, and what counts scans beside it."""


def counters(system: TransitionSystem) -> list[Counter]:
    """The clocks that run by scans, and the numbers that the program may count scans with, from
    each literal that they are given."""
    timed = timed_states(system)
    by_scans = set(comparable(system)[1])
    found = []
    for state in system.states:
        if name(state.symbol) in by_scans:
            found += [
                Counter(name(state.symbol), s) for s in sorted(_each_scan(state, system.scans))
            ]
        steps = {step for _, step in additions(state)}
        if steps and name(state.symbol) not in timed:
            origins = sorted(_given_literals(state))[:_MOST_ORIGINS]
            found += [Counter(name(state.symbol), s, o) for s in sorted(steps) for o in origins]
    return found


def _each_scan(state: StateVariable, scans: z3.ArithRef) -> set[int]:
    """What a scan adds to a clock that runs by scans."""
    factors = set()
    for node in walk([state.update]):
        if node.decl().kind() == z3.Z3_OP_MUL and node.num_args() == 2:
            one, other = operands(node)
            factor = literal_value(one) if other.eq(scans) else None
            if factor is not None:
                factors.add(int(factor))
    return factors or {1}


def _given_literals(state: StateVariable) -> set[int]:
    """The literals that the state's update can choose as they are, and the one that it begins
    with."""
    roots = [state.update] if state.initial is None else [state.update, state.initial]
    literals = (literal_value(leaf) for root in roots for leaf in leaves(root))
    return {int(value) for value in literals if value is not None}


def leaves(term: z3.ExprRef) -> Iterator[z3.ExprRef]:
    """What a choice chooses from."""
    seen: set[int] = set()
    stack = [term]
    while stack:
        node = stack.pop()
        if node.get_id() in seen:
            continue
        seen.add(node.get_id())
        if node.decl().kind() == z3.Z3_OP_ITE:
            stack.extend(operands(node)[1:])
        else:
            yield node


def additions(state: StateVariable) -> list[tuple[z3.ArithRef, int]]:
    """The terms of the state's update that add a literal to its value, with the literal."""
    if not z3.is_int(state.symbol):
        return []
    found = []
    for node in walk([state.update]):
        step = _added_to(state.symbol, node)
        if step is not None:
            found.append((integer(node), step))
    return found


def _added_to(own: z3.ExprRef, node: z3.ExprRef) -> int | None:
    """The literal that ``node`` adds to ``own``; None for any other term."""
    kind = node.decl().kind()
    if kind not in (z3.Z3_OP_ADD, z3.Z3_OP_SUB) or node.num_args() != 2:
        return None
    left, right = operands(node)
    if left.eq(own):
        value = literal_value(right)
        return value if value is None or kind == z3.Z3_OP_ADD else -int(value)
    return literal_value(left) if kind == z3.Z3_OP_ADD and right.eq(own) else None


def paces(system: TransitionSystem) -> list[Pace]:
    return list(product(comparable(system)[0], counters(system)))


def related_paces(system: TransitionSystem) -> list[Pace]:
    """Those whose new values depend on a common input."""
    read = inputs_read(system)
    return [(time, c) for time, c in paces(system) if read[time] & read[c.name]]
