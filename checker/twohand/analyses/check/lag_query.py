"""The widest lag of a station's presses that still starts the output, as a job.

Found with a clock for each hand's last press, then proved not to be exceeded. A start with a hand
that has no press (it was on in the first scan) counts as wider than any lag.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import z3

from twohand.analyses.measure.kept_extreme import kept_extreme, rechecked_extreme
from twohand.engine.jobs import Problem
from twohand.engine.search.jumps import maximise
from twohand.engine.system.budget import Budget
from twohand.engine.system.cone import cone
from twohand.engine.system.contract import Proved, Unknown, Violated
from twohand.engine.system.runs import Simulator
from twohand.evidence.cache.question import Plain
from twohand.evidence.proofs.query import Certified, certify, decided
from twohand.program.durations import Ticks
from twohand.scan.transition_system import TransitionSystem
from twohand.specification.logic.monitor_quantity import QuantityTerms

_MOST_WIDENINGS = 8
_FIRST_LOOK = 1.0
"""For the first search: where the lag is not limited at all, a look beyond says so soon."""


@dataclass(frozen=True)
class Measured:
    """``widest`` in ``run``; ``proof`` says that none is wider than ``bound`` (None:
    that nothing starts at all); ``wider`` is a run beyond the window, or with a hand that was
    never pressed."""

    widest: Ticks | None = None
    run: Violated | None = None
    proof: Certified | None = None
    bound: Ticks | None = None
    wider: Violated | None = None


@dataclass(frozen=True)
class MeasureLag:
    """A job. The problem's terms from ``first`` on are those of QuantityTerms; ``window``
    is the most that is looked for."""

    problem: Problem
    first: int
    window: Ticks | None
    effort: float

    def __call__(self) -> Measured:
        budget = Budget(self.effort)
        system, terms = self.problem.loaded()
        lag = QuantityTerms.taken(terms, self.first)
        found = self._looked(Measured(), system, lag, budget.part(min(_FIRST_LOOK, self.effort)))
        kept: Measured | None = None
        for _ in range(_MOST_WIDENINGS):
            answer = decided(system, _wider(lag, found.widest), budget.share(2))
            if isinstance(answer, Proved):
                return self._proved(found, answer, found.widest)
            if isinstance(answer, Violated):
                width = _width(system, lag, answer)
                if width is None or (self.window is not None and width > self.window):
                    return replace(found, wider=answer)
                found = replace(found, widest=width, run=answer)
            if kept is None:
                kept = self._within_window(system, lag, budget)
                if kept.wider is not None:
                    return replace(found, wider=kept.wider)
            if isinstance(answer, Unknown) or budget.over:
                break
            part = budget.part(self.effort / _MOST_WIDENINGS)
            found = self._looked(found, system, lag, part)
        return found if kept is None else replace(found, proof=kept.proof, bound=kept.bound)

    def kept(self, result: object) -> Plain | None:
        """A widest lag that is proved to be one; nothing else, of which wider ones may be found."""
        if not isinstance(result, Measured) or result.wider is not None:
            return None
        return kept_extreme(result.widest, result.run, result.proof, result.bound)

    def rechecked(self, kept: Plain) -> Measured:
        """What was kept, checked again; whatever it raises says that it does not hold."""
        value, run, proof = rechecked_extreme(kept, self.problem, self.first, least=False)
        ticks = None if value is None else Ticks(value)
        return Measured(ticks, run, proof, ticks)

    def _looked(
        self, found: Measured, system: TransitionSystem, lag: QuantityTerms, budget: Budget
    ) -> Measured:
        """The widest lag within the window that a search finds."""
        within = [] if self.window is None else [lag.value <= self.window]
        reached = z3.And(lag.read, *within)
        best = maximise(system, reached, lag.value, budget)
        if best is None or (found.widest is not None and best[0] <= found.widest):
            return found
        return replace(found, widest=Ticks(best[0]), run=best[1])

    def _within_window(
        self, system: TransitionSystem, lag: QuantityTerms, budget: Budget
    ) -> Measured:
        """Where the widest lag is not settled soon: whether the window is kept at least."""
        if self.window is None:
            return Measured()
        answer = decided(system, _wider(lag, self.window), budget.share(2))
        if isinstance(answer, Proved):
            return self._proved(Measured(), answer, self.window)
        return Measured(wider=answer if isinstance(answer, Violated) else None)

    def _proved(self, found: Measured, proof: Proved, bound: Ticks | None) -> Measured:
        whole, fresh = self.problem.loaded()
        bad = lag_bad(fresh, self.first, bound)
        return replace(found, proof=certify(whole, bad, proof), bound=bound)


def lag_bad(terms: Sequence[z3.ExprRef], first: int, bound: Ticks | None) -> z3.BoolRef:
    """A start with a lag above ``bound``, from the terms of a lag that begin at ``first``."""
    return _wider(QuantityTerms.taken(terms, first), bound)


def _wider(lag: QuantityTerms, ticks: Ticks | None) -> z3.BoolRef:
    """A start with a hand that has no press, or a wider lag (None: any start)."""
    return lag.beyond(ticks, least=False)


def _width(system: TransitionSystem, lag: QuantityTerms, run: Violated) -> Ticks | None:
    """The lag at the end of a run; None where a hand has no press."""
    number = z3.If(lag.without_limit, z3.IntVal(-1, lag.value.ctx), lag.value)
    bad = z3.Or(lag.read, lag.without_limit)
    width = Simulator(cone(system, bad, number), bad, number).measured(run)
    return None if width < 0 else Ticks(width)
