"""Who tries what: the engines of one check, interleaved in one process."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import count

import z3

from twohand.engine.proof.chc import solve_clauses
from twohand.engine.proof.equivalences import Prefixes, merge
from twohand.engine.proof.ic3 import prove
from twohand.engine.proof.localisation import hides, prove_part
from twohand.engine.reduction.few_values import with_flags
from twohand.engine.reduction.fixed_inputs import with_fixed_inputs
from twohand.engine.reduction.remainders import without_division
from twohand.engine.reduction.running_counters import with_clocks
from twohand.engine.search.bounded import search_scans
from twohand.engine.search.jumps import search_events
from twohand.engine.system.budget import (
    EFFORT_IS_SPENT,
    QUERY,
    Budget,
    Engine,
    asked_once,
    budget_of,
)
from twohand.engine.system.cone import cone
from twohand.engine.system.contract import Answer, Proved, Unknown
from twohand.scan.transition_system import TransitionSystem

_FIRST_QUERY = 0.2
_FIRST_TURN = 0.03
_LONGEST_TURN = 1.0
_SHARE_OF_PROOF = 4
_LEAST_STATES = 40
"""States of a cone of which a part is tried: a smaller one is proved sooner as a whole."""
_TURNS_OF_A_PART = 4
"""The turns of the proof of a part before that of the whole begins, which is dear to set up."""


def decide(
    system: TransitionSystem,
    bad: z3.BoolRef,
    budget: Budget | float,
    equivalent: Prefixes | None = None,
) -> Answer:
    """Can a scan of ``system`` be bad? Nearly keeps the budget (a number: of so much effort).

    Events and proof are interleaved; where one of them gives up, plain bounded search takes its
    place. ``equivalent`` are prefixes: states whose names differ in them alone may be equal in
    every scan. EngineContradiction where an invariant does not hold on its cone of influence.
    """
    budget = budget_of(budget)
    return _reduced(system, bad, budget, equivalent, _decided)


def _reduced(
    system: TransitionSystem,
    bad: z3.BoolRef,
    budget: Budget,
    equivalent: Prefixes | None,
    ask: Callable[[TransitionSystem, z3.BoolRef, Budget], Answer],
) -> Answer:
    """What is asked of the system made smaller, led back to it."""
    fixed = with_fixed_inputs(system, bad)
    merged = merge(cone(fixed.system, fixed.bad), fixed.bad, equivalent, budget)
    flagged = with_flags(merged.system, merged.bad)
    plain = without_division(flagged.system, flagged.bad)
    clocked = with_clocks(plain.system, plain.bad, budget)
    answer = ask(clocked.system, clocked.bad, budget)
    return fixed.answer(merged.answer(flagged.answer(plain.answer(clocked.answer(answer)))))


def _decided(reduced: TransitionSystem, bad: z3.BoolRef, budget: Budget) -> Answer:
    if _never_in_a_scan(reduced, bad, budget):
        return Proved((), "one scan's logic alone")
    runners = [_Runner(search_events(reduced, bad, budget), 1)]
    later = 0
    if len(reduced.states) >= _LEAST_STATES and hides(reduced, bad):
        part = prove_part(reduced, bad, budget)
        runners.append(_Runner(part, _SHARE_OF_PROOF, beside=True))
        later = _TURNS_OF_A_PART
    runners.append(_Runner(prove(reduced, bad, budget), _SHARE_OF_PROOF, later))
    scans = _Runner(search_scans(reduced, bad, budget), 1)
    return _interleaved(runners, scans, budget)


def _never_in_a_scan(system: TransitionSystem, bad: z3.BoolRef, budget: Budget) -> bool:
    """Whether no scan is bad from any state at all, reachable or not: the proof of most plain
    combinations, without setting up an engine."""
    solver = z3.Solver(ctx=bad.ctx)
    solver.add(system.scan_constraint, bad)
    return asked_once(solver, budget, _FIRST_QUERY) == z3.unsat


def decide_by_chc(
    system: TransitionSystem,
    bad: z3.BoolRef,
    budget: Budget | float,
    equivalent: Prefixes | None = None,
) -> Answer:
    """The same question to z3's CHC engine, for a process that can be ended. A violation that it
    believes in counts once a search has found the run."""
    budget = budget_of(budget)
    return _reduced(system, bad, budget, equivalent, _decided_by_chc)


def _decided_by_chc(reduced: TransitionSystem, bad: z3.BoolRef, budget: Budget) -> Answer:
    answer = solve_clauses(reduced, bad, budget)
    if answer is not None:
        return answer
    events = _Runner(search_events(reduced, bad, budget), 1)
    scans = _Runner(search_scans(reduced, bad, budget), 1)
    return _interleaved([events], scans, budget)


@dataclass(frozen=True)
class _Runner:
    engine: Engine
    share: float
    """How many times the effort of a turn it may spend."""
    later: int = 0
    """The turns that the others have before its first one, unless one of them gives up."""
    beside: bool = False
    """Whether nothing is known of the question where it gives up."""


def _interleaved(runners: list[_Runner], last: _Runner, budget: Budget) -> Answer:
    """Engines in turns of growing length until one answers; ``last`` joins them once one of them
    has given up."""
    unknowns: list[Unknown] = []
    turn, waits = _FIRST_TURN, True
    for number in count():
        for runner in list(runners):
            if waits and number < runner.later:
                continue
            answer = _advanced(runner.engine, turn * runner.share, budget)
            if answer is None:
                continue
            if not isinstance(answer, Unknown):
                return answer
            runners.remove(runner)
            waits = False
            if runner.beside:
                continue
            if not unknowns:
                runners.append(last)
            unknowns.append(answer)
        if not runners:
            break
        turn = min(2 * turn, _LONGEST_TURN)
    return _unknown(unknowns)


def _unknown(unknowns: list[Unknown]) -> Unknown:
    """How far all of them looked; the reason is the first that is not the effort."""
    events = max(answer.events for answer in unknowns)
    scans = max(answer.scans for answer in unknowns)
    reasons = [answer.reason for answer in unknowns]
    own = [reason for reason in reasons if reason != EFFORT_IS_SPENT]
    return Unknown((own or reasons)[0], events, scans)


def _advanced(engine: Engine, effort: float, budget: Budget) -> Answer | None:
    """Lets an engine work until so much is spent; its answer if it comes to one."""
    budget.query_effort = effort
    left = budget.remaining - effort
    try:
        while budget.remaining > left:
            next(engine)
            budget.spend(QUERY)
    except StopIteration as finished:
        answer: Answer = finished.value
        return answer
    return None
