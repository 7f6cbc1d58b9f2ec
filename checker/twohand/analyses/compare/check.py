"""A comparison of two versions of a block, from the question to the evidence.

Where a finding is possible, the two are equal only up to it; then it is asked as well whether one
of them can have a finding in a scan in which the other one has none of that kind.
"""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass, replace

import z3

from twohand.analyses.check.check import check
from twohand.analyses.compare.question import Comparison
from twohand.engine.system.contract import Unknown, Violated
from twohand.engine.workers.pool import Pool
from twohand.evidence.context import CheckContext
from twohand.evidence.contradiction import InternalContradiction
from twohand.evidence.limits import Options, Progress, workers
from twohand.evidence.proofs.dispatcher import Dispatcher
from twohand.evidence.proofs.query import Certified, QueryResult
from twohand.evidence.runs.counterexample import explained
from twohand.evidence.runs.replay import Replayer
from twohand.evidence.runs.simplify import simplified
from twohand.evidence.runs.trace import Trace
from twohand.evidence.verdict import Certificate, Counterexample, Outcome, Report
from twohand.scan.concrete import execute
from twohand.scan.finding import FindingKind
from twohand.scan.scan_record import ScanRecord
from twohand.scan.symbolic.encode import encode

Kinds = tuple[FindingKind | None, FindingKind | None]
"""The finding of each of the two in one scan."""


@dataclass(frozen=True)
class Stops:
    """Whether one of the two can have a finding that the other one has not in that scan.

    PROVED: never, with the ``certificate``. VIOLATED: the replayed ``run`` ends in such a scan,
    with these findings (``kinds``). UNDECIDED: for this ``reason``.
    """

    outcome: Outcome
    certificate: Certificate | None = None
    run: Counterexample | None = None
    kinds: Kinds = (None, None)
    reason: str = ""


@dataclass(frozen=True)
class ComparisonReport:
    """``report`` has a verdict for each pair of the comparison; ``stops`` is None where no finding
    is possible at all."""

    comparison: Comparison
    report: Report
    stops: Stops | None = None


def compare(
    comparison: Comparison,
    options: Options | None = None,
    progress: Progress | None = None,
    pool: Pool | None = None,
) -> ComparisonReport:
    """Every verdict on a comparison; parameters and errors as those of ``check``."""
    options = options or Options()
    began = time.monotonic()
    with workers(options, pool) as chosen:
        alone = replace(options, causes=False)
        report = check(comparison.specification, alone, progress, chosen)
        stops = None
        if report.findings:
            desk = Dispatcher(chosen, options.effort, options.seconds)
            stops = FindingInOne(comparison, desk, options).answer()
            if report.doubt and stops.outcome is Outcome.PROVED:
                stops = Stops(Outcome.UNDECIDED, reason=report.doubt)
    return ComparisonReport(comparison, replace(report, seconds=time.monotonic() - began), stops)


class _Both(Replayer):
    """Executes the two together, and each alone."""

    def __init__(self, comparison: Comparison) -> None:
        super().__init__(comparison.specification)
        self._alone = [comparison.both.alone(which) for which in (0, 1)]

    def kinds(self, trace: Trace) -> Kinds:
        """The findings in the last scan of a run without any before."""
        first, second = (self._kind(which, trace) for which in (0, 1))
        return first, second

    def _kind(self, which: int, trace: Trace) -> FindingKind | None:
        spec = self.specification
        steps = [(scan.inputs, scan.elapsed) for scan in trace.scans]
        records = execute.run(
            self._alone[which], spec.clocking, trace.readings, spec.loop_bound, steps, trace.past
        )
        finding = records[-1].finding if len(records) == len(steps) else None
        return None if finding is None else finding.kind

    def one_stops(self, records: Sequence[ScanRecord]) -> bool:
        """Whether the run that was executed last, with these records, ends with a finding that
        only one of the two has."""
        if self.latest is None or records[-1].finding is None:
            return False
        trace, _ = self.latest
        if len(records) != len(trace.scans):
            return False
        first, second = self.kinds(trace)
        return first is not second


class FindingInOne:
    """Asks whether a finding can come in one of the two alone; ``desk`` is served meanwhile."""

    def __init__(self, comparison: Comparison, desk: Dispatcher, options: Options) -> None:
        self._comparison = comparison
        self._case = CheckContext(comparison.specification, desk, options.effort)
        self._replayer = _Both(comparison)
        self._stops: Stops | None = None

    def answer(self) -> Stops:
        problem = self._case.questions.first_finding(self._unlike())
        self._case.desk.decide("a finding in one of the two alone", problem, 0, self._answered)
        self._case.desk.serve()
        if self._stops is None:
            raise InternalContradiction("findings in one of the two were never answered")
        return self._stops

    def _unlike(self) -> z3.BoolRef:
        """Some kind of finding is in this scan of one of the two and not in that of the other."""
        first, second = (self._terms(which) for which in (0, 1))
        no = z3.BoolVal(False)
        return z3.Or([first.get(kind, no) != second.get(kind, no) for kind in FindingKind])

    def _terms(self, which: int) -> dict[FindingKind, z3.BoolRef]:
        """For each kind of finding, that it is the first one in this scan of a program alone: its
        variables are those of the system in which both are."""
        spec = self._comparison.specification
        program = self._comparison.both.alone(which)
        encoding = encode(program, spec.clocking, spec.readings, spec.loop_bound)
        terms: dict[FindingKind, z3.BoolRef] = {}
        for finding, term in encoding.system.findings:
            terms[finding.kind] = z3.Or(terms.get(finding.kind, z3.BoolVal(False)), term)
        return terms

    def _answered(self, asked: QueryResult) -> None:
        match asked.answer:
            case Certified() as proof:
                certificate = self._case.certificate(proof)
                self._stops = Stops(Outcome.PROVED, certificate=certificate)
            case Unknown() as unknown:
                self._stops = Stops(Outcome.UNDECIDED, reason=unknown.reason)
            case Violated() as run:
                self._stops = self._replayed(self._case.trace(run))

    def _replayed(self, trace: Trace) -> Stops:
        replayer = self._replayer
        records = replayer.records(trace)
        if not replayer.one_stops(records) or not replayer.allowed(records):
            raise InternalContradiction(
                "a run to a finding in one of the two alone was found, but executed it is none"
            )
        trace = simplified(trace, replayer, replayer.one_stops)
        run = explained(trace, replayer.one_stops, replayer, None)
        return Stops(Outcome.VIOLATED, run=run, kinds=replayer.kinds(trace))
