"""A proof made of clauses that are known from another system: the most of them that are inductive.

They need not be right here: those that do not hold at first, or that a scan leaves, are taken out
until the rest holds together. What is left is a proof like any other, where it excludes the bad
term.
"""

from __future__ import annotations

from collections.abc import Sequence

import z3

from twohand.engine.system.budget import Budget, asked_once
from twohand.engine.system.contract import Proved
from twohand.scan.transition_system import TransitionSystem

_SHARE = 0.2
"""Of the effort of a question."""
_QUERY = 0.5
_METHOD = "the invariant of the block without the change"


def prove_with(
    system: TransitionSystem, bad: z3.BoolRef, clauses: Sequence[z3.BoolRef], budget: Budget
) -> Proved | None:
    """A proof that no scan is bad; None where these clauses make none, or nobody knows."""
    part = budget.part(budget.remaining * _SHARE)
    left = _initial(system, clauses, part)
    pairs = [(s.symbol, s.update) for s in system.states]
    after = {clause.get_id(): z3.substitute(clause, *pairs) for clause in left}
    while left:
        solver = z3.Solver(ctx=bad.ctx)
        solver.add(system.scan_constraint, *left)
        nexts = [after[clause.get_id()] for clause in left]
        solver.add(z3.Not(z3.And([*nexts, z3.BoolVal(True, bad.ctx)])))
        answer = asked_once(solver, part, _QUERY)
        if answer == z3.unsat:
            return _excluding(system, bad, left, part)
        if answer != z3.sat:
            return None
        model = solver.model()
        kept = [
            clause
            for clause, later in zip(left, nexts, strict=True)
            if z3.is_true(model.eval(later, model_completion=True))
        ]
        if len(kept) == len(left):
            return None
        left = kept
    return None


def _initial(
    system: TransitionSystem, clauses: Sequence[z3.BoolRef], budget: Budget
) -> list[z3.BoolRef]:
    """The clauses that hold at first."""
    found = []
    for clause in clauses:
        solver = z3.Solver(ctx=clause.ctx)
        solver.add(system.initial, z3.Not(clause))
        if asked_once(solver, budget, _QUERY) == z3.unsat:
            found.append(clause)
    return found


def _excluding(
    system: TransitionSystem, bad: z3.BoolRef, clauses: Sequence[z3.BoolRef], budget: Budget
) -> Proved | None:
    solver = z3.Solver(ctx=bad.ctx)
    solver.add(system.scan_constraint, *clauses, bad)
    excluded = asked_once(solver, budget, _QUERY) == z3.unsat
    return Proved(tuple(clauses), _METHOD) if excluded else None
