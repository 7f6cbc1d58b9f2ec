"""A whole check held against visiting every reachable state with the executor and the evaluator.

Neither monitors nor engines have a part in what a verdict is compared with.
"""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Hashable, Iterator, Sequence
from dataclasses import replace
from itertools import islice, permutations
from random import Random

from twohand.evidence.encoding import Encoding
from twohand.evidence.runs.known_runs import rest_position
from twohand.evidence.verdict import Counterexample, Outcome, Report, Vacuity, Verdict
from twohand.program import Read, Variable
from twohand.program.types import BOOL
from twohand.scan.clocking import Readings
from twohand.scan.concrete.execute import Machine
from twohand.scan.finding import Finding
from twohand.scan.scan_record import ScanRecord
from twohand.specification.logic.evaluate import assumed, holds, refuted_at
from twohand.specification.logic.formula import (
    Always,
    And,
    Atom,
    FirstScan,
    Formula,
    Implies,
    Not,
    Once,
    Or,
    Property,
    Rose,
)
from twohand.specification.model.specification import Aim, Hand, Specification
from twohand.text.diagnostic import Diagnostic

from tests.support.decided import open_readings
from tests.support.enumeration.enumerate_states import (
    TooManyStatesError,
    enumerate_readings,
    enumerate_runs,
    longer_runs,
)
from tests.support.enumeration.trace_summary import Run, Summary

MOST_STATES = 400


class Enumerated:
    """What every run of one specification does."""

    def __init__(self, specification: Specification) -> None:
        self.specification = specification
        self.assumptions = [named.formula for named in specification.assumptions]
        system = Encoding(specification).system
        self.choices = open_readings(system, specification.readings)
        self.stuck = False
        """Whether a run was met that the assumptions leave no next scan."""

    def refuted(self, asked: Property) -> bool | None:
        """Whether some run refutes it, None for one that ends in a finding there and then;
        TooManyStatesError where that cannot be said."""
        spec = self.specification
        found = enumerate_readings(
            spec.program, spec.clocking, self.choices, asked, self.assumptions, MOST_STATES
        )
        if found.refutation is None:
            return False
        return None if found.refutation[-1].finding is not None else True

    def reached(self, formula: Formula) -> bool:
        """Whether some run gets there under every choice of the open readings."""
        spec, never = self.specification, Always(Not(formula))
        for choice in self.choices:
            found = enumerate_runs(
                spec.program, spec.clocking, choice, never, self.assumptions, MOST_STATES
            )
            if found.refutation is None:
                return False
        return True

    def first_findings(self) -> set[Finding]:
        """The findings that end some run."""
        found: set[Finding] = set()
        for records in self._every_scan(Always(Or((FirstScan(), Not(FirstScan()))))):
            finding = records[-1].finding
            if finding is not None:
                found.add(finding)
        return found

    def runs(self, followed: Property) -> Iterator[tuple[ScanRecord, ...]]:
        """A run for each way in which a state can be entered that matters to ``followed``."""
        return self._every_scan(followed)

    def widest_lag(self, number: int) -> int | None:
        """The widest lag that starts the output, in units; None where nothing starts, or where a
        start has a hand without a press (no lag is wide enough for it)."""
        spec = self.specification
        lag = spec.lags[number]
        followed = Always(Or(tuple(_never(Rose(hand)) for hand in lag.hands)))
        widest = -1
        for records in self._every_scan(followed, lag.start, *(Rose(h) for h in lag.hands)):
            if records[-1].finding or not holds(lag.start, records, spec.clocking)[-1]:
                continue
            times = []
            for hand in lag.hands:
                rises = holds(Rose(hand), records, spec.clocking)
                if True not in rises:
                    return None
                position = len(rises) - 1 - rises[::-1].index(True)
                times.append(records[position].time)
            widest = max(widest, max(times) - min(times))
        return widest if widest >= 0 else None

    def _every_scan(self, followed: Property, *ages: Formula) -> Iterator[tuple[ScanRecord, ...]]:
        """A run for each way in which a state can be entered; states differ by what matters to
        ``followed`` and the assumptions, and by how long ago each of ``ages`` was."""
        for readings in self.choices:
            yield from self._under(readings, followed, ages)

    def _under(
        self, readings: Readings, followed: Property, ages: Sequence[Formula]
    ) -> Iterator[tuple[ScanRecord, ...]]:
        spec = self.specification
        machine = Machine(spec.program, spec.clocking, readings, spec.loop_bound)
        summary = Summary(followed, spec.clocking, self.assumptions)
        seen: set[Hashable] = set()
        waiting: deque[tuple[Hashable, Run]] = deque([(machine.snapshot(), Run())])
        while waiting:
            snapshot, run = waiting.popleft()
            allowed = 0
            for longer in longer_runs(machine, summary, snapshot, run):
                allowed += 1
                if longer.powered:
                    yield longer.records
                if longer.records[-1].finding is not None:
                    continue
                after = machine.snapshot()
                node = (after, summary.of(longer), self._ages(longer.records, ages))
                if node not in seen:
                    seen.add(node)
                    if len(seen) > MOST_STATES:
                        raise TooManyStatesError
                    waiting.append((after, longer))
            self.stuck |= not allowed

    def _ages(self, records: Sequence[ScanRecord], ages: Sequence[Formula]) -> Hashable:
        found = []
        for formula in ages:
            truths = holds(formula, records, self.specification.clocking)
            when = [r.time for r, truth in zip(records, truths, strict=True) if truth]
            found.append(min(records[-1].time - when[-1], _OLD) if when else None)
        return tuple(found)


_OLD = 12
"""Units beyond which the age of a press makes no difference: above every window that is drawn."""


def _inside(property: Property) -> Formula:
    """What 'never this' is about."""
    assert isinstance(property, Always)
    assert isinstance(property.formula, Not)
    return property.formula.operand


def _never(formula: Formula) -> Formula:
    return Not(formula)


def compare(report: Report) -> Counter[str]:
    """Counts the verdicts that agree, and those without a second opinion (too many states).
    AssertionError at the first that does not agree."""
    every = Enumerated(report.specification)
    counts: Counter[str] = Counter()
    for verdict in report.verdicts:
        _compare_evidence(verdict, report.specification)
        counts[verdict.outcome.value] += 1
        if verdict.outcome is Outcome.UNDECIDED:
            continue
        try:
            assert verdict.outcome.value in possible(verdict, every), verdict.requirement
            _compare_beginning(verdict, every)
        except TooManyStatesError:
            counts["without a second opinion"] += 1
    try:
        _compare_rest(report, every)
    except TooManyStatesError:
        counts["without a second opinion"] += 1
    return counts


def compare_contradiction(specification: Specification) -> None:
    """Assumptions that the check refuses: some run has no next scan."""
    every = Enumerated(specification)
    every.first_findings()
    assert every.stuck


def compare_hands(specification: Specification, error: Diagnostic) -> None:
    """Hands that the check refuses: no run has the one that is marked on and the other off."""
    one, other = (
        next(hand for hand in specification.hands if hand.span == span)
        for span in (error.span, error.related[0][0])
    )
    assert not Enumerated(specification).reached(_apart(one, other))


def _apart(one: Hand, other: Hand) -> Formula:
    return And((Atom(one.pressed), Not(Atom(other.pressed))))


def possible(verdict: Verdict, every: Enumerated) -> set[str]:
    """The outcomes that are right."""
    requirement = verdict.requirement
    if verdict.vacuity is Vacuity.NO_SCAN:
        return set() if every.reached(And(())) else {"VACUOUS"}
    if requirement.aim is Aim.REACHABLE:
        return {"PROVED"} if every.reached(_inside(requirement.property)) else {"VACUOUS"}
    refuted = every.refuted(requirement.property)
    if refuted is None:
        return {"PROVED", "VACUOUS", "VIOLATED"}  # in the very scan of a finding
    if refuted:
        return {"VIOLATED"}
    if verdict.vacuity is Vacuity.ANY_BLOCK:
        return {"VACUOUS"} if _kept_by_any_values(requirement.property, every) else set()
    trigger = requirement.property.trigger
    if trigger is None or every.reached(trigger):
        return {"PROVED"}
    return {"VACUOUS", "PROVED"} if verdict.reason else {"VACUOUS"}


def _kept_by_any_values(asked: Property, every: Enumerated) -> bool:
    """Whether no run refutes it, of many in which everything but the inputs is drawn anew in each
    scan; the inputs are those of runs that the assumptions allow."""
    spec, chance = every.specification, Random(0)
    written = [v for v in spec.program.variables if v not in spec.program.sampled]
    tried = islice(every.runs(asked), _MOST_TRIED)
    return not any(
        refuted_at(asked, [_redrawn(record, written, chance) for record in run], spec.clocking)
        is not None
        for run in tried
        for _ in range(3)
        if run[-1].finding is None
    )


def _redrawn(record: ScanRecord, written: Sequence[Variable], chance: Random) -> ScanRecord:
    drawn = {
        v.name: chance.random() < 0.5 if v.type == BOOL else chance.randint(0, 3) for v in written
    }
    return replace(record, values={**record.values, **drawn})


_MOST_TRIED = 300


def _compare_beginning(verdict: Verdict, every: Enumerated) -> None:
    """A violation that is shown from another position than rest has no run from rest."""
    run, rest = verdict.counterexample, rest_position(every.specification)
    if verdict.outcome is not Outcome.VIOLATED or run is None:
        return
    first = run.records[run.past]
    if any(first.values[name] != value for name, value in rest.items()):
        inputs = every.specification.program.inputs
        reads = [Read(v, v.span) for v in inputs if v.name in rest]
        positions = [Atom(r) if rest[r.variable.name] else Not(Atom(r)) for r in reads]
        began = Once(And((FirstScan(), *positions)))
        assert every.refuted(_where(began, verdict.requirement.property)) is not True


def _where(began: Formula, asked: Property) -> Property:
    """The property of the runs that began so."""
    if isinstance(asked, Always):
        return Always(Implies(began, asked.formula))
    return replace(asked, trigger=And((began, asked.trigger)))


def _compare_rest(report: Report, every: Enumerated) -> None:
    """Findings, assumptions that leave no input, hands that differ, outputs that are never on,
    lags."""
    happens = {f.finding for f in report.findings if f.outcome is Outcome.VIOLATED}
    assert happens <= every.first_findings() <= {found.finding for found in report.findings}
    assert not every.stuck
    if not report.findings and "hands-undecided" not in {each.code for each in report.warnings}:
        hands = permutations(report.specification.hands, 2)
        assert all(every.reached(_apart(one, other)) for one, other in hands)
    undecided = {w.span.text for w in report.warnings if w.code == "output-undecided" and w.span}
    for output in report.specification.outputs:
        on = Atom(Read(output, output.span))
        if output.name not in undecided:
            off = (*report.never_on, *report.on_after_finding)
            assert (output.name in off) is not every.reached(on)
    for number, lag in enumerate(report.lags):
        widest = every.widest_lag(number)
        if lag.bound is not None and lag.reached is not None:
            assert widest is not None
            assert lag.reached <= widest <= lag.bound
        if lag.bound is not None and lag.reached is None:
            assert widest is None


def _compare_evidence(verdict: Verdict, specification: Specification) -> None:
    """Runs are legal and end where they say; proofs have certificates."""
    clocking, requirement = specification.clocking, verdict.requirement
    reached = requirement.aim is Aim.REACHABLE and verdict.outcome is Outcome.PROVED
    if verdict.outcome in (Outcome.PROVED, Outcome.VACUOUS) and not reached:
        assert verdict.certificate is not None
    run: Counterexample | None = verdict.witness if reached else verdict.counterexample
    if run is not None:
        refuted = refuted_at(requirement.property, run.records, clocking)
        assert refuted == len(run.records) - 1
        for named in specification.assumptions:
            assert assumed(named.formula, run.records, clocking)
