"""Search by events: runs in which one step may be a long stay with the same inputs.

What is found is expanded to single scans and run concretely; only what runs to a bad scan is
answered. That the jump is exact (``engine.search.jump_exactness``) is shown only once the search
has gone on for a while: a violation is usually found before.
"""

from __future__ import annotations

from collections.abc import Callable, Generator
from dataclasses import replace
from typing import TypeAlias

import z3

from twohand.engine.search.bounded import scan_solver
from twohand.engine.search.counting import counting
from twohand.engine.search.jump_exactness import exact_guard, first_guard
from twohand.engine.system.budget import SCAN, Budget, Engine, Exhausted, budget_of
from twohand.engine.system.cone import cone
from twohand.engine.system.contract import Unknown, Violated
from twohand.engine.system.runs import Simulator
from twohand.engine.system.unrolling import Move, Unrolling, expanded
from twohand.program.durations import Scans, Ticks
from twohand.program.types import Value
from twohand.scan.transition_system import TransitionSystem

METHOD = "event search"
_MOST_SCANS = 1_000_000
_DEPTH_TO_WEIGH = 6
_TIDYING_QUERIES = 12

Finding: TypeAlias = Generator[None, None, Violated | None]


def search_events(
    system: TransitionSystem, bad: z3.BoolRef, budget: Budget, most: int | None = None
) -> Engine:
    """Violated, or Unknown with the number of events searched completely (at most ``most``)."""
    return (yield from EventSearch(system, bad, budget).run(most))


class EventSearch:
    """One search; deepens by one event at a time.

    Without clocks a jump would change nothing: every event is a scan. With ``whole`` a run that is
    found is kept to its end, else it ends at its first bad scan.
    """

    def __init__(
        self, system: TransitionSystem, bad: z3.BoolRef, budget: Budget, whole: bool = False
    ) -> None:
        self._system = counting(system)
        self._bad = bad
        self._budget = budget
        self._whole = whole
        guard = first_guard(self._system)
        timeless = len(guard.fixed) == len(system.states)
        self._guard = None if timeless else guard
        self._simulator = Simulator(system, bad)
        self._weighed = self._guarded = timeless
        self._complete = True
        """Whether every run that the unrolling allows was looked at."""
        self.accepted: Callable[[Violated], bool] = lambda _: True
        """Whether a run that was confirmed is one that is looked for."""
        self.unrolling = self._fresh_unrolling()

    def _fresh_unrolling(self) -> Unrolling:
        if self._guard is None:
            solver = scan_solver(self._system)
            return Unrolling(self._system, self._bad, self._budget, solver=solver)
        return Unrolling(self._system, self._bad, self._budget, self._guard)

    @property
    def depth(self) -> int:
        return len(self.unrolling.stages)

    def run(self, most: int | None = None) -> Engine:
        """Deepens until a bad scan is found, the effort is spent, or ``most`` events are done."""
        started = self._budget.remaining
        searched = 0
        reason = "the bound was reached"
        run = None
        try:
            while run is None and (most is None or searched < most):
                if not self._weighed and searched == _DEPTH_TO_WEIGH:
                    run = yield from self._weigh()
                if run is None:
                    run = yield from self._deeper()
                    searched = self.depth
            if run is None and not self._weighed:
                run = yield from self._weigh()
        except Exhausted as exhausted:
            reason = str(exhausted)
        if run is not None:
            return (yield from self._tidied(run, started - self._budget.remaining))
        exact = self._guarded and self._complete
        return Unknown(reason, events=searched if exact else 0, scans=Scans(searched))

    def _deeper(self) -> Finding:
        self.unrolling.extend()
        run = yield from self.found()
        yield
        return run

    def _weigh(self) -> Finding:
        """Settles whether the jump is exact; searches again where it has to keep more, for what was
        not looked at under the first guess may be a run under the guard that is exact."""
        self._weighed = True
        guard = yield from exact_guard(self._system, self._bad, self._budget)
        self._guarded = guard is not None
        run = None
        if guard is not None and guard != self._guard:
            self._guard, self._complete = guard, True
            depth = self.depth
            self.unrolling = self._fresh_unrolling()
            while run is None and self.depth < depth:
                run = yield from self._deeper()
        return run

    def found(self, *assumptions: z3.BoolRef) -> Finding:
        """A confirmed run whose last step is the last of the unrolling, or None."""
        while (yield from self.unrolling.ask(*assumptions)) == z3.sat:
            moves, initial = self.unrolling.candidate()
            run = self._confirmed(moves, initial)
            if run is not None:
                return run
            stages = zip(self.unrolling.stages, moves, strict=True)
            jumps = [stage.jump for stage, move in stages if move.scans > 1]
            if not jumps:
                raise Exhausted("a run that was found does not replay")
            self._complete = False
            self.unrolling.solver.add(z3.Or([z3.Not(jump) for jump in jumps]))
        return None

    def _confirmed(self, moves: list[Move], initial: dict[str, Value]) -> Violated | None:
        """The moves as a run, each jump with as few scans as its time allows; else as found."""
        longest = self._system.longest
        fewer = [replace(m, scans=Scans(max(1, -(-m.elapsed // longest)))) for m in moves]
        for variant in (fewer, moves):
            if sum(move.scans for move in variant) > _MOST_SCANS:
                continue
            candidate = expanded(variant, initial, METHOD)
            self._budget.spend(SCAN * len(candidate.steps))
            run = self._simulator.confirmed(candidate, self._whole)
            if run is not None and self.accepted(run):
                return run
        return None

    def _tidied(self, run: Violated, effort: float) -> Engine:
        """A run of the same number of events that takes less time, for its reader's sake; for about
        as much effort as it took to find one."""
        left = self._budget.remaining - effort - 0.01
        context = self._system.elapsed.ctx
        total = z3.Sum([stage.elapsed for stage in self.unrolling.stages])
        low, best = self.depth * self._system.shortest, _duration(run)
        for attempt in range(_TIDYING_QUERIES):
            if low >= best or self._budget.remaining < left:
                break
            middle = (low + best) // 2
            label = z3.Bool(f"#shorter@{self.depth}.{attempt}", context)
            self.unrolling.solver.add(z3.Implies(label, total <= middle))
            try:
                shorter = yield from self.found(label)
            except Exhausted:
                break
            if shorter is None:
                low = middle + 1
            elif _duration(shorter) < best:
                run, best = shorter, _duration(shorter)
            else:
                break
        return run


def _duration(run: Violated) -> Ticks:
    return Ticks(sum(step.elapsed for step in run.steps))


# -- the greatest value ---------------------------------------------------------------------------

_DEPTHS_WITHOUT_GAIN = 3
_LONGEST_MEASURED = 20_000
_SLACK_SCANS = 8


def maximise(
    system: TransitionSystem,
    condition: z3.BoolRef,
    quantity: z3.ArithRef,
    budget: Budget | float,
    enough: int | None = None,
) -> tuple[int, Violated] | None:
    """The greatest value of ``quantity`` in a reachable scan with ``condition``, and the run.

    None where no such scan was found. The value is a lower bound: events beyond the depths looked
    at may allow more, and a quantity without bound is followed for 20 000 scans only, or until it
    is ``enough``.
    """
    budget = budget_of(budget)
    longest = max(1.0, budget.remaining / 4)
    reduced = cone(system, condition, quantity)
    measure = _Measure(reduced, condition, quantity, budget, enough)
    for _ in measure.run():
        budget.query_effort = longest
    return measure.best


class _Measure:
    """The search for one greatest value."""

    def __init__(
        self,
        system: TransitionSystem,
        condition: z3.BoolRef,
        quantity: z3.ArithRef,
        budget: Budget,
        enough: int | None,
    ) -> None:
        self._system = system
        self._quantity = quantity
        self._enough = enough
        self._search = EventSearch(system, condition, budget, whole=True)
        self._value = Simulator(system, condition, quantity)
        self.best: tuple[int, Violated] | None = None

    def run(self) -> Generator[None, None, None]:
        idle = 0
        try:
            while self.best is None or idle < _DEPTHS_WITHOUT_GAIN:
                self._search.unrolling.extend()
                gained = yield from self._climb()
                idle = 0 if gained else idle + 1
                if self._satisfied:
                    return
                yield
        except Exhausted:
            return

    @property
    def _satisfied(self) -> bool:
        """Whether nothing greater is looked for."""
        if self.best is None:
            return False
        value, run = self.best
        return len(run.steps) > _LONGEST_MEASURED or (
            self._enough is not None and value >= self._enough
        )

    def _climb(self) -> Generator[None, None, bool]:
        """The greatest value at the present depth: doubles the stride while it finds, then
        halves it; whether it is more than before."""
        gained = False
        stride = 1
        rising = True
        while stride:
            run = yield from self._reaching(stride)
            if run is not None:
                self.best = (self._value.measured(run), run)
                gained = True
                if self._satisfied:
                    return True
                stride = stride * 2 if rising else stride
            elif stride == 1:
                return gained
            else:
                rising = False
                stride //= 2
            yield
        return gained

    def _reaching(self, stride: int) -> Finding:
        """A run whose value is at least ``stride`` more than the best; where enough is said, first
        one that is not much more than that, so that no run is longer than it has to be."""
        least = None if self.best is None else self.best[0] + stride
        if least is not None:
            self._search.accepted = lambda run: self._value.measured(run) >= least
        if self._enough is not None:
            slack = _SLACK_SCANS * self._system.longest
            wanted = self._enough if least is None else max(self._enough, least)
            run = yield from self._search.found(self._within(least, wanted + slack))
            if run is not None:
                return run
        return (yield from self._search.found(self._within(least, None)))

    def _within(self, least: int | None, most: int | None) -> z3.BoolRef:
        unrolling = self._search.unrolling
        label = z3.FreshBool("more", self._system.elapsed.ctx)
        value = unrolling.stages[-1].at(self._quantity)
        if least is not None:
            unrolling.solver.add(z3.Implies(label, value >= least))
        if most is not None:
            unrolling.solver.add(z3.Implies(label, value <= most))
        return label
