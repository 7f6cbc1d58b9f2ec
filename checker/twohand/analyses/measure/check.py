"""One quantity from its question to its measurement; every run is executed, every proof checked."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from math import inf
from typing import Generic

from twohand.analyses.measure.query import Extreme, FindExtreme
from twohand.analyses.measure.results import Amount, Decision, Measurement, Stay
from twohand.engine.jobs import Problem
from twohand.engine.search.pumping import PumpedRun
from twohand.engine.workers.process import Stopped
from twohand.evidence.context import CheckContext
from twohand.evidence.contradiction import InternalContradiction
from twohand.evidence.proofs.dispatcher import believed
from twohand.evidence.proofs.query import Certified
from twohand.evidence.runs.counterexample import readable
from twohand.evidence.runs.simplify import relevant_readings
from twohand.evidence.runs.trace import Trace
from twohand.evidence.verdict import Counterexample
from twohand.program.durations import NO_SCANS, Scans, Ticks, ticks_in_units, whole_ticks
from twohand.scan.clocking import PARAMETER_PREFIX
from twohand.scan.scan_record import ScanRecord
from twohand.specification.logic.evaluate_quantity import Reading, last_reading
from twohand.specification.logic.quantity import Quantity

_READING_EFFORT = 20.0
_LONGEST_STRETCHED = 40_000
"""Scans of the longest run that is executed to see a stay prolonged."""


class QuantityCheck(Generic[Amount]):
    """``measurement`` is there once ``then`` was called with it. ``amount`` is what the quantity is
    counted in: ``Units`` or ``Scans``."""

    def __init__(
        self,
        name: str,
        quantity: Quantity,
        case: CheckContext,
        amount: Callable[[int], Amount],
        most_effort: float = inf,
    ) -> None:
        self._name = name
        self._effort = min(case.effort, most_effort)
        self._quantity = quantity
        self._amount: Callable[[int], Amount] = amount
        self._case = case
        self._first = case.questions.quantity(quantity)
        self._clocking = case.specification.clocking
        self._then: Callable[[Measurement[Amount]], None] = lambda _: None
        self._began = 0.0
        self.measurement: Measurement[Amount] = Measurement(Decision.UNDECIDED)

    def begin(self, then: Callable[[Measurement[Amount]], None]) -> None:
        """Ask; ``then`` is given the measurement, which may gain ``otherwise`` after that."""
        self._then = then
        self._began = time.monotonic()
        self._ask(self._case.problem(self._first))

    def _ask(self, problem: Problem) -> None:
        self._submit(problem, self._effort, lambda result: self._answered(result, problem))

    def _submit(self, problem: Problem, effort: float, then: Callable[[object], None]) -> None:
        quantity = self._quantity
        job = FindExtreme(problem, self._first, quantity.least, quantity.in_scans, effort)
        self._case.desk.submit(job, then)

    def _settle(self, measurement: Measurement[Amount]) -> None:
        self.measurement = replace(measurement, seconds=time.monotonic() - self._began)
        self._then(self.measurement)

    # --- answers --------------------------------------------------------------------------------

    def _answered(self, result: object, problem: Problem) -> None:
        if isinstance(result, Stopped):
            self._settle(Measurement(Decision.UNDECIDED, reason=result.reason))
            return
        if not isinstance(result, Extreme):
            raise InternalContradiction("a worker answered another question")
        try:
            measurement = self._measured(result)
        except _CutByFinding:
            if problem is not self._case.problem(self._first) or not self._case.questions.findings:
                raise self._contradiction("a finding comes first") from None
            self._ask(self._case.until_then(self._first))
            return
        self._settle(measurement)
        self._ask_reading(problem)

    def _measured(self, found: Extreme) -> Measurement[Amount]:
        if found.without is not None:
            shown = self._shown(self._case.trace(found.without), None)
            return Measurement(Decision.NO_LIMIT, run=shown)
        if found.pumped is not None:
            return self._without_limit(found.pumped)
        run: Counterexample | None = None
        reached: Amount | None = None
        if found.run is not None and found.value is not None:
            reached = self._counted(found.value)
            run = self._shown(self._case.trace(found.run), reached)
        measured = Measurement(Decision.UNDECIDED, reached, run=run, reason=found.reason)
        if found.proof is None:
            return measured
        proof = believed(self._name, found.proof)
        if not isinstance(proof, Certified):
            return replace(measured, reason=getattr(proof, "reason", ""))
        return self._proved(measured, found, proof)

    def _proved(
        self, measured: Measurement[Amount], found: Extreme, proof: Certified
    ) -> Measurement[Amount]:
        certificate = self._case.certificate(proof)
        bound = None if found.bound is None else self._counted(found.bound)
        measured = replace(measured, bound=bound, certificate=certificate)
        if found.bound is None:
            return replace(measured, decision=Decision.NEVER)
        return replace(measured, decision=Decision.EXACT) if bound == measured.reached else measured

    def _counted(self, number: int) -> Amount:
        """One of the engine's numbers, which are ticks or scans."""
        if self._quantity.in_scans:
            return self._amount(number)
        return self._amount(ticks_in_units(Ticks(number), self._case.questions.tick))

    # --- runs -----------------------------------------------------------------------------------

    def _shown(self, trace: Trace, value: Amount | None) -> Counterexample:
        """The run for its reader, ending in a scan that is read as ``value``."""
        self._executed(trace, value)
        self._case.known.add(trace)

        def wanted(records: Sequence[ScanRecord]) -> bool:
            whole = records[-1].finding is None
            return whole and self._reading(records) == Reading(value)

        about = self._quantity.condition
        return readable(trace, wanted, self._case.replayer, about)

    def _executed(self, trace: Trace, value: Amount | None) -> list[ScanRecord]:
        """The records of a run that has to end in ``value``."""
        replayer = self._case.replayer
        records = replayer.records(trace)
        if records[-1].finding is not None:
            self._case.seen_findings.append(records[-1].finding)
            raise _CutByFinding
        reading = self._reading(records)
        if reading != Reading(value):
            seen = "nothing" if reading is None else reading.value
            raise self._contradiction(f"{value} was found, executed it is {seen}")
        if not replayer.allowed(records):
            raise self._contradiction("the run that was found breaks an assumption")
        return records

    def _reading(self, records: Sequence[ScanRecord]) -> Reading | None:
        return last_reading(self._quantity, records, self._clocking)

    def _without_limit(self, pumped: PumpedRun) -> Measurement[Amount]:
        """Executes the run as found and with its stay prolonged."""
        longest = self._clocking.longest
        trace = self._case.trace(pumped.run)
        records = self._case.replayer.records(trace)
        reading = self._reading(records) if records[-1].finding is None else None
        reached = self._amount(0 if reading is None else reading.value or 0)
        length = len(trace.scans)
        numbers = (1, 2, length, 10 * length)
        added: list[Scans] = [Scans(n) for n in numbers if length + n <= _LONGEST_STRETCHED]
        for scans in (NO_SCANS, *added):
            longer = pumped.prolonged(scans, whole_ticks(longest, self._case.questions.tick))
            more = scans if self._quantity.in_scans else scans * longest
            records = self._executed(self._case.trace(longer), self._amount(reached + more))
            if not scans:
                first = tuple(records)
        readings = relevant_readings(trace, self._case.replayer, self._ends_in(reached))
        stay = Stay(pumped.position - trace.past, tuple(added))
        run = Counterexample(first, readings)
        return Measurement(Decision.NO_LIMIT, reached, run=run, stay=stay)

    def _ends_in(self, value: Amount) -> Callable[[Sequence[ScanRecord]], bool]:
        return lambda records: self._reading(records) == Reading(value)

    def _contradiction(self, what: str) -> InternalContradiction:
        return InternalContradiction(f"{self._name}: {what}")

    # --- readings -------------------------------------------------------------------------------

    def _ask_reading(self, problem: Problem) -> None:
        """What it is under the other choice of the one reading that the run depends on."""
        run = self.measurement.run
        if run is None or len(run.readings) != 1:
            return
        ((name, value),) = run.readings.items()
        other = replace(problem, fixed=((PARAMETER_PREFIX + name, not value),))
        effort = min(self._effort, _READING_EFFORT)
        self._submit(other, effort, lambda result: self._under_the_other(result, name, not value))

    def _under_the_other(self, result: object, name: str, choice: bool) -> None:
        if not isinstance(result, Extreme) or result.proof is None or result.run is None:
            return
        proof = believed(f"{self._name} under another reading", result.proof)
        exact = isinstance(proof, Certified) and result.bound == result.value
        if exact and result.value is not None:
            value = self._counted(result.value)
            trace = self._case.trace(result.run)
            readings = replace(trace.readings, **{name: choice})
            try:
                self._executed(replace(trace, readings=readings), value)
            except _CutByFinding:
                return  # it is a value after a finding: nothing is said of the other reading
            self.measurement = replace(self.measurement, otherwise=value)


class _CutByFinding(Exception):  # noqa: N818 - an outcome, not an error
    """A run does not get to its end, because a finding comes first."""
