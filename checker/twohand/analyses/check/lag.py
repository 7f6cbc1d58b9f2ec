"""The widest lag of one station from its question to its measure."""

from __future__ import annotations

from dataclasses import replace

from twohand.analyses.check.lag_query import Measured, MeasureLag
from twohand.analyses.check.unused_assumptions import Proof
from twohand.engine.jobs import Problem
from twohand.engine.system.contract import Violated
from twohand.engine.workers.process import Stopped
from twohand.evidence.context import CheckContext
from twohand.evidence.contradiction import InternalContradiction
from twohand.evidence.proofs.dispatcher import believed
from twohand.evidence.proofs.query import Certified
from twohand.evidence.verdict import LagMeasure
from twohand.program.durations import NO_TIME, Ticks, Units, ticks_in_units, whole_ticks
from twohand.specification.catalogue.two_hand import lag_quantity
from twohand.specification.logic.evaluate_quantity import last_reading
from twohand.specification.logic.monitor_quantity import QuantityTerms


class LagCheck:
    """The lag of the specification's lag question ``number``."""

    def __init__(self, number: int, case: CheckContext) -> None:
        self._case = case
        spec = case.specification
        self._lag = spec.lags[number]
        self._station = spec.stations[number]
        names = [hand.name for hand in self._station.hands]
        hands = dict(zip(names, self._lag.hands, strict=True))
        self._quantity = lag_quantity(self._lag.start, hands)
        self._first = case.questions.quantity(self._quantity)
        self._reached: Units | None = None
        self._bound: Units | None = None
        self.proofs: list[Proof] = []
        """Of the bound, where there is one."""

    @property
    def measure(self) -> LagMeasure:
        """True lags are less than the sampled bound plus the longest scan."""
        true = None
        if self._reached is not None and self._bound is not None:
            true = Units(self._bound + self._case.specification.clocking.longest)
        return LagMeasure(self._station.name, self._reached, self._bound, true)

    def begin(self) -> None:
        self._ask(self._case.problem(self._first))

    def _ask(self, problem: Problem) -> None:
        job = MeasureLag(problem, self._first, self._window(), self._case.effort)
        self._case.desk.submit(job, lambda result: self._answered(result, problem))

    def _window(self) -> Ticks | None:
        """The widest lag asked for."""
        window = self._lag.window
        if self._lag.true_lag is not None:
            window = Units(self._lag.true_lag - self._case.specification.clocking.longest)
        return None if window is None else whole_ticks(window, self._case.questions.tick)

    def _answered(self, result: object, problem: Problem) -> None:
        if isinstance(result, Stopped):
            return
        if not isinstance(result, Measured):
            raise InternalContradiction("a worker answered another question")
        tick = self._case.questions.tick
        terms = range(self._first, self._first + QuantityTerms.COUNT)
        if any(problem.hangs_on(number) for number in terms):
            result = replace(result, run=None, wider=None)  # which show nothing
        runs = [run for run in (result.run, result.wider) if run is not None]
        whole = problem is self._case.problem(self._first)
        if whole and any(self._cut_by_finding(run) for run in runs):
            self._ask(self._case.until_then(self._first))
            return
        if result.run is not None:
            lag = self._replayed(result.run)
            if result.widest is None or lag != ticks_in_units(result.widest, tick):
                raise InternalContradiction(
                    f"the widest lag of {self._station.name} was found as {result.widest} ticks, "
                    f"executed it is {lag} units"
                )
            self._reached = lag
        if result.proof is not None:
            proof = believed(f"lag of {self._station.name}", result.proof)
            if isinstance(proof, Certified):
                self._bound = ticks_in_units(result.bound or Ticks(0), tick)
                self.proofs = [Proof(problem, self._first, proof.clauses, True, result.bound)]
        elif result.wider is not None:
            lag = self._replayed(result.wider)
            if lag is not None:
                self._reached = max(lag, self._reached or NO_TIME)

    def _cut_by_finding(self, run: Violated) -> bool:
        records = self._case.replayer.records(self._case.trace(run))
        finding = records[-1].finding
        if finding is not None:
            self._case.seen_findings.append(finding)
        return finding is not None

    def _replayed(self, run: Violated) -> Units | None:
        """The lag at the end of the run; None where it does not end in a start after presses of
        all hands."""
        trace = self._case.trace(run)
        replayer = self._case.replayer
        records = replayer.records(trace)
        if records[-1].finding is not None or not replayer.allowed(records):
            return None
        reading = last_reading(self._quantity, records, self._case.specification.clocking)
        if reading is None:
            return None
        self._case.known.add(trace)
        return None if reading.value is None else Units(reading.value)
