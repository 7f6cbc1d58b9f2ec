"""Requirements as monitors: a formula becomes a term over a little state of its own.

The term gives the formula's value at the end of the scan that a step takes; it reads the state
before the scan, the step's inputs, ``elapsed`` and ``scans``. Nothing is approximated: one clock
is exact for the bounds that ``Bound`` allows (the last occurrence decides about ``[0, b]``, the
first about ``[a, inf)``).

Distances count from the first scan on: its own ``elapsed`` never enters a clock, because no clock
runs before something has been seen. A clock without meaning is 0, so that equal pasts are
equal states.

The system has runs without scans before power-up; ``with_past`` gives the one that has them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeGuard

import z3

from twohand.program import Expression, Read, Variable
from twohand.program.durations import Scans
from twohand.program.walks import nodes_below
from twohand.scan.sorts import Sorted, boolean
from twohand.scan.transition_system import TransitionSystem
from twohand.specification.logic.formula import (
    Always,
    And,
    AnyScan,
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
from twohand.specification.logic.formula_text import (
    Wording,
    bottom_up,
    children,
    expression_words,
    single,
)
from twohand.specification.logic.monitor_state import MonitorMemory, opposite
from twohand.specification.logic.power_up import Past, with_past
from twohand.text.diagnostic import wrong
from twohand.text.source_text import Span

if TYPE_CHECKING:
    from twohand.scan.symbolic.encode import EncodedProgram


@dataclass(frozen=True)
class _Assumed:
    """The constraint of runs without a past, and of those with one."""

    plain: z3.BoolRef
    with_past: z3.BoolRef
    older: bool


class Monitors:
    """Monitors beside one encoded program; equal subformulas share their state."""

    def __init__(self, encoding: EncodedProgram) -> None:
        self._encoding = encoding
        self._memory = MonitorMemory(encoding.system)
        self._assumed: list[_Assumed] = []
        self._formulas: dict[int, tuple[Formula, z3.BoolRef]] = {}
        self._older: dict[int, bool] = {}
        """Whether a formula is older than the run, by its number."""
        self._histories: dict[Variable, z3.ExprRef] = {}
        self._older_variables = set(encoding.program.older)
        """With those that say what such a variable was before."""
        self._wording = Wording()

    @property
    def system(self) -> TransitionSystem:
        """The encoding's system with the state and assumptions of all monitors so far."""
        constraints = tuple(assumed.plain for assumed in self._assumed)
        return self._memory.base.extended(tuple(self._memory.states), constraints)

    @property
    def lasting(self) -> AbstractSet[str]:
        """The names of the states that remember how long the inputs have been as they are: where a
        question hangs on none of them, the past changes nothing."""
        return self._memory.lasting

    def with_past(
        self, system: TransitionSystem, terms: Sequence[z3.ExprRef]
    ) -> tuple[TransitionSystem, list[z3.ExprRef]]:
        """``system`` (this one, perhaps with more state) and terms over it, for runs that begin
        with scans before power-up."""
        assumed = [(each.with_past, each.older) for each in self._assumed]
        past = Past(self._memory.older, self._memory.first_scan_symbol, assumed)
        return with_past(system, terms, past)

    def formula(self, formula: Formula) -> z3.BoolRef:
        """The value at the end of this scan. ValueError for a bound with two proper sides."""
        for part in bottom_up(formula, lambda f: id(f) in self._formulas):
            self._older[id(part)] = self._is_older(part)
            self._formulas[id(part)] = (part, self._term(part))
        return self._formulas[id(formula)][1]

    def assume(self, formula: Formula) -> None:
        """Every scan of every run is one in which ``formula`` holds.

        InputError where the formula depends on how long this very scan took: a run can choose its
        inputs, never its past, and an assumption about the elapsed time would stop time instead.
        """
        term = past = self.formula(formula)
        if self._memory.timed(term):
            term, past = self._memory.first_apart(term)
        if self._memory.timed(term):
            message = (
                f"the assumption {self._wording.of(formula)} depends on how long the last scan took"
            )
            way = (
                "assume something of the inputs now and in earlier scans; a bound may be"
                " inside prev(..)"
            )
            raise wrong("timed-assumption", message, _first_span(formula), way)
        self._assumed.append(_Assumed(term, past, self._older[id(formula)]))

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
            case AnyScan():
                return z3.BoolVal(True, self._memory.base.elapsed.ctx)
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
                words, older = self._wording.of(formula.operand), self._older[id(formula)]
                return self._once(self.formula(formula.operand), words, formula.bound, older)
            case Historically():
                return self._historically(formula)
            case Since():
                return self._since(formula)

    def _is_older(self, formula: Formula) -> bool:
        """Whether it is older than the run; its subformulas are known."""
        if isinstance(formula, FirstScan | AnyScan):
            return False
        if isinstance(formula, Atom):
            for history in formula.histories:
                if self._reads_older(history.expression):
                    self._older_variables.add(history.variable)
            parts = [formula.expression, *(history.expression for history in formula.histories)]
            return all(self._reads_older(part) for part in parts)
        return all(self._older[id(child)] for child in children(formula))

    def _reads_older(self, expression: Expression) -> bool:
        return all(variable in self._older_variables for variable in _variables(expression))

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
        words, older = expression_words(history.expression), self._reads_older(history.expression)
        return self._back(now, words, history.count, older)

    def _previous(self, formula: Previous) -> z3.BoolRef:
        now = self.formula(formula.operand)
        words, older = self._wording.of(formula.operand), self._older[id(formula)]
        return self._back(now, words, formula.count, older)

    # --- memory -------------------------------------------------------------------------------

    def _back(self, now: Sorted, words: str, count: Scans, older: bool) -> Sorted:
        """What ``now`` was ``count`` scans before, the first scan's value before that."""
        if count < 0:
            raise ValueError("a count of scans back is not negative")
        value = now
        for distance in range(1, count + 1):
            name = words if distance == 1 else f"{words}, {distance}"
            last = self._memory.last(value, name, older)
            value = z3.If(self._memory.first_scan(), value, last)
        return value

    def _changed(self, operand: Formula, before: bool) -> z3.BoolRef:
        """``operand`` is now what it was not in the scan before, when it was ``before``."""
        now = self.formula(operand)
        last = self._memory.last(now, self._wording.of(operand), self._older[id(operand)])
        change = (last, z3.Not(now)) if before else (z3.Not(last), now)
        return z3.And(z3.Not(self._memory.first_scan()), *change)

    def _once(
        self, operand: z3.BoolRef, words: str, bound: Bound | None, older: bool
    ) -> z3.BoolRef:
        before = self._memory.flag(operand, None, None, f"once({words})", older)
        seen = z3.Or(operand, before)
        if not _limited(bound):
            return seen
        if bound.high is None:
            name = f"since first {words}"
            age, _ = self._memory.clock(z3.Not(before), name, bound.in_scans, older=older)
        else:
            restarts = z3.Or(operand, z3.Not(before))
            stopped = self._memory.stop(operand, words, older)
            age, _ = self._memory.clock(restarts, f"since {words}", bound.in_scans, stopped, older)
        return z3.And(seen, self._within(age, bound))

    def _historically(self, formula: Historically) -> z3.BoolRef:
        term, bound = opposite(self.formula(formula.operand)), formula.bound
        words, older = self._wording.negated(formula.operand), self._older[id(formula)]
        if older or not _limited(bound) or bound.high is None:
            return z3.Not(self._once(term, words, bound, older))
        before = self._memory.flag(term, None, None, f"once({words})")
        restarts = z3.Or(term, self._memory.first_scan())
        stopped = self._memory.stop(term, words)
        age, _ = self._memory.clock(restarts, f"since {words}", bound.in_scans, stopped)
        whole = self._within(age, Bound(bound.high, None, bound.in_scans))
        return z3.If(z3.Or(term, before), z3.Not(self._within(age, bound)), whole)

    def _since(self, formula: Since) -> z3.BoolRef:
        hold, release = self.formula(formula.hold), self.formula(formula.release)
        hold_words, release_words = map(self._wording.of, (formula.hold, formula.release))
        words, bound = f"{release_words} while {single(hold_words)}", formula.bound
        older = self._older[id(formula)]
        before = self._memory.flag(release, hold, None, f"since({words})", older)
        kept = z3.And(hold, before)
        lasting = z3.Or(release, kept)
        if not _limited(bound):
            return lasting
        if bound.high is None:
            stopped = self._memory.stop(opposite(hold), self._wording.negated(formula.hold), older)
            age, _ = self._memory.clock(
                z3.Not(kept), f"since first {words}", bound.in_scans, stopped, older
            )
        else:
            stopped = self._memory.stop(release, release_words, older)
            age, _ = self._memory.clock(
                z3.Or(release, z3.Not(kept)), f"since {words}", bound.in_scans, stopped, older
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
        a / tick rounded up. Where all scans are as long, clocks count them."""
        base = self._memory.base
        tick = 1 if bound.in_scans else base.tick * base.whole_scan
        if bound.high is None:
            return age >= -(-bound.low // tick)
        return age <= bound.high // tick


def _variables(expression: Expression) -> Iterable[Variable]:
    return (node.variable for node in nodes_below(expression) if isinstance(node, Read))


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
