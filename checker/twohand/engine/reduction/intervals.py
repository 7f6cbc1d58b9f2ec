"""Between which values the numbers of a system lie, as far as that shows without a solver.

Least and greatest values are carried through one scan until nothing new comes (abstract
interpretation with intervals: P. and R. Cousot, 1977): what is then said of all states together is
an inductive invariant. A choice narrows what it chooses, where its condition compares the same sum.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import inf
from typing import TypeAlias

import z3

from twohand.engine.system.terms import is_symbol, literal_value, name, operands, walk
from twohand.scan.transition_system import StateVariable, TransitionSystem

_ROUNDS_BEFORE_WIDENING = 3
_ROUNDS_TO_LITERALS = 40
"""Rounds in which an end that moves goes on to the next literal, before it is given up."""
_MOST_ROUNDS = 50
_MOST_PARTS = 8
"""Parts of a sum that is compared with others; a longer one is a number of its own."""


@dataclass(frozen=True)
class Interval:
    """From ``least`` to ``greatest``, inclusive; infinite: without an end there."""

    least: int | float = -inf
    greatest: int | float = inf

    def within(self, least: int, greatest: int) -> bool:
        return least <= self.least and self.greatest <= greatest

    def joined(self, other: Interval) -> Interval:
        return Interval(min(self.least, other.least), max(self.greatest, other.greatest))

    def met(self, other: Interval) -> Interval:
        """What is in both; where that is nothing, this one."""
        least, greatest = max(self.least, other.least), min(self.greatest, other.greatest)
        return Interval(least, greatest) if least <= greatest else self

    def without(self, value: int) -> Interval:
        """Less an end that is this value."""
        least = self.least + 1 if self.least == value else self.least
        greatest = self.greatest - 1 if self.greatest == value else self.greatest
        return Interval(least, greatest) if least <= greatest else self

    def plus(self, other: Interval) -> Interval:
        return Interval(self.least + other.least, self.greatest + other.greatest)

    def times(self, factor: int) -> Interval:
        ends = (self.least * factor, self.greatest * factor)
        return Interval(min(ends), max(ends))

    def widened(self, wider: Interval, ends: Sequence[int]) -> Interval:
        """Where the other goes beyond this one, up to the next of the ``ends``, which are in
        order, or without an end."""
        least, greatest = self.least, self.greatest
        if wider.least < least:
            place = bisect_right(ends, wider.least)
            least = ends[place - 1] if place else -inf
        if wider.greatest > greatest:
            place = bisect_left(ends, wider.greatest)
            greatest = ends[place] if place < len(ends) else inf
        return Interval(least, greatest)


_EVERYTHING = Interval()
_Parts: TypeAlias = tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class _Sum:
    """Numbers by their node, each often, and a constant."""

    parts: _Parts
    constant: int

    def plus(self, other: _Sum) -> _Sum:
        total = dict(self.parts)
        for node, factor in other.parts:
            total[node] = total.get(node, 0) + factor
        parts = tuple(sorted((node, factor) for node, factor in total.items() if factor))
        return _Sum(parts, self.constant + other.constant)

    def times(self, factor: int) -> _Sum:
        parts = tuple((node, factor * own) for node, own in self.parts) if factor else ()
        return _Sum(parts, factor * self.constant)


@dataclass(frozen=True)
class _Fact:
    """That the sum of these parts lies within, or is not this value."""

    parts: _Parts
    within: Interval = _EVERYTHING
    other_than: int | None = None

    def narrowed(self, total: _Sum, interval: Interval) -> Interval:
        for sign in (1, -1):
            signed = total.times(sign)
            if signed.parts == self.parts:
                shift = Interval(-signed.constant, -signed.constant)
                own = interval.times(sign).plus(shift).met(self.within)
                if self.other_than is not None:
                    own = own.without(self.other_than)
                return own.plus(shift.times(-1)).times(sign)
        return interval


_Facts: TypeAlias = tuple[_Fact, ...]


class KnownRanges:
    """What can be said of terms where the states lie in these intervals (those of other states
    are not known)."""

    def __init__(self, system: TransitionSystem, states: Mapping[str, Interval]) -> None:
        timing = {
            name(system.elapsed): Interval(system.shortest, inf),
            name(system.scans): Interval(1, inf),
        }
        self._symbols = {**timing, **states}
        self._seen: set[int] = set()
        self._kept: list[z3.ExprRef] = []
        self._intervals: dict[int, Interval] = {}
        self._sums: dict[int, _Sum] = {}
        self._truths: dict[int, bool] = {}
        self._facts: dict[int, tuple[_Facts, _Facts]] = {}

    def interval(self, term: z3.ExprRef) -> Interval:
        """Of an integer."""
        self._look_at(term)
        return self._intervals[term.get_id()]

    def truth(self, term: z3.ExprRef) -> bool | None:
        """Of a Boolean; None where it can be either."""
        self._look_at(term)
        return self._truths.get(term.get_id())

    def _look_at(self, term: z3.ExprRef) -> None:
        self._kept.append(term)
        for node in walk([term], self._seen):
            self._kept.append(node)
            if z3.is_int(node):
                self._number(node)
            elif z3.is_bool(node):
                self._boolean(node)

    # --- numbers ------------------------------------------------------------------------------

    def _number(self, node: z3.ExprRef) -> None:
        own = node.get_id()
        total = self._sum(node)
        if total is None or len(total.parts) > _MOST_PARTS:
            total = _Sum(((own, 1),), 0)
            self._intervals[own] = self._of_a_whole(node)
        else:
            found = Interval(total.constant, total.constant)
            for part, factor in total.parts:
                found = found.plus(self._intervals[part].times(factor))
            self._intervals[own] = found
        self._sums[own] = total

    def _sum(self, node: z3.ExprRef) -> _Sum | None:
        """A sum of others; None where it is none."""
        value = literal_value(node)
        if value is not None:
            return _Sum((), int(value))
        kind = node.decl().kind()
        parts = [self._sums.get(part.get_id()) for part in operands(node)]
        known = [part for part in parts if part is not None]
        if not known or len(known) < len(parts):
            return None
        if kind == z3.Z3_OP_UMINUS:
            return known[0].times(-1)
        if kind in (z3.Z3_OP_ADD, z3.Z3_OP_SUB):
            total = known[0]
            for part in known[1:]:
                total = total.plus(part.times(1 if kind == z3.Z3_OP_ADD else -1))
            return total
        if kind == z3.Z3_OP_MUL and len(known) == 2:
            one, other = known
            if not one.parts:
                return other.times(one.constant)
            return one.times(other.constant) if not other.parts else None
        return None

    def _of_a_whole(self, node: z3.ExprRef) -> Interval:
        if is_symbol(node):
            return self._symbols.get(name(node), _EVERYTHING)
        kind, parts = node.decl().kind(), operands(node)
        if kind == z3.Z3_OP_ITE:
            return self._chosen(*parts)
        if kind == z3.Z3_OP_MOD:
            size, own = literal_value(parts[1]), self._intervals[parts[0].get_id()]
            if size is not None and size > 0:
                whole = Interval(0, int(size) - 1)
                return own if own.within(0, int(size) - 1) else whole
        return _EVERYTHING

    def _chosen(self, condition: z3.ExprRef, one: z3.ExprRef, other: z3.ExprRef) -> Interval:
        found = []
        for facts, branch, when in zip(
            self._facts.get(condition.get_id(), ((), ())), (one, other), (True, False), strict=True
        ):
            if self._truths.get(condition.get_id()) is (not when):
                continue
            interval = self._intervals[branch.get_id()]
            for fact in facts:
                interval = fact.narrowed(self._sums[branch.get_id()], interval)
            found.append(interval)
        return found[0] if len(found) == 1 else found[0].joined(found[1])

    # --- Booleans -----------------------------------------------------------------------------

    def _boolean(self, node: z3.ExprRef) -> None:
        own, kind, parts = node.get_id(), node.decl().kind(), operands(node)
        truths = [self._truths.get(part.get_id()) for part in parts]
        facts = [self._facts.get(part.get_id(), ((), ())) for part in parts]
        value = literal_value(node)
        if value is not None:
            self._truths[own] = bool(value)
        elif kind == z3.Z3_OP_NOT:
            self._facts[own] = facts[0][1], facts[0][0]
            self._say(own, None if truths[0] is None else not truths[0])
        elif kind in (z3.Z3_OP_AND, z3.Z3_OP_OR):
            decisive = kind == z3.Z3_OP_OR
            joined = tuple(fact for each in facts for fact in each[decisive])
            self._facts[own] = ((), joined) if decisive else (joined, ())
            if decisive in truths:
                self._say(own, decisive)
            elif None not in truths:
                self._say(own, not decisive)
        elif kind == z3.Z3_OP_ITE and truths[0] is not None:
            self._say(own, truths[1] if truths[0] else truths[2])
        elif len(parts) == 2 and z3.is_int(parts[0]):
            self._comparison(own, kind, parts)

    def _say(self, own: int, value: bool | None) -> None:
        if value is not None:
            self._truths[own] = value

    def _comparison(self, own: int, kind: int, parts: list[z3.ExprRef]) -> None:
        left, right = (self._sums[part.get_id()] for part in parts)
        apart = left.plus(right.times(-1))
        found = Interval(apart.constant, apart.constant)
        for part, factor in apart.parts:
            found = found.plus(self._intervals[part].times(factor))
        if kind == z3.Z3_OP_EQ:
            value = -apart.constant
            equal = _Fact(apart.parts, Interval(value, value))
            self._facts[own] = (equal,), (_Fact(apart.parts, other_than=value),)
            inside, outside = found == Interval(0, 0), found.least > 0 or found.greatest < 0
        elif kind in _FROM:
            least = _FROM[kind]
            whole = Interval(least - apart.constant, inf)
            below = Interval(-inf, least - apart.constant - 1)
            more, less = (_Fact(apart.parts, whole),), (_Fact(apart.parts, below),)
            inside, outside = found.least >= least, found.greatest < least
            if kind in (z3.Z3_OP_LE, z3.Z3_OP_LT):
                more, less, inside, outside = less, more, outside, inside
            self._facts[own] = more, less
        else:
            return
        self._say(own, True if inside else False if outside else None)


_FROM = {z3.Z3_OP_GE: 0, z3.Z3_OP_GT: 1, z3.Z3_OP_LT: 0, z3.Z3_OP_LE: 1}
"""The least difference of the sides with which it is true, or for the last two FALSE."""


def intervals(system: TransitionSystem, wanted: Iterable[str]) -> dict[str, Interval]:
    """Of these integer states, which have a literal at the beginning, in every scan: together they
    are inductive. Other states are taken for anything."""
    states = {name(s.symbol): s for s in system.states if name(s.symbol) in set(wanted)}
    first = {
        own: Interval(value, value)
        for own, state in states.items()
        if state.initial is not None and (value := literal_value(state.initial)) is not None
    }
    found = {own: first.get(own, _EVERYTHING) for own in states}
    ends = _literals(states.values())
    for number in range(_MOST_ROUNDS):
        known = KnownRanges(system, found)
        after = {
            own: first[own].joined(known.interval(state.update)) if own in first else _EVERYTHING
            for own, state in states.items()
        }
        if after == found:
            break
        if number < _ROUNDS_BEFORE_WIDENING:
            found = {own: interval.joined(after[own]) for own, interval in found.items()}
            continue
        stops = ends if number < _ROUNDS_TO_LITERALS else []
        wider = {own: interval.widened(after[own], stops) for own, interval in found.items()}
        found = after if wider == found else wider
    return found if _holds(system, states, found) else dict.fromkeys(states, _EVERYTHING)


def _literals(states: Iterable[StateVariable]) -> list[int]:
    """The literals of the updates and their neighbours, in order."""
    literals = (literal_value(node) for node in walk(state.update for state in states))
    near = {int(value) + by for value in literals if value is not None for by in (-1, 0, 1)}
    return sorted(near)


def _holds(
    system: TransitionSystem, states: Mapping[str, StateVariable], found: Mapping[str, Interval]
) -> bool:
    """Whether a scan from within leads nowhere else."""
    known = KnownRanges(system, found)
    after = ((found[own], known.interval(state.update)) for own, state in states.items())
    return all(own.joined(later) == own for own, later in after)
