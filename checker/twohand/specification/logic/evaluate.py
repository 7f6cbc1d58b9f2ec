"""Formulas and properties read directly on a finite run, from their definitions.

No solver and no monitor: quantifiers over positions and time stamps, simple rather than fast.

An atom has no value in a scan that a finding cut short (its values are not those of the scan's
end). Such an atom is neither TRUE nor FALSE, and the connectives follow (Kleene's three values).
``holds`` says where a formula is certainly TRUE and ``refuted_at`` where a property is certainly
refuted, so that neither claims anything that hangs on an undefined value.

Records before power-up come first. A formula that is older than the run has truths there as well;
for any other they have no meaning, and nothing looks at them.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterable, Sequence
from typing import TypeAlias

from twohand.program import Expression
from twohand.program.types import Value
from twohand.program.walks import variables_read
from twohand.scan.clocking import Clocking
from twohand.scan.concrete.execute import formula_evaluator
from twohand.scan.scan_record import ScanRecord, scans_before
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

Truth: TypeAlias = bool | None
"""None: neither, because a value that it hangs on is not defined."""


def holds(
    formula: Formula,
    records: Sequence[ScanRecord],
    clocking: Clocking,
) -> list[bool]:
    """Whether the formula is certainly TRUE, at each record; before power-up FALSE.

    The arithmetic in atoms is mathematical. ValueError where time stamps go back, FindingRaised
    where it divides by 0 or indexes what is not there (which a spec cannot ask for).
    """
    run = _Run(records, clocking)
    truths = run.truths(formula)
    return [truth is True and i in run.scans for i, truth in enumerate(truths)]


def assumed(formula: Formula, records: Sequence[ScanRecord], clocking: Clocking) -> bool:
    """Whether the formula is certainly TRUE at every position that it has. Arguments and errors are
    those of ``holds``."""
    run = _Run(records, clocking)
    truths = run.truths(formula)
    return all(truths[i] is True for i in run.positions_of(formula))


def refuted_at(
    property: Property,
    records: Sequence[ScanRecord],
    clocking: Clocking,
) -> int | None:
    """Index of the first record at which the property is certainly refuted, None for none.

    Arguments and errors are those of ``holds``; also ValueError for a response whose bound does
    not begin at 0.
    """
    run = _Run(records, clocking)
    match property:
        case Always():
            truths = run.truths(property.formula)
            return next((i for i in run.scans if truths[i] is False), None)
        case Response():
            return _first(run.unanswered(property, i) for i in run.triggers(property.trigger))
        case Until():
            return _first(
                run.released_too_late(property, i) for i in run.triggers(property.trigger)
            )
        case Before():
            not_second = Not(property.second)
            until = Until(property.trigger, not_second, And((property.first, not_second)))
            return refuted_at(until, records, clocking)


def _first(indices: Iterable[int | None]) -> int | None:
    return min((index for index in indices if index is not None), default=None)


def _not(truth: Truth) -> Truth:
    return None if truth is None else not truth


def _all(truths: Sequence[Truth]) -> Truth:
    if False in truths:
        return False
    return None if None in truths else True


def _any(truths: Sequence[Truth]) -> Truth:
    if True in truths:
        return True
    return None if None in truths else False


def _same(left: Truth, right: Truth) -> Truth:
    return None if left is None or right is None else left == right


class _Run:
    """One run, and the truths of the formulas asked about it so far."""

    def __init__(self, records: Sequence[ScanRecord], clocking: Clocking) -> None:
        self.records = records
        self.clocking = clocking
        self.positions = range(len(records))
        self.scans = self.positions[scans_before(records) :]
        """The positions of the run."""
        self.times = [record.time for record in records]
        if self.times != sorted(self.times):
            raise ValueError("the time stamps of a run do not go back")
        self._evaluator = formula_evaluator(clocking)
        self._known: dict[Formula, list[Truth]] = {}
        self._older: dict[Formula, bool] = {}
        self._telling: dict[Since, list[int]] = {}

    def positions_of(self, formula: Formula) -> range:
        """Where the formula has a meaning."""
        return self.positions if self.older(formula) else self.scans

    def older(self, formula: Formula) -> bool:
        """Whether the formula is older than the run."""
        if formula not in self._older:
            self._older[formula] = self._reads_older_inputs(formula)
        return self._older[formula]

    def _reads_older_inputs(self, formula: Formula) -> bool:
        match formula:
            case FirstScan() | AnyScan():
                return False
            case Atom(expression, histories):
                inputs = self.records[-1].older if self.records else frozenset()
                names = inputs | {history.variable.name for history in histories}
                expressions = [expression, *(history.expression for history in histories)]
                return all(
                    read.variable.name in names
                    for each in expressions
                    for read in variables_read(each)
                )
            case And(operands) | Or(operands):
                return all(self.older(operand) for operand in operands)
            case Implies(left, right) | Iff(left, right) | Since(left, right):
                return self.older(left) and self.older(right)
            case _:
                return self.older(formula.operand)

    def _first(self, i: int) -> int:
        """The first position that counts as past at ``i`` for prev, rose and fell."""
        return self.scans.start if i in self.scans else 0

    def truths(self, formula: Formula) -> list[Truth]:
        """The formula at each position."""
        if formula not in self._known:
            self._known[formula] = self._truths(formula)
        return self._known[formula]

    def _truths(self, formula: Formula) -> list[Truth]:
        match formula:
            case Atom():
                return self._atom(formula)
            case FirstScan():
                return [i == self.scans.start for i in self.positions]
            case AnyScan():
                return [True for _ in self.positions]
            case Not():
                return [_not(truth) for truth in self.truths(formula.operand)]
            case And():
                return [_all(row) for row in self._rows(formula.operands)]
            case Or():
                return [_any(row) for row in self._rows(formula.operands)]
            case Implies():
                sides = self._rows((formula.left, formula.right))
                return [_any((_not(left), right)) for left, right in sides]
            case Iff():
                sides = self._rows((formula.left, formula.right))
                return [_same(left, right) for left, right in sides]
            case _:
                return self._past(formula)

    def _past(self, formula: Previous | Rose | Fell | Once | Historically | Since) -> list[Truth]:
        match formula:
            case Previous():
                truths = self.truths(formula.operand)
                return [truths[max(self._first(i), i - formula.count)] for i in self.positions]
            case Rose():
                truths = self.truths(formula.operand)
                return [self._turned(truths, i) for i in self.positions]
            case Fell():
                truths = [_not(truth) for truth in self.truths(formula.operand)]
                return [self._turned(truths, i) for i in self.positions]
            case Once():
                truths = self.truths(formula.operand)
                return self._each(formula, lambda i: _any(truths[self._within(formula, i)]))
            case Historically():
                truths = self.truths(formula.operand)
                return self._each(
                    formula,
                    lambda i: _all(
                        [self._old_enough(formula, i), *truths[self._within(formula, i)]]
                    ),
                )
            case Since():
                return self._each(formula, lambda i: self._since(formula, i))

    def _each(self, formula: Formula, truth: Callable[[int], Truth]) -> list[Truth]:
        """The truth at each position that the formula has."""
        there = self.positions_of(formula)
        return [truth(i) if i in there else None for i in self.positions]

    def _turned(self, truths: Sequence[Truth], i: int) -> Truth:
        """TRUE now and FALSE in the scan before."""
        return _all((truths[i], _not(truths[i - 1]))) if i > self._first(i) else False

    def _rows(self, formulas: Sequence[Formula]) -> list[tuple[Truth, ...]]:
        """The truths of several formulas side by side, a row for each position."""
        columns = [self.truths(formula) for formula in formulas]
        return [tuple(column[i] for column in columns) for i in self.positions]

    def _stamps(self, bound: Bound) -> Sequence[int]:
        return self.positions if bound.in_scans else self.times

    def _within(self, formula: Once | Historically | Since, now: int) -> slice:
        """The formula's positions up to now whose distance from now lies within its bound."""
        bound, first = formula.bound, self.positions_of(formula).start
        if bound is None:
            return slice(first, now + 1)
        stamps = self._stamps(bound)
        if bound.high is not None:
            first = max(first, bisect_left(stamps, stamps[now] - bound.high))
        return slice(first, min(now + 1, bisect_right(stamps, stamps[now] - bound.low)))

    def _old_enough(self, formula: Historically, now: int) -> bool:
        """Whether the run has all that the formula looks back to; what is older always has."""
        bound = formula.bound
        if bound is None or bound.high is None or self.older(formula):
            return True
        stamps = self._stamps(bound)
        return stamps[now] - stamps[self.scans.start] >= bound.high

    def _since(self, formula: Since, now: int) -> Truth:
        hold, release = self.truths(formula.hold), self.truths(formula.release)
        places = self._places(formula)
        within = self._within(formula, now)
        found: Truth = False
        held_after: Truth = True
        for number in range(bisect_right(places, now) - 1, -1, -1):
            j = places[number]
            if j < within.start:
                break
            if j < within.stop and release[j] is not False:
                if release[j] and held_after:
                    return True
                found = None
            if hold[j] is False:
                break
            if hold[j] is None:
                held_after = None
        return found

    def _places(self, formula: Since) -> list[int]:
        """The positions that say anything: at all others the one holds and the other does not."""
        if formula not in self._telling:
            hold, release = self.truths(formula.hold), self.truths(formula.release)
            self._telling[formula] = [
                j for j in self.positions if release[j] is not False or hold[j] is not True
            ]
        return self._telling[formula]

    # --- atoms --------------------------------------------------------------------------------

    def _atom(self, atom: Atom) -> list[Truth]:
        histories: dict[str, list[Value | None]] = {}
        for history in atom.histories:
            current = [self._value(history.expression, histories, i) for i in self.positions]
            histories[history.variable.name] = [
                current[max(self._first(i), i - history.count)] for i in self.positions
            ]
        values = [self._value(atom.expression, histories, i) for i in self.positions]
        return [None if value is None else bool(value) for value in values]

    def _value(
        self, expression: Expression, histories: dict[str, list[Value | None]], i: int
    ) -> Value | None:
        """The expression's value at a position, None where it is not defined."""
        record = self.records[i]
        if record.finding is not None:
            return None
        values = record.values
        if record.before_power_up and any(
            read.variable.name not in values and read.variable.name not in histories
            for read in variables_read(expression)
        ):
            return None
        if histories:
            pasts = ((name, past[i]) for name, past in histories.items())
            before = {name: value for name, value in pasts if value is not None}
            if len(before) < len(histories):
                return None
            values = {**values, **before}
        return self._evaluator.value(expression, values)

    # --- properties ---------------------------------------------------------------------------

    def triggers(self, trigger: Formula) -> list[int]:
        """The positions at which the trigger certainly holds."""
        truths = self.truths(trigger)
        return [i for i in self.scans if truths[i] is True]

    def unanswered(self, response: Response, start: int) -> int | None:
        """The first position beyond the bound of a trigger that was not answered within it."""
        bound = response.bound
        if bound.low != 0:
            raise ValueError("the bound of a response begins at 0")
        if bound.high is None:
            return None
        stamps: Sequence[int] = self.positions if bound.in_scans else self.times
        beyond = bisect_right(stamps, stamps[start] + bound.high)
        answers = self.truths(response.answer)[start:beyond]
        if beyond < len(stamps) and all(answer is False for answer in answers):
            return beyond
        return None

    def released_too_late(self, until: Until, start: int) -> int | None:
        """The first position from a trigger on with neither hold nor, so far, a release."""
        hold, release = self.truths(until.hold), self.truths(until.release)
        for i in range(start, len(self.records)):
            if release[i] is not False:
                return None
            if hold[i] is False:
                return i
        return None
