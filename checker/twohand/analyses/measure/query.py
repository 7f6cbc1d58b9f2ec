"""The greatest (or least) value of a quantity over all runs, as a job.

Found by a search, then proved not to be exceeded. Where a run that was found can be prolonged at
will, there is no limit, and nothing more is asked.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import z3

from twohand.analyses.measure.kept_extreme import kept_extreme, rechecked_extreme
from twohand.engine.jobs import Problem
from twohand.engine.search.jumps import maximise
from twohand.engine.search.pumping import PumpedRun, pumped
from twohand.engine.system.budget import EFFORT_IS_SPENT, Budget
from twohand.engine.system.cone import cone
from twohand.engine.system.contract import Proved, Violated
from twohand.engine.system.runs import Simulator
from twohand.evidence.cache.question import Plain
from twohand.evidence.proofs.query import Certified, certify, decided
from twohand.scan.transition_system import TransitionSystem
from twohand.specification.logic.monitor_quantity import QuantityTerms

_MOST_STEPS = 12
_MOST_BOUNDS = 24
_FIRST_LOOK = 1.0
"""For the first search: what it misses, the proof finds."""
_PUMPING = 5.0
_LONG_RUN_SCANS = 32
"""A run so long may have outlasted all timers; longer ones are looked for where it has not."""
_LONGEST_RUN_SCANS = 32_768
_LONGER = 4
_SCANS_OF_EFFORT = 4096
"""So many scans may a run have for each effort that is spent: it is executed again and again before
it is shown."""


@dataclass(frozen=True)
class Extreme:
    """``value`` (ticks or scans; None: none seen) at the end of ``run``; ``proof`` says that none
    goes beyond ``bound`` (None: that the quantity is never read). ``pumped`` shows that there is
    no limit, ``without`` is a run that counts as without limit by itself. ``reason`` says what
    stopped the search where it is not settled."""

    value: int | None = None
    run: Violated | None = None
    proof: Certified | None = None
    bound: int | None = None
    pumped: PumpedRun | None = None
    without: Violated | None = None
    reason: str = ""


@dataclass(frozen=True)
class FindExtreme:
    """A job. The problem's terms from ``first`` on are those of QuantityTerms."""

    problem: Problem
    first: int
    least: bool
    in_scans: bool
    effort: float

    def __call__(self) -> Extreme:
        system, terms = self.problem.loaded()
        return _Search(self, system, QuantityTerms.taken(terms, self.first)).extreme()

    def kept(self, result: object) -> Plain | None:
        """An exact extreme; nothing else, of which further values may be found."""
        if not isinstance(result, Extreme) or result.reason:
            return None
        if result.pumped is not None or result.without is not None:
            return None
        return kept_extreme(result.value, result.run, result.proof, result.bound)

    def rechecked(self, kept: Plain) -> Extreme:
        """What was kept, checked again; whatever it raises says that it does not hold."""
        value, run, proof = rechecked_extreme(kept, self.problem, self.first, self.least)
        return Extreme(value, run, proof, value)


class _Search:
    def __init__(self, job: FindExtreme, system: TransitionSystem, terms: QuantityTerms) -> None:
        self._job = job
        self._system = system
        self._terms = terms
        self._rising = -terms.value if job.least else terms.value
        self._budget = Budget(job.effort)
        self._enough = _LONG_RUN_SCANS * (1 if job.in_scans else system.longest)
        self._longest = min(_LONGEST_RUN_SCANS, int(_SCANS_OF_EFFORT * job.effort))
        self._found = Extreme()

    def extreme(self) -> Extreme:
        """What was found with (nearly) the job's effort."""
        self._look(self._budget.part(min(_FIRST_LOOK, self._job.effort)))
        for _ in range(_MOST_STEPS):
            if self._no_limit():
                return self._found
            beyond = self._terms.beyond(self._found.value, self._job.least)
            answer = decided(self._system, beyond, self._budget.share(2))
            if isinstance(answer, Proved):
                return self._proved(answer, self._found.value)
            if isinstance(answer, Violated):
                if not self._better(answer):
                    return replace(self._found, without=answer)
            else:
                self._found = replace(self._found, reason=answer.reason)
                if self._budget.over:
                    break
            if self._budget.over:
                self._found = replace(self._found, reason=EFFORT_IS_SPENT)
                break
            self._look(self._budget.share(4))
        return self._bounded()

    def _look(self, budget: Budget) -> None:
        enough = None if self._job.least else self._enough
        found = maximise(self._system, self._terms.read, self._rising, budget, enough)
        if found is not None:
            value = -found[0] if self._job.least else found[0]
            if self._found.value is None or self._further(value):
                self._found = replace(self._found, value=value, run=found[1])

    def _further(self, value: int) -> bool:
        assert self._found.value is not None
        return value < self._found.value if self._job.least else value > self._found.value

    def _better(self, run: Violated) -> bool:
        """Takes the value at the end of the run; False where it has none but is without limit."""
        terms = self._terms
        bad = z3.Or(terms.read, terms.without_limit)
        context = terms.read.ctx
        kind = z3.If(terms.without_limit, z3.IntVal(1, context), z3.IntVal(0, context))
        system = cone(self._system, bad, terms.value)
        if Simulator(system, bad, kind).measured(run):
            return False
        value = Simulator(system, bad, terms.value).measured(run)
        self._found = replace(self._found, value=value, run=run)
        return True

    def _no_limit(self) -> bool:
        """Tries to prolong the run that was found, once it is long enough to have met every time
        that the system compares with; looks for longer ones where that shows nothing."""
        found = self._found
        while not self._job.least and found.value is not None and found.value >= self._enough:
            assert found.run is not None
            budget = self._budget.share(2, _PUMPING)
            terms = self._terms
            shown = pumped(self._system, terms.read, terms.value, found.run, budget)
            if shown is not None:
                self._found = replace(found, pumped=shown)
                return True
            if len(found.run.steps) > self._longest or self._budget.remaining <= 0.2:
                return False
            self._enough *= _LONGER
            self._look(self._budget.share(4))
            found = self._found
        return False

    def _proved(self, proof: Proved, bound: int | None) -> Extreme:
        whole, fresh = self._job.problem.loaded()
        bad = QuantityTerms.taken(fresh, self._job.first).beyond(bound, self._job.least)
        return replace(self._found, proof=certify(whole, bad, proof), bound=bound, reason="")

    def _bounded(self) -> Extreme:
        """Where the extreme is not settled: the bound nearest to what was found that can be
        proved, from far to near; on the way further values may turn up."""
        budget = Budget(max(0.0, self._budget.remaining) + self._job.effort / 2)
        bounded: tuple[Proved, int] | None = None
        for _ in range(_MOST_BOUNDS):
            tried = self._next_bound(None if bounded is None else bounded[1])
            if tried is None or budget.over:
                break
            beyond = self._terms.beyond(tried, self._job.least)
            answer = decided(self._system, beyond, budget.part(max(1.0, self._job.effort / 6)))
            if isinstance(answer, Proved):
                bounded = answer, tried
            elif isinstance(answer, Violated) and len(answer.steps) <= self._longest:
                if not self._better(answer):
                    return replace(self._found, without=answer)
            else:
                break
        if bounded is None:
            return self._found
        reason = self._found.reason
        return replace(self._proved(*bounded), reason=reason)

    def _next_bound(self, proved: int | None) -> int | None:
        """The middle of what was found and what is proved, far out where nothing is; None where
        the two have met."""
        value = self._found.value
        if value is None or value == proved:
            return None
        if proved is None:
            return value // 2 if self._job.least else 4 * value + 4
        return (value + proved + (1 if self._job.least else 0)) // 2
