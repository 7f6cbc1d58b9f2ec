"""What of a finite run still matters for a requirement, found by looking at the whole run.

Two runs whose summaries (and program states) are equal have the same futures: distances are kept
up to the bound beyond which they say the same. The truth of every part comes from the direct
evaluator; nothing is remembered from scan to scan but the truth of parts at earlier scans.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass, replace

from twohand.program import Read
from twohand.program.durations import NO_TIME
from twohand.program.types import Value
from twohand.scan.clocking import Clocking
from twohand.scan.scan_record import ScanRecord, scans_before
from twohand.specification.logic.evaluate import _Run, holds, refuted_at
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


@dataclass(frozen=True)
class Run:
    """A finite run; ``truths`` has a row a scan: the truth of each part that is followed. Before
    power-up only what is older than the run has one that means anything."""

    records: tuple[ScanRecord, ...] = ()
    truths: tuple[tuple[bool, ...], ...] = ()

    @property
    def past(self) -> int:
        """Samples before power-up."""
        return scans_before(self.records)

    @property
    def powered(self) -> bool:
        return self.past < len(self.records)

    def ending(self, time: int) -> Run:
        """The same with its last record at this time."""
        later = time - self.records[-1].time if self.records else 0
        records = tuple(replace(each, time=each.time + later) for each in self.records)
        return replace(self, records=records)


class Summary:
    """Summaries and refutations of one property on runs that all share one clocking."""

    def __init__(
        self, asked: Property, clocking: Clocking, assumptions: Sequence[Formula] = ()
    ) -> None:
        if isinstance(asked, Before):
            not_second = Not(asked.second)
            asked = Until(asked.trigger, not_second, And((asked.first, not_second)))
        self.property = asked
        self.clocking = clocking
        self.assumptions = tuple(assumptions)
        self._followed: list[Formula] = []
        self._past: list[Formula] = []
        parts: tuple[Formula, ...]
        match asked:
            case Always():
                parts = (asked.formula,)
            case Response():
                parts = (asked.trigger, asked.answer)
            case Until():
                parts = (asked.trigger, asked.hold, asked.release)
        self._parts = [self._follow(part) for part in parts]
        self._assumed = [self._follow(assumption) for assumption in self.assumptions]
        for root in (*parts, *self.assumptions):
            self._collect(root)
        self._older: set[int] = set()
        self._knows_older = False
        self._rows = {id(formula): row for row, formula in enumerate(self._followed)}

    def _follow(self, formula: Formula) -> int:
        for row, known in enumerate(self._followed):
            if known is formula:
                return row
        self._followed.append(formula)
        return len(self._followed) - 1

    def _collect(self, formula: Formula) -> None:
        match formula:
            case Atom():
                self._past.append(formula)
            case FirstScan() | AnyScan():
                pass
            case And() | Or():
                for operand in formula.operands:
                    self._collect(operand)
            case Implies() | Iff():
                self._collect(formula.left)
                self._collect(formula.right)
            case Since():
                self._past.append(formula)
                for operand in (formula.hold, formula.release):
                    self._follow(operand)
                    self._collect(operand)
            case Not():
                self._collect(formula.operand)
            case _:
                self._past.append(formula)
                self._follow(formula.operand)
                self._collect(formula.operand)

    def extended(self, run: Run, record: ScanRecord) -> Run | None:
        """The run with one scan more; None where an assumption does not hold of it. Assumptions
        speak of inputs: a scan that a finding cut short has to meet them as well."""
        records = (*run.records, record)
        whole = _Run(records, self.clocking)
        truths = tuple(whole.truths(part)[-1] is True for part in self._followed)
        self._note_older(whole)
        assumed = [
            truths[row]
            for row, formula in zip(self._assumed, self.assumptions, strict=True)
            if whole.older(formula) or not record.before_power_up
        ]
        if record.finding is not None:
            sampled = (*run.records, replace(record, finding=None))
            assumed = [holds(each, sampled, self.clocking)[-1] for each in self.assumptions]
        if not all(assumed):
            return None
        return Run(records, (*run.truths, truths))

    def _note_older(self, whole: _Run) -> None:
        if not self._knows_older:
            self._knows_older = True
            self._older = {id(part) for part in self._past if whole.older(part)}

    def looks_back(self, inputs: frozenset[str]) -> bool:
        """Whether it can matter how long these inputs have been as they are at power-up."""
        self._note_older(_Run([ScanRecord(NO_TIME, NO_TIME, {}, older=inputs)], self.clocking))
        lasting = (Once, Historically, Since)
        return any(isinstance(p, lasting) and id(p) in self._older for p in self._past)

    def refuted(self, run: Run) -> bool:
        """Whether the last scan of the run refutes the property, by its definition. What a scan
        with a finding refutes is for the evaluator to say, which knows what is not defined."""
        last = len(run.records) - 1
        if not run.powered:
            return False
        if run.records[last].finding is not None:
            return refuted_at(self.property, run.records, self.clocking) == last
        match self.property:
            case Always():
                return not run.truths[last][self._parts[0]]
            case Response():
                bound = self.property.bound
                assert bound.high is not None
                return any(
                    self._distance(run, start, bound) > bound.high
                    and not any(
                        run.truths[answer][self._parts[1]]
                        for answer in range(start, last + 1)
                        if self._distance(run, start, bound, answer) <= bound.high
                    )
                    for start in range(run.past, last)
                    if run.truths[start][self._parts[0]]
                )
            case _:
                _, hold, _ = self._parts
                return self._pending(run) and not run.truths[last][hold]

    def of(self, run: Run) -> Hashable:
        """Everything of the run that the future can ask for."""
        known = [f for f in self._past if run.powered or id(f) in self._older]
        values: list[Hashable] = [run.powered, *(self._of_past(run, f) for f in known)]
        match self.property:
            case Response():
                values.append(self._waiting(run))
            case Until():
                values.append(self._pending(run))
        return tuple(values)

    def _pending(self, run: Run) -> bool:
        """Whether some trigger has seen no release in its scan or later."""
        trigger, _, release = self._parts
        return any(
            run.truths[start][trigger] and not any(row[release] for row in run.truths[start:])
            for start in range(run.past, len(run.truths))
        )

    def _waiting(self, run: Run) -> int | None:
        """How long the oldest trigger without an answer has waited, at most one beyond."""
        assert isinstance(self.property, Response)
        bound = self.property.bound
        assert bound.high is not None
        trigger, answer = self._parts
        for start in range(run.past, len(run.truths)):
            row = run.truths[start]
            if row[trigger] and not any(later[answer] for later in run.truths[start:]):
                return min(self._distance(run, start, bound), bound.high + 1)
        return None

    def _distance(self, run: Run, start: int, bound: Bound, end: int = -1) -> int:
        end = end % len(run.records)
        if bound.in_scans:
            return end - start
        return run.records[end].time - run.records[start].time

    def _of_past(self, run: Run, formula: Formula) -> Hashable:
        match formula:
            case Atom():
                return tuple(
                    self._values(run, history.expression, history.count)
                    for history in formula.histories
                )
            case Previous():
                return self._backwards(run, formula.operand, formula.count)
            case Rose() | Fell():
                return self._backwards(run, formula.operand, 1)
            case Once() | Historically():
                wanted = isinstance(formula, Once)
                row = self._rows[id(formula.operand)]
                starts = [j for j in self._seen(run, formula) if run.truths[j][row] is wanted]
                return self._reach(run, starts, formula.bound), self._age(run, formula)
            case Since():
                hold, release = (self._rows[id(f)] for f in (formula.hold, formula.release))
                starts = [
                    j
                    for j in self._seen(run, formula)
                    if run.truths[j][release] and all(row[hold] for row in run.truths[j + 1 :])
                ]
                return self._reach(run, starts, formula.bound)
        raise AssertionError(formula)

    def _seen(self, run: Run, formula: Formula) -> range:
        """The positions to which the formula looks back."""
        return range(0 if id(formula) in self._older else run.past, len(run.truths))

    def _age(self, run: Run, formula: Once | Historically) -> int | None:
        """How old the run is, as far as ``held`` asks for it."""
        bound = formula.bound
        if isinstance(formula, Once) or id(formula) in self._older:
            return None
        if bound is None or bound.high is None:
            return None
        return min(self._distance(run, run.past, bound), bound.high)

    def _reach(self, run: Run, starts: Sequence[int], bound: Bound | None) -> Hashable:
        """What the distances of ``starts`` can still say about ``bound``; None: nothing."""
        if not starts:
            return None
        if bound is None or (bound.low == 0 and bound.high is None):
            return 0
        distances = [self._distance(run, start, bound) for start in starts]
        if bound.high is None:
            return min(max(distances), bound.low)
        nearest = min(distances)
        return nearest if nearest <= bound.high else None

    def _backwards(self, run: Run, operand: Formula, count: int) -> Hashable:
        row = self._rows[id(operand)]
        last = len(run.truths) - 1
        first = run.past if run.powered else 0
        return tuple(run.truths[max(first, last - back)][row] for back in range(count))

    def _values(self, run: Run, expression: object, count: int) -> tuple[Value, ...]:
        """Of histories, those of plain variables are followed."""
        if not isinstance(expression, Read):
            raise NotImplementedError("a history of a compound expression")
        last = len(run.records) - 1
        name = expression.variable.name
        first = run.past if run.powered else 0
        return tuple(run.records[max(first, last - back)].values[name] for back in range(count))
