"""Time limits that interleaved engines share."""

from __future__ import annotations

import time
from collections.abc import Callable, Generator, Sequence
from typing import TypeAlias

import z3

from twohand.engine.system.contract import Answer

Engine: TypeAlias = Generator[None, None, Answer]
"""An engine yields between queries and returns its answer."""
Asking: TypeAlias = Generator[None, None, z3.CheckSatResult]

TIME_IS_UP = "the time limit was reached"
_PASSING = ("timeout", "canceled", "max. resource limit exceeded")


class Exhausted(Exception):  # noqa: N818 - an outcome, not an error
    """The engine has to give up; the message is a plain sentence without a full stop."""


class Budget:
    """A deadline, and how long a single query may take before its engine has to yield.

    ``seconds`` is wall time from now; ``stop`` is asked between queries.
    """

    def __init__(self, seconds: float, stop: Callable[[], bool] | None = None) -> None:
        self.deadline = time.monotonic() + seconds
        self.query_seconds = 0.25
        self._stop = stop

    @property
    def remaining(self) -> float:
        return self.deadline - time.monotonic()

    @property
    def over(self) -> bool:
        return self.remaining <= 0 or (self._stop is not None and self._stop())

    def whole_milliseconds(self) -> int:
        """All the time that is left."""
        return max(1, int(1000 * self.remaining))

    def milliseconds(self) -> int:
        """What the next query may take."""
        return max(1, int(1000 * min(self.query_seconds, self.remaining)))


class Asker:
    """A solver whose queries keep to a budget.

    A query that runs into the limit of one slice yields, and is asked again with whatever limit
    the next slice allows.
    """

    def __init__(self, solver: z3.Solver, budget: Budget) -> None:
        self.solver = solver
        self._budget = budget
        self._limit = 0

    def ask(self, assumptions: Sequence[z3.BoolRef]) -> Asking:
        """sat or unsat; raises Exhausted where there is no answer to be had."""
        while True:
            if self._budget.over:
                raise Exhausted(TIME_IS_UP)
            limit = self._budget.milliseconds()
            if not limit <= self._limit <= 2 * limit:
                self._limit = limit
                self.solver.set("timeout", limit)
            answer = self._check(assumptions)
            if answer != z3.unknown:
                return answer
            reason = self.solver.reason_unknown()
            if "interrupt" in reason:
                raise KeyboardInterrupt
            if not any(word in reason for word in _PASSING):
                raise Exhausted(f"a query is beyond the solver's theories ({reason})")
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
