"""From clauses to an answer: the needed ones are kept, and all of them are checked afresh."""

from __future__ import annotations

from collections.abc import Sequence

import z3

from twohand.engine.system.budget import Budget, asked_once
from twohand.engine.system.contract import Answer, EngineContradiction, Proved, Unknown
from twohand.engine.system.terms import Substitution
from twohand.scan.transition_system import TransitionSystem

_EFFORT = 60.0
"""Where no budget is given."""


def needed(
    system: TransitionSystem,
    bad: z3.BoolRef,
    clauses: Sequence[z3.BoolRef],
    budget: Budget | None = None,
) -> list[z3.BoolRef]:
    """A subset of an inductive invariant that still is one and still excludes ``bad``; all of it
    where a query takes too much."""
    budget = budget or Budget(_EFFORT)
    context = system.elapsed.ctx
    solver = z3.SimpleSolver(ctx=context)
    after = Substitution([(s.symbol, s.update) for s in system.states], context)
    labels = [z3.Bool(f"#proof.needed.{i}", context) for i in range(len(clauses))]
    places = {label.get_id(): i for i, label in enumerate(labels)}
    solver.add(system.scan_constraint)
    solver.add([z3.Implies(lab, clause) for lab, clause in zip(labels, clauses, strict=True)])
    kept: set[int] = set()
    waiting: list[z3.BoolRef] = [bad]
    while waiting:
        solver.push()
        solver.add(waiting.pop())
        some = [labels[i] for i in sorted(kept)]
        answer = asked_once(solver, budget, budget.remaining, *some)
        if answer != z3.unsat:
            answer = asked_once(solver, budget, budget.remaining, *labels)
        if answer != z3.unsat:
            return list(clauses)
        core = {places[label.get_id()] for label in solver.unsat_core()}
        solver.pop()
        for place in sorted(core - kept):
            waiting.append(z3.Not(after(clauses[place])))
        kept |= core
    return [clause for i, clause in enumerate(clauses) if i in kept]


def first_failed_obligation(
    system: TransitionSystem,
    bad: z3.BoolRef,
    clauses: Sequence[z3.BoolRef],
    budget: Budget | None = None,
) -> tuple[str, bool] | None:
    """What is wrong with an invariant, asked of a fresh solver, and whether that is certain (else
    the solver gave no answer); None: nothing is. At least ``_EFFORT`` may be spent."""
    left = _EFFORT if budget is None else max(_EFFORT, budget.remaining)
    context = system.elapsed.ctx
    after = Substitution([(s.symbol, s.update) for s in system.states], context)
    invariant = z3.And([*clauses, z3.BoolVal(True, context)])
    obligations = (
        ("an initial state is outside", [system.initial, z3.Not(invariant)]),
        ("a scan leaves it", [invariant, system.scan_constraint, z3.Not(after(invariant))]),
        ("it allows a bad scan", [invariant, system.scan_constraint, bad]),
    )
    for message, assertions in obligations:
        solver = z3.SimpleSolver(ctx=context)
        solver.add(assertions)
        answer = asked_once(solver, Budget(left), left)
        if answer != z3.unsat:
            return message, answer == z3.sat
    return None


def established(
    system: TransitionSystem,
    bad: z3.BoolRef,
    clauses: Sequence[z3.BoolRef],
    method: str,
    budget: Budget | None = None,
) -> Answer:
    """Proved with a rechecked invariant; EngineContradiction where it does not hold."""
    kept = needed(system, bad, clauses, budget)
    problem = first_failed_obligation(system, bad, kept, budget)
    if problem is None:
        return Proved(tuple(kept), method)
    message, certain = problem
    if certain:
        raise EngineContradiction(f"the {method} found an invariant, but {message}")
    return Unknown(f"the {method} found an invariant, but it is not decided whether {message}")
