"""Requirements as monitors: a formula becomes a term over a little state of its own.

The term gives the formula's value at the end of the scan that a step takes; it reads the state
before the scan, the step's inputs, ``elapsed`` and ``scans``. Nothing is approximated: one clock
is exact for the bounds that ``Bound`` allows (the last occurrence decides about ``[0, b]``, the
first about ``[a, inf)``).

Distances count from the first scan on: its own ``elapsed`` never enters a clock, because no clock
runs before something has been seen. A clock without meaning is 0, so that equal pasts are
equal states.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, TypeGuard

import z3

from twohand.program import Variable
from twohand.program.durations import Scans
from twohand.scan.sorts import Sorted, boolean
from twohand.scan.transition_system import TransitionSystem
from twohand.specification.logic.formula import (
    Always,
    And,
    Atom,
    Before,
    Bound,
    Fell,
    FirstScan,
    Formula,
    Historically,
    History,
    Iff,
    Implies,
    Not,
    Once,
    Or,
    Previous,
    Property,
    Response,
    Rose,
    Since,
    Until,
)
from twohand.specification.logic.formula_text import Wording, bottom_up, expression_words, single
from twohand.specification.logic.monitor_state import MonitorMemory, opposite
from twohand.text.diagnostic import wrong
from twohand.text.source_text import Span

if TYPE_CHECKING:
    from twohand.scan.symbolic.encode import EncodedProgram


class Monitors:
    """Monitors beside one encoded program; equal subformulas share their state."""

    def __init__(self, encoding: EncodedProgram) -> None:
        self._encoding = encoding
        self._memory = MonitorMemory(encoding.system)
        self._constraints: list[z3.BoolRef] = []
        self._formulas: dict[int, tuple[Formula, z3.BoolRef]] = {}
        self._histories: dict[Variable, z3.ExprRef] = {}
        self._wording = Wording()

    @property
    def system(self) -> TransitionSystem:
        """The encoding's system with the state and assumptions of all monitors so far."""
        return self._memory.base.extended(tuple(self._memory.states), tuple(self._constraints))

    def formula(self, formula: Formula) -> z3.BoolRef:
        """The value at the end of this scan. ValueError for a bound with two proper sides."""
        for part in bottom_up(formula, lambda f: id(f) in self._formulas):
            self._formulas[id(part)] = (part, self._term(part))
        return self._formulas[id(formula)][1]

    def assume(self, formula: Formula) -> None:
        """Every scan of every run is one in which ``formula`` holds.

        InputError where the formula depends on how long this very scan took: a run can choose its
        inputs, never its past, and an assumption about the elapsed time would stop time instead.
        """
        term = self.formula(formula)
        if self._memory.timed(term):
            term = self._memory.first_apart(term)
        if self._memory.timed(term):
            message = (
                f"the assumption {self._wording.of(formula)} depends on how long the last scan took"
            )
            way = (
                "assume something of the inputs now and in earlier scans; a bound may be"
                " inside prev(..)"
            )
            raise wrong("timed-assumption", message, _first_span(formula), way)
        self._constraints.append(term)

    def bad(self, property: Property) -> z3.BoolRef:
        """TRUE in the scan in which the property is refuted (and maybe later)."""
        match property:
            case Always():
                return z3.Not(self.formula(property.formula))
            case Response():
                return self._late(property)
            case Until():
                hold, release = self.formula(property.hold), self.formula(property.release)
                waiting, _ = self._waiting(property.trigger, property.release)
                return z3.And(
                    z3.Or(waiting, self.formula(property.trigger)), z3.Not(hold), z3.Not(release)
                )
            case Before():
                not_second = Not(property.second)
                first_alone = And((property.first, not_second))
                return self.bad(Until(property.trigger, not_second, first_alone))

    # --- terms --------------------------------------------------------------------------------

    def _term(self, formula: Formula) -> z3.BoolRef:
        """The term of a formula whose subformulas have theirs."""
        match formula:
            case Atom():
                return self._atom(formula)
            case FirstScan():
                return self._memory.first_scan()
            case Not():
                return z3.Not(self.formula(formula.operand))
            case And():
                return self._joined(z3.And, formula.operands, empty=True)
            case Or():
                return self._joined(z3.Or, formula.operands, empty=False)
            case Implies():
                return z3.Implies(self.formula(formula.left), self.formula(formula.right))
            case Iff():
                return self.formula(formula.left) == self.formula(formula.right)
            case Previous():
                return self._previous(formula)
            case Rose():
                return self._changed(formula.operand, before=False)
            case Fell():
                return self._changed(formula.operand, before=True)
            case Once():
                words = self._wording.of(formula.operand)
                return self._once(self.formula(formula.operand), words, formula.bound)
            case Historically():
                term = opposite(self.formula(formula.operand))
                words = self._wording.negated(formula.operand)
                return z3.Not(self._once(term, words, formula.bound))
            case Since():
                return self._since(formula)

    def _joined(
        self,
        join: Callable[[list[z3.BoolRef]], z3.BoolRef],
        operands: tuple[Formula, ...],
        *,
        empty: bool,
    ) -> z3.BoolRef:
        if not operands:
            return z3.BoolVal(empty, self._memory.base.elapsed.ctx)
        terms = [self.formula(operand) for operand in operands]
        return terms[0] if len(terms) == 1 else join(terms)

    def _atom(self, atom: Atom) -> z3.BoolRef:
        overlay: dict[Variable, z3.ExprRef] = {}
        for history in atom.histories:
            if history.variable not in self._histories:
                self._histories[history.variable] = self._history(history, overlay)
            overlay[history.variable] = self._histories[history.variable]
        return boolean(self._encoding.expression(atom.expression, overlay))

    def _history(self, history: History, overlay: dict[Variable, z3.ExprRef]) -> z3.ExprRef:
        now = self._encoding.expression(history.expression, overlay)
        return self._back(now, expression_words(history.expression), history.count)

    def _previous(self, formula: Previous) -> z3.BoolRef:
        now = self.formula(formula.operand)
        return self._back(now, self._wording.of(formula.operand), formula.count)

    # --- memory -------------------------------------------------------------------------------

    def _back(self, now: Sorted, words: str, count: Scans) -> Sorted:
        """What ``now`` was ``count`` scans before, the first scan's value before that."""
        if count < 0:
            raise ValueError("a count of scans back is not negative")
        value = now
        for distance in range(1, count + 1):
            last = self._memory.last(value, words if distance == 1 else f"{words}, {distance}")
            value = z3.If(self._memory.first_scan(), value, last)
        return value

    def _changed(self, operand: Formula, before: bool) -> z3.BoolRef:
        """``operand`` is now what it was not in the scan before, when it was ``before``."""
        now = self.formula(operand)
        last = self._memory.last(now, self._wording.of(operand))
        change = (last, z3.Not(now)) if before else (z3.Not(last), now)
        return z3.And(z3.Not(self._memory.first_scan()), *change)

    def _once(self, operand: z3.BoolRef, words: str, bound: Bound | None) -> z3.BoolRef:
        before = self._memory.flag(operand, None, None, f"once({words})")
        seen = z3.Or(operand, before)
        if not _limited(bound):
            return seen
        if bound.high is None:
            age, _ = self._memory.clock(z3.Not(before), f"since first {words}", bound.in_scans)
        else:
            restarts = z3.Or(operand, z3.Not(before))
            stopped = self._memory.stop(operand, words)
            age, _ = self._memory.clock(restarts, f"since {words}", bound.in_scans, stopped)
        return z3.And(seen, self._within(age, bound))

    def _since(self, formula: Since) -> z3.BoolRef:
        hold, release = self.formula(formula.hold), self.formula(formula.release)
        hold_words, release_words = map(self._wording.of, (formula.hold, formula.release))
        words, bound = f"{release_words} while {single(hold_words)}", formula.bound
        before = self._memory.flag(release, hold, None, f"since({words})")
        kept = z3.And(hold, before)
        lasting = z3.Or(release, kept)
        if not _limited(bound):
            return lasting
        if bound.high is None:
            stopped = self._memory.stop(opposite(hold), self._wording.negated(formula.hold))
            age, _ = self._memory.clock(
                z3.Not(kept), f"since first {words}", bound.in_scans, stopped
            )
        else:
            stopped = self._memory.stop(release, release_words)
            age, _ = self._memory.clock(
                z3.Or(release, z3.Not(kept)), f"since {words}", bound.in_scans, stopped
            )
        return z3.And(lasting, self._within(age, bound))

    def _waiting(self, trigger: Formula, answer: Formula) -> tuple[z3.BoolRef, str]:
        """Whether a ``trigger`` before this scan has had no ``answer`` since, and its words."""
        words = f"for {single(self._wording.of(answer))} after {single(self._wording.of(trigger))}"
        asked, answered = self.formula(trigger), self.formula(answer)
        return self._memory.flag(asked, None, answered, f"waiting({words})"), words

    def _late(self, response: Response) -> z3.BoolRef:
        """This scan lies beyond the bound of the oldest trigger that is unanswered so far."""
        bound = response.bound
        if bound.low != 0 or bound.high is None:
            raise ValueError("a response is asked for within 0 to a greatest distance")
        waiting, words = self._waiting(response.trigger, response.answer)
        restarts = z3.Or(z3.Not(waiting), self.formula(response.answer))
        # The answer of this very scan comes too late where the scan lies beyond the bound.
        _, age = self._memory.clock(restarts, f"waiting {words}", bound.in_scans)
        return z3.And(waiting, z3.Not(self._within(age, bound)))

    def _within(self, age: z3.ArithRef, bound: Bound) -> z3.BoolRef:
        """``bound`` in ticks: a whole number of ticks is at most b / tick rounded down, at least
        a / tick rounded up."""
        tick = 1 if bound.in_scans else self._memory.base.tick
        if bound.high is None:
            return age >= -(-bound.low // tick)
        return age <= bound.high // tick


def _limited(bound: Bound | None) -> TypeGuard[Bound]:
    """Whether some distance is not within the bound. ValueError where one clock is not exact."""
    if bound is None:
        return False
    if bound.low > 0 and bound.high is not None:
        raise ValueError("a bound with two proper sides needs more than one clock")
    return bound.low > 0 or bound.high is not None


def _first_span(formula: Formula) -> Span | None:
    parts = bottom_up(formula, lambda _: False)
    return next((part.expression.span for part in parts if isinstance(part, Atom)), None)
