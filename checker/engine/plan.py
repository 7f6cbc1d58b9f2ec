"""Who tries what: the engines of one check, interleaved in one process."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable

import z3

from checker.engine.bounded import search_scans
from checker.engine.budget import TIME_IS_UP, Budget, Engine
from checker.engine.clauses import prove
from checker.engine.contract import Answer, EngineContradiction, Proved, Unknown, Violated
from checker.engine.events import search_events
from checker.engine.horn import solve_clauses
from checker.engine.slice import cone
from checker.scan.system import TransitionSystem

_FIRST_SLICE = 0.02
_LONGEST_SLICE = 2.0


def decide(
    system: TransitionSystem,
    bad: z3.BoolRef,
    budget_seconds: float,
    stop: Callable[[], bool] | None = None,
) -> Answer:
    """Can a scan of ``system`` be bad? Nearly keeps ``budget_seconds``.

    Events and proof are interleaved; where one of them gives up, plain bounded search takes its
    place. EngineContradiction where an invariant does not hold on its slice.
    """
    budget = Budget(budget_seconds, stop)
    sliced = cone(system, bad)
    events = search_events(sliced, bad, budget)
    proof = prove(sliced, bad, budget)
    return _interleaved([events, proof], search_scans(sliced, bad, budget), budget)


def decide_horn(
    system: TransitionSystem,
    bad: z3.BoolRef,
    budget_seconds: float,
    stop: Callable[[], bool] | None = None,
) -> Answer:
    """The same question to z3's CHC engine, which may overrun its time: for a process that can be
    ended. A violation that it believes in counts once a search has found the run."""
    budget = Budget(budget_seconds, stop)
    sliced = cone(system, bad)
    answer = solve_clauses(sliced, bad, budget)
    if answer is not None:
        return answer
    return _interleaved(
        [search_events(sliced, bad, budget)], search_scans(sliced, bad, budget), budget
    )


def agreed(answers: Iterable[Answer]) -> Answer | None:
    """The one answer of several engines to one question, None where there is none;
    EngineContradiction where one proves what another one violates."""
    decided = [answer for answer in answers if not isinstance(answer, Unknown)]
    proofs = [answer for answer in decided if isinstance(answer, Proved)]
    if proofs and len(proofs) < len(decided):
        run = next(answer for answer in decided if isinstance(answer, Violated))
        raise EngineContradiction(f"{proofs[0].method} proves what {run.method} violates")
    return decided[0] if decided else None


def _interleaved(engines: list[Engine], last: Engine, budget: Budget) -> Answer:
    """Engines in turns of growing length until one answers; ``last`` joins them once one of them
    has given up."""
    unknowns: list[Unknown] = []
    slice_seconds = _FIRST_SLICE
    while engines:
        for engine in list(engines):
            answer = _advanced(engine, slice_seconds, budget)
            if answer is None:
                continue
            if not isinstance(answer, Unknown):
                return answer
            engines.remove(engine)
            if not unknowns:
                engines.append(last)
            unknowns.append(answer)
        slice_seconds = min(2 * slice_seconds, _LONGEST_SLICE)
    return _unknown(unknowns)


def _unknown(unknowns: list[Unknown]) -> Unknown:
    """How far all of them looked; the reason is the first that is not the clock."""
    events = max(answer.events for answer in unknowns)
    scans = max(answer.scans for answer in unknowns)
    reasons = [answer.reason for answer in unknowns]
    own = [reason for reason in reasons if reason != TIME_IS_UP]
    return Unknown((own or reasons)[0], events, scans)


def _advanced(engine: Engine, seconds: float, budget: Budget) -> Answer | None:
    """Lets an engine work for a slice of time; its answer if it comes to one."""
    budget.query_seconds = seconds
    end = time.monotonic() + seconds
    try:
        while time.monotonic() < end:
            next(engine)
    except StopIteration as finished:
        answer: Answer = finished.value
        return answer
    return None
