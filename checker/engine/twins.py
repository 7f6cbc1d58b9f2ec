"""States that are equal in every scan, made one: for two programs side by side.

Twins are states whose names differ in a prefix only. That they are equal is a guess, which is kept
where it is inductive together with all others that are kept: all begin equal, and from equal ones
no scan makes any differ. What is left over is another, smaller system with the same runs; what is
proved of it is a proof for the whole one with the equalities beside it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

import z3

from checker.engine.budget import Budget
from checker.engine.contract import Answer, Proved
from checker.engine.slice import cone
from checker.engine.terms import Substitution
from checker.scan.system import StateVariable, TransitionSystem

Twins: TypeAlias = tuple[str, str]
"""The two prefixes."""
Pair: TypeAlias = tuple[StateVariable, StateVariable]
METHOD = "states that are equal by induction"
_MILLISECONDS = 3000
"""For one question whether guesses hold; those that are not answered in time are given up."""
_SHARE = 0.2
"""Of the time of the whole question."""


@dataclass(frozen=True)
class Merged:
    """``system`` and ``bad`` without the second of each pair."""

    system: TransitionSystem
    bad: z3.BoolRef
    pairs: tuple[Pair, ...] = ()

    def answer(self, found: Answer) -> Answer:
        """An answer for the whole system: runs are the same ones, and a proof is one together
        with the equalities."""
        if not isinstance(found, Proved) or not self.pairs:
            return found
        equal = [first.symbol == second.symbol for first, second in self.pairs]
        method = f"{found.method}, with {METHOD}" if found.clauses else METHOD
        return Proved((*found.clauses, *equal), method)


def merge(system: TransitionSystem, bad: z3.BoolRef, twins: Twins | None, budget: Budget) -> Merged:
    """The system (sliced by the caller) with its twins made one, where they are equal."""
    pairs = _begin_equal(_named(system, twins)) if twins is not None else []
    pairs = _inductive(system, pairs, budget)
    if not pairs:
        return Merged(system, bad)
    one = _substitution(system, pairs)
    gone = {second.name for _, second in pairs}
    smaller = replace(
        system,
        states=tuple(replace(s, update=one(s.update)) for s in system.states if s.name not in gone),
        constraints=tuple(one(each) for each in system.constraints),
        initial_constraints=tuple(one(each) for each in system.initial_constraints),
        signals={},
        findings=(),
    )
    goal = z3.simplify(one(bad))
    return Merged(cone(smaller, goal), goal, tuple(pairs))


def _named(system: TransitionSystem, twins: Twins) -> list[Pair]:
    """The states that may be twins: of one name, in any letter case, and one sort."""
    first, second = (prefix.casefold() for prefix in twins)
    names = {state.name.casefold(): state for state in system.states}
    found = []
    for name, state in names.items():
        other = names.get(second + name.removeprefix(first)) if name.startswith(first) else None
        if other is not None and other.symbol.sort() == state.symbol.sort():
            found.append((state, other))
    return found


def _begin_equal(pairs: Sequence[Pair]) -> list[Pair]:
    return [
        (first, second)
        for first, second in pairs
        if first.initial is not None
        and second.initial is not None
        and z3.is_true(z3.simplify(first.initial == second.initial))
    ]


def _substitution(system: TransitionSystem, pairs: Sequence[Pair]) -> Substitution:
    return Substitution([(two.symbol, one.symbol) for one, two in pairs], system.elapsed.ctx)


def _inductive(system: TransitionSystem, pairs: list[Pair], budget: Budget) -> list[Pair]:
    """The most of the pairs that no scan makes differ while all of them are equal."""
    left = budget.remaining * (1 - _SHARE)
    while pairs:
        one = _substitution(system, pairs)
        updates = [(one(a.update), one(b.update)) for a, b in pairs]
        open_ones = [n for n, (a, b) in enumerate(updates) if not a.eq(b)]
        if not open_ones:
            return pairs
        differing = [updates[n][0] != updates[n][1] for n in open_ones]
        constraint = one(system.scan_constraint)
        broken = _broken(constraint, differing, budget.remaining > left)
        if not broken:
            return pairs
        gone = {open_ones[place] for place in broken}
        pairs = [pair for n, pair in enumerate(pairs) if n not in gone]
    return pairs


def _broken(constraint: z3.BoolRef, differing: Sequence[z3.BoolRef], in_time: bool) -> list[int]:
    """Which of them can happen in a scan: some that do in one, none, or all where nobody knows."""
    everything = list(range(len(differing)))
    if not in_time:
        return everything
    solver = z3.Solver(ctx=constraint.ctx)
    solver.set("timeout", _MILLISECONDS)
    solver.add(constraint, z3.Or(list(differing)))
    answer = solver.check()
    if answer == z3.unsat:
        return []
    if answer == z3.unknown:
        return everything
    model = solver.model()
    broken = [n for n in everything if z3.is_true(model.eval(differing[n], model_completion=True))]
    return broken or everything
