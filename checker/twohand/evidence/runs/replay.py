"""Replay: a run is executed with Python values and judged by the definition of its requirement.

Neither the transition system nor the monitors have a part in this, so that what replays has been
seen twice, by ways that share nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from twohand.evidence.runs.trace import Scan, Trace, definite
from twohand.evidence.verdict import Counterexample
from twohand.program import Program
from twohand.scan.clocking import Readings
from twohand.scan.concrete import execute
from twohand.scan.scan_record import ScanRecord
from twohand.specification.logic import evaluate
from twohand.specification.logic.formula import Always, Formula, Not, Property
from twohand.specification.model.specification import Specification

_NOW_AND_THEN = 10_000
"""Scans: less than a second of an ordinary machine."""


class Replayer:
    """Executes and judges runs of one specification."""

    def __init__(self, specification: Specification) -> None:
        self.specification = specification
        self.scans_executed = 0
        self.latest: tuple[Trace, list[ScanRecord]] | None = None
        """The run that was executed last."""
        self._machines: dict[Readings, execute.Machine] = {}
        """One for each choice of readings: a run takes much less time than making a machine."""

    def records(self, trace: Trace) -> list[ScanRecord]:
        """The records of a run, those before power-up first; it ends early at a finding."""
        if self.latest is None or self.latest[0] != trace:
            self.latest = trace, self._execute(trace)
        return list(self.latest[1])

    def last_record(self, trace: Trace, at_work: Callable[[], None]) -> ScanRecord:
        """The record of the last scan of a run, or of its finding; those before it are not kept,
        so that the run may be long: ``at_work`` is called now and then."""
        self.scans_executed += len(trace.scans)
        for number, record in enumerate(self._scans(trace), 1):
            last = record
            if number % _NOW_AND_THEN == 0:
                at_work()
        return last

    def sound_records(self, trace: Trace) -> list[ScanRecord]:
        """The records of the scans before any finding; none where they break an assumption."""
        records = self.records(trace)
        if records and records[-1].finding is not None:
            records.pop()
        return records if records and self.allowed(records) else []

    def _execute(self, trace: Trace) -> list[ScanRecord]:
        self.scans_executed += len(trace.scans)
        return list(self._scans(trace))

    def _scans(self, trace: Trace) -> Iterator[ScanRecord]:
        steps = [(scan.inputs, scan.elapsed) for scan in trace.scans]
        return self._machine(trace.readings).run(steps, trace.past)

    def _machine(self, readings: Readings) -> execute.Machine:
        if readings not in self._machines:
            spec = self.specification
            made = execute.Machine(spec.program, spec.clocking, readings, spec.loop_bound)
            self._machines[readings] = made
        return self._machines[readings]

    def allowed(self, records: Sequence[ScanRecord]) -> bool:
        """Whether every scan meets every assumption, and what was before the first one those that
        are older than the run. In a scan cut short by a finding the assumptions, which speak of
        inputs, are judged by the inputs alone."""
        whole = [replace(record, finding=None) for record in records]
        return all(
            evaluate.assumed(named.formula, whole, self.specification.clocking)
            for named in self.specification.assumptions
        )

    def refuted_at(self, property: Property, records: Sequence[ScanRecord]) -> int | None:
        return evaluate.refuted_at(property, records, self.specification.clocking)

    def first(self, formula: Formula, records: Sequence[ScanRecord]) -> int | None:
        """The first scan in which the formula holds."""
        truths = self._holds(formula, records)
        return truths.index(True) if True in truths else None

    def holds(self, formula: Formula, records: Sequence[ScanRecord]) -> list[bool]:
        return self._holds(formula, records)

    def _holds(self, formula: Formula, records: Sequence[ScanRecord]) -> list[bool]:
        return evaluate.holds(formula, records, self.specification.clocking)


def executed(
    program: Program, run: Counterexample, specification: Specification
) -> list[ScanRecord]:
    """The inputs, times and readings of a run of the specification's program, executed with a
    variant of it."""
    trace = trace_of_records(run, specification)
    steps = [(scan.inputs, scan.elapsed) for scan in trace.scans]
    clocking, bound = specification.clocking, specification.loop_bound
    return execute.run(program, clocking, trace.readings, bound, steps, trace.past)


def trace_of_records(run: Counterexample, specification: Specification) -> Trace:
    """What has to be executed for a run of the specification's program."""
    sampled = {variable.name for variable in specification.program.inputs}
    scans = tuple(
        Scan({name: value for name, value in each.values.items() if name in sampled}, each.elapsed)
        for each in run.records
    )
    readings = definite(specification.readings, run.all_readings)
    return Trace(scans, readings, run.all_readings, run.past)


def never(formula: Formula) -> Property:
    """The property that a run refutes by reaching ``formula``."""
    return Always(Not(formula))
