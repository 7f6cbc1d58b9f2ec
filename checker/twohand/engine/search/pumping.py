"""Whether a run can be prolonged at will while a quantity grows: what shows that there is no limit.

A *stay* of a run is a stretch of scans with the same inputs. It can be prolonged without end where
one more such scan leaves everything as it is, apart from clocks that all advance, whatever they
are from then on, or come round, whatever they are at all; where the rest of the run then still
takes place; and where the quantity at its end has grown by as much. Each of these is asked of the
solver, scan by scan, for every length of the stay.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import Enum

import z3

from twohand.engine.system.budget import SCAN, Budget, asked_once, budget_of
from twohand.engine.system.clocks import wrapping
from twohand.engine.system.cone import cone
from twohand.engine.system.contract import Step, Violated
from twohand.engine.system.runs import Simulator, given
from twohand.engine.system.terms import Substitution, value_term
from twohand.program.durations import ONE_SCAN, Scans, Ticks
from twohand.program.types import Value
from twohand.scan.sorts import integer
from twohand.scan.transition_system import StateKind, TransitionSystem

_MOST_STAYS = 6
_LONGEST_REST = 3000
_QUERY = 2.0
"""The effort for one query."""
_MORE_SCANS = Scans(1009)
"""For the concrete try that shows which numbers advance; a prime, so that chance agrees seldom."""


class Pace(Enum):
    STILL = "still"
    TIME = "by the time that is added"
    SCANS = "by the scans that are added"
    ANY = "whatever it is"


@dataclass(frozen=True)
class PumpedRun:
    """``run`` with its step ``position`` repeated as often as one likes: the quantity at the end
    grows by what is added, in its own measure (ticks or scans)."""

    run: Violated
    position: int

    def prolonged(self, scans: Scans, elapsed: Ticks) -> Violated:
        """The run with so many more scans of ``elapsed`` in the stay."""
        steps, place = self.run.steps, self.position + 1
        more = (replace(steps[self.position], elapsed=elapsed),) * scans
        return replace(self.run, steps=(*steps[:place], *more, *steps[place:]))


@dataclass(frozen=True)
class _Form:
    """States as numbers that advance, or not, with what is added to the stay."""

    values: tuple[Value, ...]
    paces: tuple[Pace, ...]


def pumped(
    system: TransitionSystem,
    read: z3.BoolRef,
    quantity: z3.ArithRef,
    run: Violated,
    budget: Budget | float,
) -> PumpedRun | None:
    """A stay of ``run`` that can be prolonged without end with ``quantity`` read, and ever
    greater, at the end; None where none was shown within the budget."""
    budget = budget_of(budget)
    search = _Stays(cone(system, read, quantity), read, quantity, run, budget)
    for position in search.positions():
        if budget.over:
            return None
        found = search.shown(position)
        if found is not None:
            return found
    return None


class _Stays:
    def __init__(
        self,
        system: TransitionSystem,
        read: z3.BoolRef,
        quantity: z3.ArithRef,
        run: Violated,
        budget: Budget,
    ) -> None:
        self._system = system
        self._read = read
        self._quantity = quantity
        self._run = run
        self._budget = budget
        self._simulator = Simulator(system, read, quantity)
        context = system.elapsed.ctx
        self._context = context
        self._added_time = z3.Int("#added time", context)
        self._added_scans = z3.Int("#added scans", context)
        self._solver = z3.SimpleSolver(ctx=context)
        added, scans = self._added_time, self._added_scans
        self._solver.add(scans >= 0, added >= system.shortest * scans)
        self._solver.add(added <= system.longest * scans)
        self._solver.add([clock >= 0 for clock in wrapping(self._system)])
        self._states = self._simulator.visited(run)
        budget.spend(SCAN * len(run.steps))

    def positions(self) -> list[int]:
        """The last steps of stays, the longest stay first; the run's last step is none."""
        steps = self._run.steps[:-1]
        stays: list[tuple[int, int]] = []
        start = 0
        for position in range(1, len(steps) + 1):
            if position == len(steps) or steps[position].inputs != steps[start].inputs:
                stays.append((position - start, position - 1))
                start = position
        stays.sort(reverse=True)
        return [position for _, position in stays[:_MOST_STAYS]]

    def shown(self, position: int) -> PumpedRun | None:
        """The stay that ends in this step, if it is one that can be prolonged."""
        rest = self._run.steps[position + 1 :]
        if len(rest) > _LONGEST_REST:
            return None
        step = self._run.steps[position]
        form = self._staying(self._states[position + 1], step)
        if form is None or not self._stays(form, step):
            return None
        for tried in rest[:-1]:
            following = self._following(form, tried)
            if following is None or self._budget.over:
                return None
            if not self._leads(form, tried, following):
                return None
            form = following
        return PumpedRun(self._run, position) if self._grows(form, rest[-1]) else None

    # --- concrete tries -------------------------------------------------------------------------

    def _staying(self, state: tuple[Value, ...], step: Step) -> _Form | None:
        """How the state advances in one more scan of the stay."""
        longest = self._system.longest
        _, allowed, after = self._simulator.after(state, replace(step, elapsed=longest))
        return self._form(state, after, longest, ONE_SCAN) if allowed else None

    def _following(self, form: _Form, step: Step) -> _Form | None:
        """The form after one step of the rest of the run."""
        states = [self._simulator.after(state, step)[2] for state in self._pair(form)]
        return self._form(states[0], states[1], self._much, _MORE_SCANS)

    @property
    def _much(self) -> Ticks:
        return Ticks(_MORE_SCANS * self._system.longest)

    def _pair(self, form: _Form) -> tuple[tuple[Value, ...], tuple[Value, ...]]:
        """The state with nothing added, and with much."""
        added = {Pace.TIME: self._much, Pace.SCANS: _MORE_SCANS}
        much = tuple(
            int(value) + added[pace] if pace in added else value
            for value, pace in zip(form.values, form.paces, strict=True)
        )
        return form.values, much

    def _form(
        self, state: Sequence[Value], after: Sequence[Value], added: Ticks, scans: Scans
    ) -> _Form | None:
        paces = []
        for own, before, now in zip(self._system.states, state, after, strict=True):
            comes_round = own.kind is StateKind.WRAPPING_CLOCK
            pace = Pace.ANY if comes_round else _pace(before, now, added, scans)
            if pace is None or not (pace is Pace.STILL or z3.is_int(own.symbol)):
                return None
            paces.append(pace)
        return _Form(tuple(state), tuple(paces))

    # --- what is shown for every length of the stay ----------------------------------------------

    def _terms(self, form: _Form, added: z3.ArithRef, scans: z3.ArithRef) -> Iterator[z3.ExprRef]:
        more = {Pace.TIME: added, Pace.SCANS: scans}
        for state, value, pace in zip(self._system.states, form.values, form.paces, strict=True):
            own = state.symbol if pace is Pace.ANY else value_term(value, state.symbol)
            yield integer(own) + more[pace] if pace in more else own

    def _at(self, form: _Form, step: Step, elapsed: z3.ArithRef) -> Substitution:
        """What replaces the symbols of a scan."""
        system = self._system
        states = self._terms(form, self._added_time, self._added_scans)
        pairs = [(s.symbol, term) for s, term in zip(system.states, states, strict=True)]
        for symbol in system.inputs:
            pairs.append((symbol, value_term(given(step, symbol), symbol)))
        pairs += [(system.elapsed, elapsed), (system.scans, z3.IntVal(1, self._context))]
        return Substitution(pairs, self._context)

    def _stays(self, form: _Form, step: Step) -> bool:
        """Whether a scan more, of any length, is nothing but more of what is added."""
        elapsed = z3.Int("#more", self._context)
        self._solver.push()
        self._solver.add(elapsed >= self._system.shortest, elapsed <= self._system.longest)
        after = self._terms(form, self._added_time + elapsed, self._added_scans + 1)
        shown = self._always(form, step, elapsed, list(after))
        self._solver.pop()
        return shown

    def _leads(self, form: _Form, step: Step, following: _Form) -> bool:
        """Whether the step, as it is in the run, leads from the one form to the other."""
        after = self._terms(following, self._added_time, self._added_scans)
        return self._always(form, step, z3.IntVal(step.elapsed, self._context), list(after))

    def _always(
        self, form: _Form, step: Step, elapsed: z3.ArithRef, after: Sequence[z3.ExprRef]
    ) -> bool:
        """Whether the scan is allowed and leads to ``after``, whatever is added."""
        system, at = self._system, self._at(form, step, elapsed)
        wanted = [at(term) for term in (*system.ranges, *system.constraints)]
        wanted += [
            at(state.update) == term
            for state, term in zip(system.states, after, strict=True)
            if state.kind is not StateKind.WRAPPING_CLOCK
        ]
        return self._valid(wanted)

    def _grows(self, form: _Form, step: Step) -> bool:
        """Whether the quantity, which the run's last step reads, grows by all that is added."""
        least, much = (self._simulator.quantity_in(state, step) for state in self._pair(form))
        pace = _pace(least, much, self._much, _MORE_SCANS)
        if pace not in (Pace.TIME, Pace.SCANS):
            return False
        system, at = self._system, self._at(form, step, z3.IntVal(step.elapsed, self._context))
        added = self._added_time if pace is Pace.TIME else self._added_scans
        wanted = [at(term) for term in (*system.ranges, *system.constraints)]
        wanted += [at(self._read), at(self._quantity) == least + added]
        return self._valid(wanted)

    def _valid(self, wanted: Sequence[z3.BoolRef]) -> bool:
        self._solver.push()
        self._solver.add(z3.Not(z3.And([*wanted, z3.BoolVal(True, self._context)])))
        answer = asked_once(self._solver, self._budget, _QUERY)
        self._solver.pop()
        return answer == z3.unsat


def _pace(before: Value, now: Value, added: Ticks, scans: Scans) -> Pace | None:
    """How the one value comes of the other; None where it is neither the same nor advanced."""
    if before == now:
        return Pace.STILL
    if now - before == added:
        return Pace.TIME
    return Pace.SCANS if now - before == scans else None
