"""How much work a question may take; interleaved engines share it.

Work is counted and never timed, so that the same question comes to the same answer on every machine
and under any load. Its unit is the *effort*: about what one second of an ordinary machine does.
"""

from __future__ import annotations

from collections.abc import Generator, Sequence
from math import inf
from typing import TypeAlias

import z3

from twohand.engine.system.contract import Answer
from twohand.engine.workers.process import CUT_BY_TIME

Engine: TypeAlias = Generator[None, None, Answer]
"""An engine yields between queries and returns its answer."""
Asking: TypeAlias = Generator[None, None, z3.CheckSatResult]

EFFORT_IS_SPENT = "the limit of effort was reached"
UNITS = 4_000_000
"""The solver's own resource units in one effort: it does four to nine million a second on the
queries that scans of logic make (measured on the gallery)."""
QUERY = 0.0003
"""The effort of asking anything at all, whatever the solver has to do for it."""
SCAN = 0.00003
"""The effort of running one scan concretely."""
_LEAST_SHARE = 0.1
_MOST_UNITS = 2**32 - 1
_LEAST_GUARD, _GUARD = 5.0, 40.0
"""Seconds that any query may take, and seconds for each effort that it may take: some arithmetic is
hardly counted by the solver. A query that the guard ends is no answer, whatever else there is."""
_PASSING = ("timeout", "canceled", "max. resource limit exceeded")


class Exhausted(Exception):  # noqa: N818 - an outcome, not an error
    """The engine has to give up; the message is a plain sentence without a full stop."""


class Budget:
    """The effort that is left, and how much a single query may take before its engine has to yield.

    What a ``part`` of a budget spends is spent of the whole one too.
    """

    def __init__(self, effort: float, whole: Budget | None = None) -> None:
        self.remaining = effort
        self.query_effort = 0.25
        self._whole = whole

    def part(self, effort: float) -> Budget:
        """A budget of its own for one of several questions."""
        return Budget(effort, self)

    def share(self, divisor: int, most: float = inf) -> Budget:
        """Such a part of what is left, but never next to nothing."""
        return self.part(min(most, max(_LEAST_SHARE, self.remaining / divisor)))

    @property
    def over(self) -> bool:
        return self.remaining <= 0

    def spend(self, effort: float) -> None:
        self.remaining -= effort
        if self._whole is not None:
            self._whole.spend(effort)

    def units(self) -> int:
        """What the next query may take, as the solver counts it."""
        return units(min(self.query_effort, self.remaining))


def budget_of(effort: Budget | float) -> Budget:
    """A budget of so much effort; one that is there already as it is."""
    return effort if isinstance(effort, Budget) else Budget(effort)


def units(effort: float) -> int:
    """An effort as the solver counts it."""
    return max(1, min(_MOST_UNITS, int(UNITS * effort)))


class Meter:
    """Counts the work of every solver of a context: its own limits are exceeded by some."""

    def __init__(self, context: z3.Context) -> None:
        self._context = context
        self._any = z3.SimpleSolver(ctx=context)
        self._seen = self._count()

    def effort(self) -> float:
        """Of what was done since it was asked last."""
        before, self._seen = self._seen, self._count()
        return (self._seen - before) / UNITS

    def _count(self) -> float:
        reference = self._context.ref()
        statistics = z3.Z3_solver_get_statistics(reference, self._any.solver)
        z3.Z3_stats_inc_ref(reference, statistics)
        try:
            for place in range(z3.Z3_stats_size(reference, statistics)):
                if z3.Z3_stats_get_key(reference, statistics, place) == "rlimit count":
                    if z3.Z3_stats_is_uint(reference, statistics, place):
                        return int(z3.Z3_stats_get_uint_value(reference, statistics, place))
                    return float(z3.Z3_stats_get_double_value(reference, statistics, place))
        finally:
            z3.Z3_stats_dec_ref(reference, statistics)
        raise AssertionError("the solver does not count its work")


def _limit(solver: z3.Solver, most: int) -> None:
    """At most so many units for each query, and the guard's time."""
    solver.set("rlimit", most)
    solver.set("timeout", int(1000 * max(_LEAST_GUARD, min(_GUARD * most / UNITS, 1e6))))


def asked_once(
    solver: z3.Solver, budget: Budget, most: float, *assumptions: z3.BoolRef
) -> z3.CheckSatResult:
    """The answer to one query, unknown where it takes more than ``most`` or than what is left."""
    if budget.over:
        return z3.unknown
    meter = Meter(solver.ctx)
    _limit(solver, units(min(most, budget.remaining)))
    answer = solver.check(*assumptions)
    budget.spend(QUERY + meter.effort())
    return answer


class Asker:
    """A solver whose queries keep to a budget.

    A query that runs into the limit of one slice yields, and is asked again with whatever limit
    the next slice allows.
    """

    def __init__(self, solver: z3.Solver, budget: Budget) -> None:
        self.solver = solver
        self._budget = budget
        self._meter = Meter(solver.ctx)
        self._limit = 0

    def ask(self, assumptions: Sequence[z3.BoolRef]) -> Asking:
        """sat or unsat; raises Exhausted where there is no answer to be had."""
        while True:
            if self._budget.over:
                raise Exhausted(EFFORT_IS_SPENT)
            limit = self._budget.units()
            if not limit <= self._limit <= 2 * limit:
                self._limit = limit
                _limit(self.solver, limit)
            self._meter.effort()
            answer = self._check(assumptions)
            spent = self._meter.effort()
            self._budget.spend(QUERY + spent)
            if answer != z3.unknown:
                return answer
            reason = self.solver.reason_unknown()
            if "interrupt" in reason:
                raise KeyboardInterrupt
            if not any(word in reason for word in _PASSING):
                raise Exhausted(f"a query is beyond the solver's theories ({reason})")
            if units(2 * spent) < self._limit:
                raise Exhausted(CUT_BY_TIME)
            self._limit = 0
            yield

    def _check(self, assumptions: Sequence[z3.BoolRef]) -> z3.CheckSatResult:
        """``Solver.check`` without its conversions, which cost more than most of our queries."""
        handles = (z3.Ast * len(assumptions))(*[assumption.ast for assumption in assumptions])
        reference = self.solver.ctx.ref()
        answer = z3.Z3_solver_check_assumptions(
            reference, self.solver.solver, len(assumptions), handles
        )
        return z3.CheckSatResult(answer)
