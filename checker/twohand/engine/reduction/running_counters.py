"""Counters that come round, as how far they have gone on since they were copied.

``n := (n + 1) MOD 100`` runs on and on, ``began := n`` keeps where it was, and only the difference
matters, which comes round with the counter. Where that is so, the counter and its copies leave the
system; in place of each copy there is a clock that a scan sets to 0 or lets go on. That nothing
else hangs on where the counter is, is asked of the solver. What is proved of the clocks is proved
of the differences, together with the ranges of the numbers; runs are the same.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import z3

from twohand.engine.reduction.intervals import Interval, intervals
from twohand.engine.reduction.remainders import Rewriting, numbers_read, ranges
from twohand.engine.system.budget import Budget, asked_once
from twohand.engine.system.contract import Answer, Proved
from twohand.engine.system.counters import additions, leaves
from twohand.engine.system.terms import (
    Substitution,
    literal_value,
    name,
    operands,
    symbols,
    walk,
)
from twohand.scan.sorts import Sorted, boolean, integer
from twohand.scan.transition_system import StateKind, StateVariable, TransitionSystem

METHOD = "counters as clocks"
_QUERY = 2.0
"""The effort for the one query whether something else hangs on a counter."""
_BEYOND = -1
"""The clock after a step of several scans in which it comes round: no time at all."""


@dataclass(frozen=True)
class _Counter:
    """``state`` lies between ``least`` and ``greatest``, and ``advanced`` is what it is one
    ``step`` further on, round and round."""

    state: StateVariable
    least: int
    greatest: int
    step: int
    advanced: z3.ExprRef

    @property
    def symbol(self) -> z3.ArithRef:
        return integer(self.state.symbol)

    @property
    def size(self) -> int:
        return self.greatest - self.least + 1

    def within(self, number: z3.ArithRef) -> list[z3.BoolRef]:
        return [number >= self.least, number <= self.greatest]

    def round(self, number: z3.ArithRef) -> z3.ArithRef:
        """The number that was a step at most too far, in the range."""
        less = z3.If(number > self.greatest, number - self.size, number)
        return z3.If(number < self.least, number + self.size, less)


@dataclass(frozen=True)
class _Copy:
    """A state that keeps where the counter was, and the ``clock`` in its place."""

    counter: _Counter
    state: StateVariable

    @cached_property
    def clock(self) -> z3.ArithRef:
        own = f"#{self.counter.state.name} since {self.state.name}"
        return z3.Int(own, self.state.symbol.ctx)

    @property
    def gone(self) -> z3.ArithRef:
        """How far the counter has gone on, by both numbers."""
        counter, copied = self.counter.symbol, integer(self.state.symbol)
        apart = counter - copied if self.counter.step > 0 else copied - counter
        return z3.If(apart < 0, apart + self.counter.size, apart)

    def kept(self, counter: z3.ArithRef, gone: z3.ArithRef) -> z3.ArithRef:
        """What is kept where the counter is here and has gone on so far."""
        return self.counter.round(counter - gone if self.counter.step > 0 else counter + gone)


@dataclass(frozen=True)
class Clocked:
    """``system`` and ``bad`` with clocks in place of ``copies``; ``ranges`` are of the numbers that
    were there before."""

    system: TransitionSystem
    bad: z3.BoolRef
    copies: tuple[_Copy, ...] = ()
    ranges: tuple[z3.BoolRef, ...] = ()

    def answer(self, found: Answer) -> Answer:
        """An answer for the system with the counter."""
        if not isinstance(found, Proved) or not self.copies:
            return found
        read = Substitution([(each.clock, each.gone) for each in self.copies], self.bad.ctx)
        method = f"{found.method}, with {METHOD}" if found.clauses else METHOD
        return Proved((*(read(clause) for clause in found.clauses), *self.ranges), method)


def with_clocks(system: TransitionSystem, bad: z3.BoolRef, budget: Budget) -> Clocked:
    """The system (its cone of influence) with clocks in place of one counter and its copies; as it
    is where there is no such counter."""
    for state, copies in _candidates(system):
        found = intervals(system, numbers_read(system, [state.update]))
        counter = _counter(state, found[name(state.symbol)], budget)
        if counter is None:
            continue
        clocked = _Clocking(system, bad, counter, copies, found).clocked(budget)
        if clocked is not None:
            return clocked
    return Clocked(system, bad)


def _candidates(system: TransitionSystem) -> Iterator[tuple[StateVariable, list[StateVariable]]]:
    """Numbers that something is added to, each with those that take their value from it alone."""
    numbers = [
        state
        for state in system.states
        if state.kind is StateKind.DISCRETE
        and z3.is_int(state.symbol)
        and literal_value(_initial(state)) is not None
    ]
    counting = [state for state in numbers if additions(state)]
    if not counting:
        return
    taken = {state.name: set(_taken_from(state)) for state in numbers}
    for state in counting:
        copies = [n for n in numbers if n is not state and name(state.symbol) in taken[n.name]]
        if copies:
            yield state, copies


def _taken_from(state: StateVariable) -> Iterator[str]:
    """What by itself gives the state its value in some case."""
    for leaf in leaves(state.update):
        read = symbols([leaf])
        if len(read) == 1:
            yield name(read[0])


def _initial(state: StateVariable) -> z3.ExprRef:
    return state.symbol if state.initial is None else state.initial


def _made_of(term: z3.ExprRef, symbol: z3.ExprRef) -> bool:
    """Whether the term reads this symbol and no other."""
    read = symbols([term])
    return bool(read) and all(each.eq(symbol) for each in read)


def _counter(state: StateVariable, interval: Interval, budget: Budget) -> _Counter | None:
    """The state as a counter that comes round, if it is one."""
    least, greatest = interval.least, interval.greatest
    if not isinstance(least, int) or not isinstance(greatest, int):
        return None
    step = min((step for _, step in additions(state)), key=lambda each: (abs(each), each))
    if not 0 < abs(step) <= greatest - least:
        return None
    found = None
    for node in walk([state.update]):
        if z3.is_int(node) and _is_choice(node) and _made_of(node, state.symbol):
            tried = _Counter(state, least, greatest, step, node)
            solver = z3.SimpleSolver(ctx=node.ctx)
            solver.add(*tried.within(tried.symbol), node != tried.round(tried.symbol + step))
            if asked_once(solver, budget, _QUERY) == z3.unsat:
                found = tried
    return found


def _is_choice(node: z3.ExprRef) -> bool:
    return z3.is_app(node) and node.decl().kind() == z3.Z3_OP_ITE


class _Clocking:
    """One counter with its copies taken out of a system.

    The counter is put at one place: that from which a step leads to the end of its range.
    """

    def __init__(
        self,
        system: TransitionSystem,
        bad: z3.BoolRef,
        counter: _Counter,
        copies: Sequence[StateVariable],
        found: Mapping[str, Interval],
    ) -> None:
        self._system = system
        self._bad = bad
        self._counter = counter
        self._copies = tuple(_Copy(counter, state) for state in copies)
        self._found = found
        self._context = bad.ctx
        self._far = abs(counter.step)
        end = counter.greatest if counter.step > 0 else counter.least
        self._end = z3.IntVal(end, self._context)
        self._place = z3.IntVal(end - counter.step, self._context)

    def clocked(self, budget: Budget) -> Clocked | None:
        counter, system = self._counter, self._system
        clocks = [self._clock(copy) for copy in self._copies]
        made = [clock for clock in clocks if clock is not None]
        if len(made) < len(clocks):
            return None
        known = {name(clock.symbol): Interval(0, counter.size - 1) for clock in made}
        kept = {own: each for own, each in self._found.items() if own not in self._gone}
        rewriting = Rewriting(system, {**kept, **known})
        put = Substitution(self._placed(), self._context)
        often = Substitution(
            [(self._further(each), each.clock + self._far * system.scans) for each in self._copies],
            self._context,
        )

        def plain(term: Sorted) -> Sorted:
            return often(rewriting(put(term)))

        states = [
            replace(each, update=plain(each.update))
            for each in system.states
            if name(each.symbol) not in self._gone
        ]
        clocked = replace(
            system,
            states=(*states, *(replace(each, update=plain(each.update)) for each in made)),
            constraints=tuple(plain(each) for each in system.constraints),
            signals={},
            findings=(),
        )
        bad = plain(self._bad)
        if not self._same(clocked, bad, budget):
            return None
        support = ranges(system, self._found)
        own = [
            clause for copy in self._copies for clause in counter.within(integer(copy.state.symbol))
        ]
        return Clocked(clocked, bad, self._copies, (*support, *own))

    @cached_property
    def _gone(self) -> set[str]:
        return {name(self._counter.state.symbol), *(name(c.state.symbol) for c in self._copies)}

    def _placed(self) -> list[tuple[z3.ExprRef, z3.ExprRef]]:
        """The counter at its place, and what each copy is then."""
        size, step = self._counter.size, self._counter.step
        pairs: list[tuple[z3.ExprRef, z3.ExprRef]] = [(self._counter.state.symbol, self._place)]
        for copy in self._copies:
            older = self._further(copy)
            gone = z3.If(older < size, older, older - size)
            kept = self._end - gone if step > 0 else self._end + gone
            pairs.append((copy.state.symbol, kept))
        return pairs

    # --- a clock in place of a copy -----------------------------------------------------------

    def _clock(self, copy: _Copy) -> StateVariable | None:
        counter = self._counter
        first, kept = counter.state.initial, copy.state.initial
        assert first is not None
        assert kept is not None
        begun = self._apart(first, kept, copy)
        update = self._apart(counter.state.update, copy.state.update, copy)
        if begun is None or update is None or literal_value(begun) is None:
            return None
        own = name(copy.clock)
        return StateVariable(own, copy.clock, begun, update, StateKind.WRAPPING_CLOCK)

    def _apart(self, now: z3.ExprRef, kept: z3.ExprRef, copy: _Copy) -> z3.ArithRef | None:
        """How far the counter has gone on where it is ``now`` and this is kept; None where that
        does not show."""
        counter = self._counter
        if now.eq(kept):
            return self._number(0)
        one, other = literal_value(now), literal_value(kept)
        if one is not None and other is not None:
            least, greatest = counter.least, counter.greatest
            inside = least <= int(one) <= greatest and least <= int(other) <= greatest
            apart = (int(one) - int(other)) * (1 if counter.step > 0 else -1)
            return self._number(apart % counter.size) if inside else None
        goes_on, stays = now.eq(counter.advanced), now.eq(counter.state.symbol)
        if kept.eq(copy.state.symbol) and (goes_on or stays):
            return self._older(copy) if goes_on else copy.clock
        if kept.eq(counter.state.symbol) and goes_on:
            return self._number(self._far)
        return self._chosen(now, kept, copy)

    def _chosen(self, now: z3.ExprRef, kept: z3.ExprRef, copy: _Copy) -> z3.ArithRef | None:
        """The same by the choices that the one or the other is."""
        split = kept if _is_choice(kept) and not kept.eq(self._counter.advanced) else now
        if not _is_choice(split) or split.eq(self._counter.advanced):
            return None
        condition = boolean(operands(split)[0])
        both = [
            self._apart(_where(now, condition, holds), _where(kept, condition, holds), copy)
            for holds in (True, False)
        ]
        if both[0] is None or both[1] is None:
            return None
        return z3.If(condition, both[0], both[1])

    def _further(self, copy: _Copy) -> z3.ArithRef:
        """The clock one scan later, before it comes round."""
        return copy.clock + self._far

    def _older(self, copy: _Copy) -> z3.ArithRef:
        older, size = self._further(copy), self._counter.size
        round_again = z3.If(self._system.scans == 1, older - size, self._number(_BEYOND))
        return z3.If(older < size, older, round_again)

    def _number(self, value: int) -> z3.ArithRef:
        return z3.IntVal(value, self._context)

    # --- whether that is the same -------------------------------------------------------------

    def _same(self, clocked: TransitionSystem, bad: z3.BoolRef, budget: Budget) -> bool:
        """Whether a scan of the system does what one with clocks does, wherever the counter is."""
        counter, system = self._counter, self._system
        solver = z3.SimpleSolver(ctx=self._context)
        solver.add(system.scans == 1, *system.ranges, *counter.within(counter.symbol))
        solver.add(*ranges(system, {o: i for o, i in self._found.items() if o not in self._gone}))
        pairs = []
        for copy in self._copies:
            solver.add(copy.clock >= 0, copy.clock < counter.size)
            pairs.append((copy.state.symbol, copy.kept(counter.symbol, copy.clock)))
        really = Substitution(pairs, self._context)
        updates = {name(state.symbol): state.update for state in clocked.states}
        differing = [really(self._bad) != bad]
        for state in system.states:
            if name(state.symbol) in updates:
                differing.append(really(state.update) != updates[name(state.symbol)])
        for one, other in zip(system.constraints, clocked.constraints, strict=True):
            differing.append(really(one) != other)
        now = integer(really(counter.state.update))
        for copy in self._copies:
            later = integer(updates[name(copy.clock)])
            inside = z3.And(later >= 0, later < counter.size)
            kept = integer(really(copy.state.update))
            differing += [z3.Not(inside), copy.kept(now, later) != kept]
        solver.add(z3.Or(differing))
        return asked_once(solver, budget, _QUERY) == z3.unsat


def _where(term: z3.ExprRef, condition: z3.BoolRef, holds: bool) -> z3.ExprRef:
    """The term, or what it chooses where it asks just this."""
    while _is_choice(term) and operands(term)[0].eq(condition):
        term = operands(term)[1 if holds else 2]
    return term
