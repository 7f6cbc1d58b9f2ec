"""Plain bounded search: single scans, one depth after the other."""

from __future__ import annotations

import z3

from twohand.engine.system.budget import Budget, Engine, Exhausted
from twohand.engine.system.contract import Unknown
from twohand.engine.system.runs import Simulator
from twohand.engine.system.terms import symbols
from twohand.engine.system.unrolling import Unrolling, expanded
from twohand.program.durations import Scans
from twohand.scan.transition_system import TransitionSystem

METHOD = "bounded search"


def search_scans(
    system: TransitionSystem, bad: z3.BoolRef, budget: Budget, most: int | None = None
) -> Engine:
    """Violated, or Unknown with the number of scans searched completely (at most ``most``)."""
    unrolling = Unrolling(system, bad, budget, solver=scan_solver(system))
    simulator = Simulator(system, bad)
    scans = 0
    try:
        while most is None or scans < most:
            unrolling.extend()
            if (yield from unrolling.ask()) == z3.sat:
                run = simulator.confirmed(expanded(*unrolling.candidate(), METHOD))
                if run is None:
                    raise Exhausted("a run found by bounded search does not replay")
                return run
            scans += 1
            yield
    except Exhausted as reason:
        return Unknown(str(reason), scans=Scans(scans))
    return Unknown("the bound was reached", scans=Scans(scans))


def scan_solver(system: TransitionSystem) -> z3.Solver:
    """A bit-vector solver where nothing is an integer once the period is fixed."""
    context = system.elapsed.ctx
    timing = {system.elapsed.get_id(), system.scans.get_id()}
    terms = [*(s.update for s in system.states), *(s.symbol for s in system.states)]
    whole = any(
        z3.is_int(symbol) and symbol.get_id() not in timing
        for symbol in symbols([*terms, *system.constraints, *system.inputs])
    )
    if whole or system.shortest != system.longest:
        return z3.SimpleSolver(ctx=context)
    return z3.SolverFor("QF_BV", ctx=context)
