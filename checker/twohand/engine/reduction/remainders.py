"""Remainders of numbers that hardly leave their range, without a division.

``(n + 1) MOD 100`` with n from 0 to 99, and a difference that wraps around once, are the number or
the number less (or more) the whole range: a choice, which proofs and jumps can read. Conditions
that the ranges decide go with it. What is proved so is proved of the system together with the
ranges, which are inductive; runs are the same.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

import z3

from twohand.engine.reduction.intervals import Interval, KnownRanges, intervals
from twohand.engine.system.contract import Answer, Proved
from twohand.engine.system.terms import literal_value, name, operands, symbols, walk
from twohand.scan.sorts import Sorted, integer, of_sort
from twohand.scan.transition_system import StateKind, TransitionSystem


@dataclass(frozen=True)
class Undivided:
    """``system`` and ``bad`` without such remainders, which have the ``ranges``."""

    system: TransitionSystem
    bad: z3.BoolRef
    ranges: tuple[z3.BoolRef, ...] = ()

    def answer(self, found: Answer) -> Answer:
        """An answer for the system as it was."""
        if not isinstance(found, Proved) or not self.ranges:
            return found
        return replace(found, clauses=(*found.clauses, *self.ranges))


def without_division(system: TransitionSystem, bad: z3.BoolRef) -> Undivided:
    """The system (its cone of influence) with choices for the remainders by literals whose numbers
    are in a range that shows; as it is where there are none."""
    roots = [*(state.update for state in system.states), *system.constraints, bad]
    divided = [node for node in walk(roots) if _is_remainder(node)]
    if not divided:
        return Undivided(system, bad)
    found = intervals(system, numbers_read(system, divided))
    rewriting = Rewriting(system, found)
    states = tuple(replace(each, update=rewriting(each.update)) for each in system.states)
    constraints = tuple(rewriting(each) for each in system.constraints)
    plain = replace(system, states=states, constraints=constraints, signals={}, findings=())
    return Undivided(plain, rewriting(bad), ranges(system, found))


def _is_remainder(node: z3.ExprRef) -> bool:
    return z3.is_app(node) and node.decl().kind() == z3.Z3_OP_MOD


def numbers_read(system: TransitionSystem, terms: Iterable[z3.ExprRef]) -> set[str]:
    """The numbers of the state that the terms' values are made of, and those that these are."""
    states = {name(s.symbol): s for s in system.states if z3.is_int(s.symbol)}
    found: set[str] = set()
    waiting = list(terms)
    while waiting:
        met = {name(symbol) for symbol in symbols([waiting.pop()])}
        more = (met & states.keys()) - found
        found |= more
        waiting += [states[own].update for own in sorted(more)]
    return {own for own in found if states[own].kind is StateKind.DISCRETE}


def ranges(system: TransitionSystem, found: Mapping[str, Interval]) -> tuple[z3.BoolRef, ...]:
    """The ends of the intervals as clauses."""
    clauses = []
    for state in system.states:
        interval = found.get(name(state.symbol), Interval())
        if isinstance(interval.least, int):
            clauses.append(integer(state.symbol) >= interval.least)
        if isinstance(interval.greatest, int):
            clauses.append(integer(state.symbol) <= interval.greatest)
    return tuple(clauses)


class Rewriting:
    """Terms made plainer by what their numbers are known to be: what is decided is put in, and
    remainders become choices."""

    def __init__(self, system: TransitionSystem, states: Mapping[str, Interval]) -> None:
        self._known = KnownRanges(system, states)
        self._context = system.elapsed.ctx
        self._made: dict[int, z3.ExprRef] = {}
        self._seen: set[int] = set()
        self._kept: list[z3.ExprRef] = []

    def __call__(self, term: Sorted) -> Sorted:
        self._kept.append(term)
        for node in walk([term], self._seen):
            self._kept.append(node)
            self._made[node.get_id()] = self._plain(node)
        return of_sort(self._made[term.get_id()], term)

    def _plain(self, node: z3.ExprRef) -> z3.ExprRef:
        """The node over what its operands were made; those are done."""
        before = operands(node)
        parts = [self._made[part.get_id()] for part in before]
        if z3.is_bool(node) and parts:
            truth = self._known.truth(node)
            if truth is not None:
                return z3.BoolVal(truth, self._context)
        if z3.is_int(node) and parts:
            interval = self._known.interval(node)
            if isinstance(interval.least, int) and interval.least == interval.greatest:
                return z3.IntVal(interval.least, self._context)
        if _is_choice(node):
            condition = literal_value(parts[0])
            if condition is not None:
                return parts[1] if condition else parts[2]
        if _is_remainder(node):
            size = literal_value(parts[1])
            if size is not None:
                chosen = self._chosen(before[0], integer(parts[0]), int(size))
                if chosen is not None:
                    return chosen
        if node.decl().kind() in (z3.Z3_OP_AND, z3.Z3_OP_OR):
            kept = [part for part in parts if literal_value(part) is None]
            if len(kept) < len(parts):
                return kept[0] if len(kept) == 1 else node.decl()(*kept)
        same = all(one.eq(other) for one, other in zip(parts, before, strict=True))
        return node if same else node.decl()(*parts)

    def _chosen(self, before: z3.ExprRef, term: z3.ArithRef, size: int) -> z3.ExprRef | None:
        """The remainder as a choice; None where the number can be further out."""
        interval = self._known.interval(before)
        if size <= 0 or not interval.within(-size, 2 * size - 1):
            return None
        chosen = term
        if interval.greatest >= size:
            chosen = z3.If(term >= size, term - size, chosen)
        return z3.If(term < 0, term + size, chosen) if interval.least < 0 else chosen


def _is_choice(node: z3.ExprRef) -> bool:
    return z3.is_app(node) and node.decl().kind() == z3.Z3_OP_ITE
