"""From clauses to an answer: the needed ones are kept, and all of them are checked afresh."""

from __future__ import annotations

from collections.abc import Sequence

import z3

from twohand.engine.system.contract import Answer, EngineContradiction, Proved, Unknown
from twohand.engine.system.terms import Substitution
from twohand.scan.transition_system import TransitionSystem


def needed(
    system: TransitionSystem,
    bad: z3.BoolRef,
    clauses: Sequence[z3.BoolRef],
    milliseconds: int = 60_000,
) -> list[z3.BoolRef]:
    """A subset of an inductive invariant that still is one and still excludes ``bad``; all of it
    where a query takes too long."""
    context = system.elapsed.ctx
    solver = z3.SimpleSolver(ctx=context)
    after = Substitution([(s.symbol, s.update) for s in system.states], context)
    labels = [z3.Bool(f"#proof.needed.{i}", context) for i in range(len(clauses))]
    places = {label.get_id(): i for i, label in enumerate(labels)}
    solver.set("timeout", milliseconds)
    solver.add(system.scan_constraint)
    solver.add([z3.Implies(lab, clause) for lab, clause in zip(labels, clauses, strict=True)])
    kept: set[int] = set()
    waiting: list[z3.BoolRef] = [bad]
    while waiting:
        solver.push()
        solver.add(waiting.pop())
        answer = solver.check(*[labels[i] for i in sorted(kept)])
        if answer != z3.unsat:
            answer = solver.check(*labels)
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
    milliseconds: int = 60_000,
) -> tuple[str, bool] | None:
    """What is wrong with an invariant, asked of a fresh solver, and whether that is certain (else
    the solver gave no answer); None: nothing is."""
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
        solver.set("timeout", milliseconds)
        solver.add(assertions)
        answer = solver.check()
        if answer != z3.unsat:
            return message, answer == z3.sat
    return None


def established(
    system: TransitionSystem,
    bad: z3.BoolRef,
    clauses: Sequence[z3.BoolRef],
    method: str,
    milliseconds: int = 60_000,
) -> Answer:
    """Proved with a rechecked invariant; EngineContradiction where it does not hold. Each query
    may take ``milliseconds``."""
    kept = needed(system, bad, clauses, milliseconds)
    problem = first_failed_obligation(system, bad, kept, milliseconds)
    if problem is None:
        return Proved(tuple(kept), method)
    message, certain = problem
    if certain:
        raise EngineContradiction(f"the {method} found an invariant, but {message}")
    return Unknown(f"the {method} found an invariant, but it is not decided whether {message}")
