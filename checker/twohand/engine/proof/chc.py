"""z3's CHC engine: the scan relation as Horn clauses.

It needs no predicates from us, so it can decide what they cannot express; it is slower, and some
of its answers have been wrong. Its invariants are therefore checked afresh, and its word for a
violation counts only as a hint: a run has to be found by a search. It may not keep its limit, so
that it belongs into a process that can be ended.
"""

from __future__ import annotations

import z3

from twohand.engine.system.budget import Budget, Meter, units
from twohand.engine.system.contract import Answer, Proved, Unknown
from twohand.engine.system.invariant import first_failed_obligation, needed
from twohand.engine.system.terms import walk
from twohand.scan.sorts import boolean
from twohand.scan.transition_system import TransitionSystem

METHOD = "constrained Horn clauses"


def solve_clauses(system: TransitionSystem, bad: z3.BoolRef, budget: Budget) -> Answer | None:
    """Proved with a rechecked invariant, Unknown, or None where it holds a violation possible."""
    context = system.elapsed.ctx
    engine = z3.Fixedpoint(ctx=context)
    engine.set(engine="spacer", rlimit=units(budget.remaining))
    meter = Meter(context)
    reachable, failed = _relations(system, bad, engine)
    try:
        answer = engine.query(boolean(failed()))
    except z3.Z3Exception as problem:
        return Unknown(f"the Horn clause engine gave up ({problem})")
    finally:
        budget.spend(meter.effort())
    if answer == z3.sat:
        return None
    if answer != z3.unsat:
        return Unknown(f"the Horn clause engine gave up ({engine.reason_unknown()})")
    invariant = _invariant(system, engine, reachable)
    if invariant is None:
        return Unknown("the Horn clause engine gave no invariant for its proof")
    conjuncts = _conjuncts(invariant)
    if not all(z3.is_app(term) for term in walk(conjuncts)):
        return Unknown("the Horn clause engine's invariant has quantifiers")
    clauses = needed(system, bad, conjuncts, budget)
    if first_failed_obligation(system, bad, clauses, budget) is not None:
        return Unknown("the Horn clause engine's invariant does not hold when checked afresh")
    return Proved(tuple(clauses), METHOD)


def _relations(
    system: TransitionSystem, bad: z3.BoolRef, engine: z3.Fixedpoint
) -> tuple[z3.FuncDeclRef, z3.FuncDeclRef]:
    context = system.elapsed.ctx
    states = [state.symbol for state in system.states]
    sort = z3.BoolSort(context)
    reachable = z3.Function("#reachable", *(symbol.sort() for symbol in states), sort)
    failed = z3.Function("#failed", sort)
    engine.register_relation(reachable, failed)
    engine.declare_var(*states, *system.inputs, system.elapsed, system.scans)
    here = boolean(reachable(*states))
    engine.rule(here, system.initial)
    scan = system.scan_constraint
    updates = [state.update for state in system.states]
    engine.rule(boolean(reachable(*updates)), [here, scan])
    engine.rule(boolean(failed()), [here, scan, bad])
    return reachable, failed


def _invariant(
    system: TransitionSystem, engine: z3.Fixedpoint, reachable: z3.FuncDeclRef
) -> z3.BoolRef | None:
    """The interpretation that the engine gives to ``reachable``, over the state's symbols."""
    answer = engine.get_answer()
    for part in [answer] if z3.is_quantifier(answer) else answer.children():
        if not z3.is_quantifier(part) or not part.is_forall():
            continue
        body = part.body()
        if not z3.is_eq(body) or not body.arg(0).decl().eq(reachable):
            continue
        count = part.num_vars()
        by_index: dict[int, z3.ExprRef] = {}
        for state, variable in zip(system.states, body.arg(0).children(), strict=True):
            if not z3.is_var(variable):
                return None
            by_index[z3.get_var_index(variable)] = state.symbol
        if any(i not in by_index for i in range(count)):
            return None
        replacements = [by_index[i] for i in range(count)]
        return boolean(z3.substitute_vars(body.arg(1), *replacements))
    return None


def _conjuncts(invariant: z3.BoolRef) -> list[z3.BoolRef]:
    parts: list[z3.BoolRef] = []
    waiting = [invariant]
    while waiting:
        term = waiting.pop()
        if z3.is_and(term):
            waiting.extend(boolean(part) for part in reversed(term.children()))
        else:
            parts.append(term)
    return parts
