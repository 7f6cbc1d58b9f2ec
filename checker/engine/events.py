"""Search by events: runs in which one step may be a long stay with the same inputs."""

from __future__ import annotations

import z3

from checker.engine.budget import Budget, Engine, Exhausted
from checker.engine.contract import Unknown
from checker.engine.exactness import guard_for
from checker.engine.path import Path, expanded
from checker.engine.runs import Simulator
from checker.scan.system import TransitionSystem

METHOD = "event search"
_MOST_SCANS = 2_000_000


def search_events(
    system: TransitionSystem, bad: z3.BoolRef, budget: Budget, most: int | None = None
) -> Engine:
    """Violated, or Unknown with the number of events searched completely."""
    search = EventSearch(system, bad, budget)
    return (yield from search.run(most))


class EventSearch:
    """One search; deepens by one event at a time."""

    def __init__(self, system: TransitionSystem, bad: z3.BoolRef, budget: Budget) -> None:
        self.system = system
        self._bad = bad
        self._budget = budget
        self._guard = guard_for(system, bad)
        self._simulator = Simulator(system, bad)

    def run(self, most: int | None) -> Engine:
        path = Path(self.system, self._bad, self._budget, self._guard)
        depth = 0
        try:
            while most is None or depth < most:
                path.extend()
                while (yield from path.ask()) == z3.sat:
                    moves, initial = path.candidate()
                    run = self._simulator.confirmed(expanded(moves, initial, METHOD))
                    if run is not None:
                        return run
                    jumps = [s.jump for s, m in zip(path.stages, moves, strict=True) if m.scans > 1]
                    path.solver.add(z3.Or([z3.Not(j) for j in jumps]))
                depth += 1
                yield
        except Exhausted as reason:
            return Unknown(str(reason))
        return Unknown("the bound was reached")
