"""When a jump is exact: which states it must keep, and the queries that show it.

A jump of n scans is exact if it is n single scans and nothing else. A jump of one scan is the
scan, by construction. The rest is asked of the solver, for every state in which the facts below
hold: a scan after a jump is the longer jump, wherever either of them is allowed; and a jump that
is allowed contains every shorter one, so that nothing can flare up inside it unseen.
"""

from __future__ import annotations

from collections.abc import Generator
from dataclasses import dataclass

import z3

from twohand.engine.system.budget import Asker, Budget
from twohand.engine.system.clocks import timed_states, wrapping
from twohand.engine.system.predicates import Vocabulary
from twohand.engine.system.terms import Substitution, is_symbol, name, walk
from twohand.engine.system.unrolling import Guard, goes_on
from twohand.scan.sorts import integer
from twohand.scan.transition_system import TransitionSystem


def first_guard(system: TransitionSystem) -> Guard:
    """Everything but clocks and their copies ends a jump as it began."""
    timed = timed_states(system)
    return Guard(
        tuple(s for s in system.states if name(s.symbol) not in timed), (), wrapping(system)
    )


@dataclass(frozen=True)
class _Failure:
    """``differing`` states break the composition; without any, the guard itself fails."""

    differing: frozenset[str]


Weighing = Generator[None, None, Guard | None]


def exact_guard(system: TransitionSystem, bad: z3.BoolRef, budget: Budget) -> Weighing:
    """The guard that keeps as little as possible and is exact; None where none was found.

    What fails is put back: first states whose value a longer jump gets wrong, then the sides of
    the values that clocks are compared with for equality, then of all that they are compared with.
    """
    test = _Exactness(system, budget)
    for watched in _watched_sets(system, bad):
        fixed = {name(s.symbol) for s in first_guard(system).fixed}
        while True:
            kept = tuple(s for s in system.states if name(s.symbol) in fixed)
            guard = Guard(kept, watched, wrapping(system))
            failure = yield from test.failure(guard)
            if failure is None:
                return guard
            if not failure.differing:
                break
            fixed |= failure.differing
    return None


def _watched_sets(system: TransitionSystem, bad: z3.BoolRef) -> list[tuple[z3.BoolRef, ...]]:
    roots = [bad, *system.constraints, *(state.update for state in system.states)]
    timed = timed_states(system)
    equal, every = Vocabulary(system, [0]), Vocabulary(system, [0])
    equal.add_atoms([t for t in walk(roots) if z3.is_eq(t) and z3.is_int(t.arg(0))])
    every.add_atoms(roots)
    sets: list[tuple[z3.BoolRef, ...]] = [()]
    for vocabulary in (equal, every):
        sets.append(tuple(p for p in vocabulary.predicates if _speaks_of(p, timed)))
    return [chosen for place, chosen in enumerate(sets) if chosen not in sets[:place]]


def _speaks_of(predicate: z3.BoolRef, names: set[str]) -> bool:
    return any(is_symbol(term) and name(term) in names for term in walk([predicate]))


class _Exactness:
    """The queries for one system; the guard varies."""

    def __init__(self, system: TransitionSystem, budget: Budget) -> None:
        self._system = system
        self._budget = budget
        self._context = system.elapsed.ctx
        self._states = [state.symbol for state in system.states]
        self._more = z3.Int("#more", self._context)
        scans, elapsed = system.scans, system.elapsed
        self._jumped = self._after(self._states, elapsed, scans)
        self._stepped = self._after(self._jumped, self._more, z3.IntVal(1, self._context))
        self._longer = self._after(self._states, elapsed + self._more, scans + 1)
        self._facts: list[z3.BoolRef] | None = None

    def _after(
        self, states: list[z3.ExprRef], elapsed: z3.ArithRef, scans: z3.ArithRef
    ) -> list[z3.ExprRef]:
        replaced = self._at(states, elapsed, scans)
        return [replaced(state.update) for state in self._system.states]

    def _at(
        self, states: list[z3.ExprRef], elapsed: z3.ArithRef, scans: z3.ArithRef
    ) -> Substitution:
        pairs = list(zip(self._states, states, strict=True))
        timing = [(self._system.elapsed, elapsed), (self._system.scans, scans)]
        return Substitution([*pairs, *timing], self._context)

    def _kept(self, guard: Guard, before: list[z3.ExprRef], after: list[z3.ExprRef]) -> z3.BoolRef:
        """The assumptions at the beginning, and what the guard keeps."""
        system = self._system
        first = self._at(before, system.elapsed, system.scans)
        last = self._at(after, system.elapsed, system.scans)
        terms = [*(state.symbol for state in guard.fixed), *guard.watched]
        same = [first(term) == last(term) for term in terms]
        same += [goes_on(first(clock), last(clock)) for clock in guard.growing]
        return z3.And(
            [*(first(c) for c in system.constraints), *same, z3.BoolVal(True, self._context)]
        )

    def failure(self, guard: Guard) -> Generator[None, None, _Failure | None]:
        """What keeps the guard from being exact; None: nothing."""
        system = self._system
        if self._facts is None:
            self._facts = yield from self._nonnegative()
        solver = z3.SimpleSolver(ctx=self._context)
        asker = Asker(solver, self._budget)
        scans, elapsed, more = system.scans, system.elapsed, self._more
        solver.add(*system.ranges, *self._facts, scans >= 1)
        solver.add(elapsed >= system.shortest * scans, elapsed <= system.longest * scans)
        solver.add(more >= system.shortest, more <= system.longest)
        jump = self._kept(guard, self._states, self._jumped)
        scan = self._kept(guard, self._jumped, self._stepped)
        longer = self._kept(guard, self._states, self._longer)
        solver.push()
        solver.add(jump, z3.Or(scan, longer))
        pairs = list(zip(self._stepped, self._longer, strict=True))
        solver.push()
        solver.add(z3.Or([one != other for one, other in pairs]))
        if (yield from asker.ask([])) == z3.sat:
            model = solver.model()
            return _Failure(frozenset(self._differing(model, guard)))
        solver.pop()
        solver.add(scan != longer)
        if (yield from asker.ask([])) == z3.sat:
            return _Failure(frozenset())
        solver.pop()
        solver.add(longer, z3.Not(jump))
        return _Failure(frozenset()) if (yield from asker.ask([])) == z3.sat else None

    def _differing(self, model: z3.ModelRef, guard: Guard) -> set[str]:
        fixed = {name(state.symbol) for state in guard.fixed}
        names = set()
        for state, one, other in zip(self._system.states, self._stepped, self._longer, strict=True):
            own = name(state.symbol)
            if own not in fixed and z3.is_true(model.eval(one != other, model_completion=True)):
                names.add(own)
        return names

    def _nonnegative(self) -> Generator[None, None, list[z3.BoolRef]]:
        """Which numbers are never negative, by induction over single scans."""
        system = self._system
        numbers = [
            (state.symbol, integer(state.update))
            for state in system.states
            if z3.is_int(state.symbol)
        ]
        solver = z3.SimpleSolver(ctx=self._context)
        asker = Asker(solver, self._budget)
        kept: list[tuple[z3.ArithRef, z3.ArithRef]] = []
        for number, update in numbers:
            solver.push()
            solver.add(system.initial, number < 0)
            if (yield from asker.ask([])) == z3.unsat:
                kept.append((number, update))
            solver.pop()
        solver.add(system.scan_constraint)
        while kept:
            solver.push()
            solver.add([number >= 0 for number, _ in kept])
            solver.add(z3.Or([update < 0 for _, update in kept]))
            found = yield from asker.ask([])
            if found == z3.unsat:
                break
            model = solver.model()
            kept = [
                (number, update)
                for number, update in kept
                if not z3.is_true(model.eval(update < 0, model_completion=True))
            ]
            solver.pop()
        return [number >= 0 for number, _ in kept]
