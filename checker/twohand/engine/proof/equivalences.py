"""States that are equal in every scan, made one: for the product of two programs.

Candidates are states whose names differ in a prefix only, or, where those have none, states that do
the same in a few random runs. That they are equal is a guess, which is kept where it is inductive
together with all others that are kept: all begin equal, and from equal ones no scan makes any
differ. What is left over is another, smaller system with the same runs; what is proved of it is a
proof for the whole one with the equalities beside it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import islice
from typing import TypeAlias

import z3

from twohand.engine.proof.signatures import signatures
from twohand.engine.system.budget import Budget, asked_once
from twohand.engine.system.cone import cone
from twohand.engine.system.contract import Answer, Proved
from twohand.engine.system.terms import Substitution, walk
from twohand.program.types import Value
from twohand.scan.transition_system import StateVariable, TransitionSystem

Prefixes: TypeAlias = tuple[str, str]
"""What the names of states that may be equal begin with, in the one program and the other."""
Pair: TypeAlias = tuple[StateVariable, StateVariable]
METHOD = "states that are equal by induction"
_EFFORT = 3.0
"""For one question whether guesses hold; those that take more are given up."""
_MOST_NODES = 30_000
"""Of the terms of a system of which it is worth while to see what its states do."""
_SHARE = 0.2
"""Of the effort of the whole question."""


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


def merge(
    system: TransitionSystem, bad: z3.BoolRef, equivalent: Prefixes | None, budget: Budget
) -> Merged:
    """The system (its cone of influence) with its equivalent states made one."""
    pairs = [] if equivalent is None else _equal(system, bad, equivalent, budget)
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


def _equal(
    system: TransitionSystem, bad: z3.BoolRef, equivalent: Prefixes, budget: Budget
) -> list[Pair]:
    """By name, in any letter case; where that leaves some over, by what they do."""
    firsts, seconds = ([s for s in system.states if _has(prefix, s)] for prefix in equivalent)
    others = {_short(equivalent[1], state): state for state in seconds}
    named = [
        (s, others[_short(equivalent[0], s)]) for s in firsts if _short(equivalent[0], s) in others
    ]
    named = [pair for pair in named if pair[0].symbol.sort() == pair[1].symbol.sort()]
    found = _inductive(system, _begin_equal(named), budget)
    if len(found) == min(len(firsts), len(seconds)) or _large(system):
        return found
    alike = _alike(signatures(system, bad), named, firsts, seconds)
    return max(found, _inductive(system, _begin_equal(alike), budget), key=len)


def _large(system: TransitionSystem) -> bool:
    """Whether running it a few hundred times takes longer than a guess is worth."""
    nodes = walk(state.update for state in system.states)
    return next(islice(nodes, _MOST_NODES, None), None) is not None


def _alike(
    done: Mapping[str, tuple[Value, ...]],
    named: Sequence[Pair],
    firsts: Sequence[StateVariable],
    seconds: Sequence[StateVariable],
) -> list[Pair]:
    """Those of one name that do the same, and of all others one with another that does."""
    pairs = [(one, two) for one, two in named if done[one.name] == done[two.name]]
    taken = {state.name for pair in pairs for state in pair}
    waiting: dict[tuple[object, ...], list[StateVariable]] = {}
    for state in seconds:
        if state.name not in taken:
            waiting.setdefault((str(state.symbol.sort()), *done[state.name]), []).append(state)
    for state in firsts:
        found = waiting.get((str(state.symbol.sort()), *done[state.name]))
        if found and state.name not in taken:
            pairs.append((state, found.pop(0)))
    return pairs


def _has(prefix: str, state: StateVariable) -> bool:
    return state.name.casefold().startswith(prefix.casefold())


def _short(prefix: str, state: StateVariable) -> str:
    return state.name.casefold().removeprefix(prefix.casefold())


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
        broken = _broken(constraint, differing, budget.part(budget.remaining - left))
        if not broken:
            return pairs
        gone = {open_ones[place] for place in broken}
        pairs = [pair for n, pair in enumerate(pairs) if n not in gone]
    return pairs


def _broken(constraint: z3.BoolRef, differing: Sequence[z3.BoolRef], budget: Budget) -> list[int]:
    """Which of them can happen in a scan: some that do in one, none, or all where nobody knows."""
    everything = list(range(len(differing)))
    solver = z3.Solver(ctx=constraint.ctx)
    solver.add(constraint, z3.Or(list(differing)))
    answer = asked_once(solver, budget, _EFFORT)
    if answer == z3.unsat:
        return []
    if answer == z3.unknown:
        return everything
    model = solver.model()
    broken = [n for n in everything if z3.is_true(model.eval(differing[n], model_completion=True))]
    return broken or everything
