"""The vocabulary of the proof: predicates over the state.

Every Boolean of the state; every comparison in the updates and the bad term, made a comparison of
state alone; each clock against 0 and each pair of clocks against each other. Comparisons of
integers are kept in one form, ``sum <= constant``, so that ``x < 5``, ``x <= 4`` and
``NOT (x >= 5)`` are one predicate.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise, product
from math import gcd
from typing import TypeAlias

import z3

from twohand.engine.system.clocks import Pair
from twohand.engine.system.counters import Counter, Pace, counters
from twohand.engine.system.terms import is_symbol, literal_value, name, operands, symbols, walk
from twohand.scan.sorts import integer
from twohand.scan.transition_system import TransitionSystem

Linear: TypeAlias = tuple[tuple[tuple[str, int], ...], int]
"""Coefficients by symbol, sorted, none of them 0; and a constant."""

_MOST_LEAVES = 48
_WIDEST_FILLED = 64
_COMPARISONS = {z3.Z3_OP_LE, z3.Z3_OP_LT, z3.Z3_OP_GE, z3.Z3_OP_GT, z3.Z3_OP_EQ}
_BIT_COMPARISONS = {
    z3.Z3_OP_ULEQ, z3.Z3_OP_ULT, z3.Z3_OP_UGEQ, z3.Z3_OP_UGT,
    z3.Z3_OP_SLEQ, z3.Z3_OP_SLT, z3.Z3_OP_SGEQ, z3.Z3_OP_SGT, z3.Z3_OP_EQ,
}  # fmt: skip
_ELAPSED = "elapsed of this step"
_ONE: Linear = ((), 1)


def _scaled(linear: Linear, factor: int) -> Linear:
    if factor == 0:
        return ((), 0)
    return tuple((n, c * factor) for n, c in linear[0]), linear[1] * factor


def _added(left: Linear, right: Linear) -> Linear:
    total = dict(left[0])
    for symbol, coefficient in right[0]:
        total[symbol] = total.get(symbol, 0) + coefficient
    return tuple(sorted((n, c) for n, c in total.items() if c)), left[1] + right[1]


class Vocabulary:
    """Collects predicates over the state of one system, each once, in a stable order.

    A comparison that reads the elapsed time is taken at each of ``times``.
    """

    def __init__(self, system: TransitionSystem, times: Sequence[int]) -> None:
        self._times = tuple(times)
        self._bounds: dict[str, set[int]] = {}
        self._system = system
        self._context = system.elapsed.ctx
        self._states = {name(state.symbol): state for state in system.states}
        self._known: set[int] = set()
        self.predicates: list[z3.BoolRef] = []
        self._leaves: dict[int, frozenset[Linear]] = {}
        self._visited: set[int] = set()
        self._keep: list[z3.ExprRef] = []

    def add(self, predicate: z3.BoolRef) -> bool:
        """Whether it is new."""
        if predicate.get_id() in self._known:
            return False
        self._known.add(predicate.get_id())
        self.predicates.append(predicate)
        return True

    def add_linear(self, linear: Linear) -> bool:
        """Adds ``linear <= 0`` in its one form; whether it is new."""
        coefficients, constant = linear
        if not coefficients or any(symbol not in self._states for symbol, _ in coefficients):
            return False
        divisor = _common_divisor(c for _, c in coefficients)
        bound = (-constant) // divisor
        reduced = tuple((n, c // divisor) for n, c in coefficients)
        if reduced[0][1] < 0:
            reduced, bound = tuple((n, -c) for n, c in reduced), -bound - 1
        if len(reduced) == 1:
            self._bounds.setdefault(reduced[0][0], set()).add(bound)
        return self.add(self._sum(reduced) <= bound)

    def _sum(self, coefficients: tuple[tuple[str, int], ...]) -> z3.ArithRef:
        positive = [(integer(self._states[n].symbol), c) for n, c in coefficients]
        terms = [symbol if c == 1 else c * symbol for symbol, c in positive]
        return terms[0] if len(terms) == 1 else z3.Sum(terms)

    # -- comparisons met in terms ---------------------------------------------------------------

    def add_atoms(self, roots: Iterable[z3.ExprRef], only: set[str] | None = None) -> bool:
        """Adds what the comparisons below ``roots`` say of the state (of the states named in
        ``only``); whether any is new."""
        kept = list(roots)
        self._keep.extend(kept)
        fresh = False
        for term in walk(kept):
            if not z3.is_bool(term) or not term.num_args():
                continue
            kind = term.decl().kind()
            if kind in _COMPARISONS and z3.is_int(term.arg(0)):
                fresh |= self._add_comparison(kind, term.arg(0), term.arg(1), only)
            elif kind in _BIT_COMPARISONS and z3.is_bv(term.arg(0)) and self._state_only(term):
                fresh |= self.add(term)
        return fresh

    def _state_only(self, term: z3.ExprRef) -> bool:
        found = symbols([term])
        return bool(found) and all(name(symbol) in self._states for symbol in found)

    def _add_comparison(
        self, kind: int, left: z3.ExprRef, right: z3.ExprRef, only: set[str] | None
    ) -> bool:
        """In an order that is the same in every process: predicates are tried as they come."""
        fresh = False
        lefts, rights = sorted(self._forms(left)), sorted(self._forms(right))
        for a, b in product(lefts, rights):
            difference = _added(a, _scaled(b, -1))
            if only is not None and any(n not in only for n, _ in difference[0]):
                continue
            for timed in self._without_elapsed(difference):
                fresh |= self._add_relation(kind, timed)
        return fresh

    def _add_relation(self, kind: int, difference: Linear) -> bool:
        """``difference`` kind 0, as one or two predicates."""
        negated = _scaled(difference, -1)
        if kind == z3.Z3_OP_LE:
            return self.add_linear(difference)
        if kind == z3.Z3_OP_LT:
            return self.add_linear(_added(difference, _ONE))
        if kind == z3.Z3_OP_GE:
            return self.add_linear(negated)
        if kind == z3.Z3_OP_GT:
            return self.add_linear(_added(negated, _ONE))
        first, second = self.add_linear(difference), self.add_linear(negated)
        return first or second

    def _without_elapsed(self, linear: Linear) -> list[Linear]:
        coefficients, constant = linear
        factor = dict(coefficients).get(_ELAPSED, 0)
        if not factor:
            return [linear]
        rest = tuple((n, c) for n, c in coefficients if n != _ELAPSED)
        return [(rest, constant + factor * time) for time in self._times]

    def _forms(self, term: z3.ExprRef) -> frozenset[Linear]:
        """The linear forms that an integer term can take, one for each way through its choices;
        forms that read an input are left out."""
        for node in walk([term], self._visited):
            if not z3.is_int(node):
                continue
            self._keep.append(node)
            self._leaves[node.get_id()] = self._node_forms(node)
        return self._leaves[term.get_id()]

    def _node_forms(self, node: z3.ExprRef) -> frozenset[Linear]:
        literal = literal_value(node)
        if literal is not None:
            return frozenset([((), int(literal))])
        if is_symbol(node):
            return self._symbol_forms(name(node))
        kind = node.decl().kind()
        parts = [self._leaves.get(child.get_id(), frozenset()) for child in operands(node)]
        if kind == z3.Z3_OP_ITE:
            return _limited(parts[1] | parts[2])
        if kind == z3.Z3_OP_UMINUS:
            return frozenset(_scaled(form, -1) for form in parts[0])
        if kind in (z3.Z3_OP_ADD, z3.Z3_OP_SUB):
            sign = 1 if kind == z3.Z3_OP_ADD else -1
            total = parts[0]
            for part in parts[1:]:
                total = _limited(
                    frozenset(_added(a, _scaled(b, sign)) for a in total for b in part)
                )
            return total
        if kind == z3.Z3_OP_MUL and len(parts) == 2:
            return frozenset(
                _scaled(b, a[1]) if not a[0] else _scaled(a, b[1])
                for a in parts[0]
                for b in parts[1]
                if not a[0] or not b[0]
            )
        return frozenset()

    def _symbol_forms(self, symbol: str) -> frozenset[Linear]:
        if symbol == name(self._system.elapsed):
            return frozenset([(((_ELAPSED, 1),), 0)])
        if symbol == name(self._system.scans):
            return frozenset([_ONE])
        if symbol in self._states:
            return frozenset([(((symbol, 1),), 0)])
        return frozenset()

    # -- what is added without being met --------------------------------------------------------

    def add_origins(self, found: Iterable[Counter]) -> None:
        """Each counter against what it counts from."""
        for counter in found:
            form = (((counter.name, 1),), -counter.origin)
            self.add_linear(form)
            self.add_linear(_added(form, _ONE))

    def add_state(self) -> None:
        """Every Boolean, and every number against 0."""
        for state in self._system.states:
            if z3.is_bool(state.symbol):
                self.add(state.symbol)
            elif z3.is_int(state.symbol):
                form = (((name(state.symbol), 1),), 0)
                self.add_linear(form)
                self.add_linear(_added(form, _ONE))

    def add_paces(self, pairs: Iterable[Pace], distances: Iterable[int]) -> bool:
        """For each clock of time and each number that counts scans: how far the time is from the
        least and from the greatest that so many scans can take; whether any is new."""
        fresh = False
        wanted = sorted(set(distances))
        for time, counter in pairs:
            many, sign = abs(counter.step), 1 if counter.step > 0 else -1
            passed: Linear = (((time, many),), 0)
            counted: Linear = (((counter.name, sign),), -sign * counter.origin)
            least = _added(_scaled(counted, self._system.shortest), _scaled(passed, -1))
            greatest = _added(passed, _scaled(counted, -self._system.longest))
            for distance, pace in product(wanted, (least, greatest)):
                fresh |= self.add_linear(_added(pace, ((), -distance * many)))
        return fresh

    def bounds(self) -> dict[str, int]:
        """How many bounds of each single number there are."""
        return {number: len(bounds) for number, bounds in self._bounds.items()}

    def fill(self, number: str) -> None:
        """Adds every bound between two near ones: a number that counts passes through all."""
        known = sorted(self._bounds.get(number, ()))
        for low, high in pairwise(known):
            if high - low <= _WIDEST_FILLED:
                for bound in range(low + 1, high):
                    self.add_linear((((number, 1),), -bound))

    def add_distances(self, pairs: Iterable[Pair], distances: Iterable[int]) -> bool:
        """For each two clocks whether the first is ahead of the second by more than each of
        ``distances``; whether any is new."""
        fresh = False
        for (one, other), distance in product(pairs, sorted(set(distances))):
            fresh |= self.add_linear(_added((((one, 1),), 0), (((other, -1),), -distance)))
        return fresh


def _common_divisor(numbers: Iterable[int]) -> int:
    return gcd(*numbers)


def _limited(forms: frozenset[Linear]) -> frozenset[Linear]:
    """Forms beyond the limit are dropped: fewer predicates, never a wrong one."""
    if len(forms) <= _MOST_LEAVES:
        return forms
    return frozenset(sorted(forms)[:_MOST_LEAVES])


def constants(roots: Iterable[z3.ExprRef]) -> set[int]:
    """The integer literals below ``roots``."""
    found = (literal_value(term) for term in walk(roots) if z3.is_int(term))
    return {value for value in found if value is not None}


def starting_vocabulary(
    system: TransitionSystem, bad: z3.BoolRef, pairs: Iterable[Pair]
) -> Vocabulary:
    """What a proof about ``bad`` begins with; ``pairs`` of clocks are compared with each other."""
    vocabulary = Vocabulary(system, (0, system.longest))
    vocabulary.add_state()
    roots = [bad, *system.constraints, *(state.update for state in system.states)]
    vocabulary.add_atoms(roots)
    vocabulary.add_distances(pairs, [0])
    vocabulary.add_origins(counters(system))
    return vocabulary
