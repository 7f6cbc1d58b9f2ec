"""Numbers of a system within bounds: what is needed before it can be written in bits.

A number that no scan takes out of its bounds keeps them (an invariant, by induction). One that runs
on, as the time since an event does, is held just above the largest constant that occurs: that the
system which holds it there is bad in the same scans is asked of the solver, for every state.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import z3

from twohand.engine.system.budget import Budget, asked_once
from twohand.engine.system.predicates import constants
from twohand.engine.system.terms import Substitution, literal_value, name, operands
from twohand.scan.sorts import integer
from twohand.scan.transition_system import StateVariable, TransitionSystem

_EFFORT = 10.0
"""For all questions of one system."""


class NotInBits(Exception):  # noqa: N818 - an outcome, not an error
    """Why a question has no form in bits; a plain sentence without a full stop."""


@dataclass(frozen=True)
class Bounded:
    """A system of which every number lies within ``bounds`` (by name; inputs and states); all that
    a scan reads is over states and inputs alone."""

    system: TransitionSystem
    bad: z3.BoolRef
    bounds: dict[str, tuple[int, int]]


def bounded(system: TransitionSystem, bad: z3.BoolRef) -> Bounded:
    """The system of one fixed scan time with its numbers bounded; it is bad in the same scans of
    the same inputs. NotInBits where that cannot be shown."""
    if system.shortest != system.longest:
        raise NotInBits("the scan time is not one value")
    untimed, goal = _untimed(system, bad)
    limits = _limits_of_inputs(untimed)
    return _Bounding(untimed, goal, limits).result()


def _untimed(system: TransitionSystem, bad: z3.BoolRef) -> tuple[TransitionSystem, z3.BoolRef]:
    """With the time of a scan put in."""
    context = system.elapsed.ctx
    times = [
        (system.elapsed, z3.IntVal(system.shortest, context)),
        (system.scans, z3.IntVal(1, context)),
    ]
    at = Substitution(times, context)
    states = tuple(replace(s, update=z3.simplify(at(s.update))) for s in system.states)
    constraints = tuple(at(each) for each in system.constraints)
    return replace(system, states=states, constraints=constraints), z3.simplify(at(bad))


def _limits_of_inputs(system: TransitionSystem) -> dict[str, tuple[int, int]]:
    """Of the inputs that are numbers."""
    found: dict[str, tuple[int, int]] = {}
    for symbol in system.inputs:
        if z3.is_int(symbol):
            limits = [_limit(term, symbol) for term in _conjuncts(system.ranges)]
            lows = [low for low, _ in limits if low is not None]
            highs = [high for _, high in limits if high is not None]
            if not lows or not highs:
                raise NotInBits(f"the input {name(symbol)} has no bounds")
            found[name(symbol)] = (max(lows), min(highs))
    return found


def _conjuncts(terms: Sequence[z3.BoolRef]) -> list[z3.ExprRef]:
    found: list[z3.ExprRef] = []
    stack: list[z3.ExprRef] = list(terms)
    while stack:
        term = stack.pop()
        if z3.is_and(term):
            stack.extend(operands(term))
        else:
            found.append(term)
    return found


def _limit(term: z3.ExprRef, symbol: z3.ExprRef) -> tuple[int | None, int | None]:
    """The least and the greatest value that a comparison with a literal leaves the symbol."""
    nothing = (None, None)
    kind = term.decl().kind()
    if kind not in (z3.Z3_OP_LE, z3.Z3_OP_GE) or not term.arg(0).eq(symbol):
        return nothing
    value = literal_value(term.arg(1))
    if value is None:
        return nothing
    return (None, int(value)) if kind == z3.Z3_OP_LE else (int(value), None)


class _Bounding:
    def __init__(
        self, system: TransitionSystem, bad: z3.BoolRef, limits: dict[str, tuple[int, int]]
    ) -> None:
        self._system = system
        self._bad = bad
        self._limits = limits
        self._context = system.elapsed.ctx
        self._budget = Budget(_EFFORT)
        self._numbers = [s for s in system.states if z3.is_int(s.symbol)]
        roots: list[z3.ExprRef] = [bad, *system.constraints, *system.initial_constraints]
        roots += [term for s in system.states for term in (s.update, s.initial) if term is not None]
        values = [*constants(roots), *(end for limit in limits.values() for end in limit)]
        self._most = 1 + max((abs(value) for value in values), default=1)

    def result(self) -> Bounded:
        facts = self._inductive(self._candidates())
        kept = {term.get_id() for term in facts}
        bounds, running = dict(self._limits), list[StateVariable]()
        for state in self._numbers:
            low, below, high = (t.get_id() in kept for t in self._bounds_of(state))
            if not low and not (below and high):
                raise NotInBits(f"{state.name} has no bounds")
            bounds[state.name] = (0 if low else -self._most, self._most)
            if not high:
                running.append(state)
        if not running:
            return Bounded(self._system, self._bad, bounds)
        self._show(running, facts)
        return Bounded(self._holding(running), self._bad, bounds)

    def _bounds_of(self, state: StateVariable) -> tuple[z3.BoolRef, z3.BoolRef, z3.BoolRef]:
        symbol, most = integer(state.symbol), self._most
        return symbol >= 0, symbol >= -most, symbol <= most

    def _candidates(self) -> list[z3.BoolRef]:
        return [term for state in self._numbers for term in self._bounds_of(state)]

    def _inductive(self, facts: list[z3.BoolRef]) -> list[z3.BoolRef]:
        """Those that hold at the beginning and that no scan leaves while all of them hold."""
        after = Substitution([(s.symbol, s.update) for s in self._system.states], self._context)
        facts = self._unbroken(facts, facts, self._system.initial)
        while True:
            scan = z3.And([self._system.scan_constraint, *facts])
            kept = self._unbroken(facts, [after(fact) for fact in facts], scan)
            if len(kept) == len(facts):
                return facts
            facts = kept

    def _unbroken(
        self, facts: list[z3.BoolRef], terms: list[z3.BoolRef], given: z3.BoolRef
    ) -> list[z3.BoolRef]:
        return [fact for fact, term in zip(facts, terms, strict=True) if self._valid(given, term)]

    def _valid(self, given: z3.BoolRef, term: z3.BoolRef) -> bool:
        solver = z3.SimpleSolver(ctx=self._context)
        solver.add(given, z3.Not(term))
        return asked_once(solver, self._budget, _EFFORT) == z3.unsat

    # --- numbers that run on ---------------------------------------------------------------------

    def _held(self, term: z3.ExprRef) -> z3.ArithRef:
        return z3.If(
            integer(term) > self._most, z3.IntVal(self._most, self._context), integer(term)
        )

    def _holding(self, running: list[StateVariable]) -> TransitionSystem:
        names = {state.name for state in running}
        states = tuple(
            replace(s, update=self._held(s.update)) if s.name in names else s
            for s in self._system.states
        )
        return replace(self._system, states=states)

    def _show(self, running: list[StateVariable], facts: list[z3.BoolRef]) -> None:
        """That a scan from any state, and one from the same state with its numbers held, are bad
        alike, allowed alike, and lead to states of which one is the other with its numbers held."""
        system = self._system
        held = Substitution([(s.symbol, self._held(s.symbol)) for s in running], self._context)
        names = {state.name for state in running}
        alike = [held(term) == term for term in (self._bad, *system.constraints)]
        for state in system.states:
            here, there = state.update, held(state.update)
            if state.name in names:
                here, there = self._held(here), self._held(there)
            alike.append(here == there)
        for state in running:
            if state.initial is None:
                raise NotInBits(f"{state.name} runs on from any value")
            alike.append(z3.And(integer(state.initial) >= 0, integer(state.initial) <= self._most))
        given = z3.And([system.scan_constraint, *facts])
        if not self._valid(given, z3.And(alike)):
            who = ", ".join(state.name for state in running)
            raise NotInBits(f"it is not shown that {who} can be held above all constants")
