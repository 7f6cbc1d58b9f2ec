"""One specification from its program to its figures."""

from __future__ import annotations

import time
from collections.abc import Callable, Collection
from dataclasses import replace

from twohand.analyses.measure.check import QuantityCheck
from twohand.analyses.measure.figures import Figure, FigureKind, figures_of
from twohand.analyses.measure.results import (
    Amount,
    Decision,
    FigureResult,
    Measurement,
    MeasureReport,
)
from twohand.engine.workers.pool import Pool
from twohand.evidence.checks.assumptions import AssumptionCheck
from twohand.evidence.checks.finding import FindingCheck
from twohand.evidence.context import CheckContext
from twohand.evidence.limits import Options, Progress, workers
from twohand.evidence.proofs.dispatcher import Dispatcher
from twohand.program.durations import Scans, Units
from twohand.specification.model.specification import Specification
from twohand.typecheck.reals.uncomputed import refuse_uncomputed

_IN_SCANS = (FigureKind.REACTION, FigureKind.STOP, FigureKind.BETWEEN_STARTS)
"""Figures that are counted in scans as well, where the scan time is a range."""
_SCANS_EFFORT = 5.0
"""For the number of scans, which bounds nothing that the time does not bound better."""


def measure(
    specification: Specification,
    options: Options | None = None,
    progress: Progress | None = None,
    pool: Pool | None = None,
    kinds: Collection[FigureKind] = tuple(FigureKind),
) -> MeasureReport:
    """Every figure of these ``kinds``, each with its evidence; none where the spec has no output.

    ``pool`` is used where given, and stays open. InputError where the assumptions are not ones or
    leave no input; InternalContradiction where parts of the checker contradict each other.
    """
    options = options or Options()
    began = time.monotonic()
    refuse_uncomputed(specification.program, "a figure")
    with workers(options, pool) as chosen:
        report = _measured(specification, chosen, options, progress, kinds)
    return replace(report, seconds=time.monotonic() - began)


class FigureCheck:
    """One figure: its time, and where the scan time is a range also its scans, which are asked
    for once the time is known to have a limit."""

    def __init__(
        self, figure: Figure, case: CheckContext, decided: Callable[[Figure], None]
    ) -> None:
        self._figure = figure
        self._decided = decided
        self._time = QuantityCheck(figure.identifier, figure.time, case, Units)
        self._scans: QuantityCheck[Scans] | None = None
        self._counted = False
        if not case.specification.clocking.fixed and figure.kind in _IN_SCANS:
            name = f"{figure.identifier}, in scans"
            self._scans = QuantityCheck(name, figure.scans, case, Scans, _SCANS_EFFORT)

    def begin(self) -> None:
        self._time.begin(self._timed)

    def _timed(self, measurement: Measurement[Units]) -> None:
        if self._scans is not None and measurement.decision is Decision.EXACT:
            self._counted = True
            self._scans.begin(lambda _: self._decided(self._figure))
        else:
            self._decided(self._figure)

    @property
    def result(self) -> FigureResult:
        scans = self._scans.measurement if self._scans is not None and self._counted else None
        return FigureResult(self._figure, self._time.measurement, scans)


def _measured(
    specification: Specification,
    pool: Pool,
    options: Options,
    progress: Progress | None,
    kinds: Collection[FigureKind],
) -> MeasureReport:
    desk = Dispatcher(pool, options.effort, options.seconds)
    case = CheckContext(specification, desk, options.effort)
    figures = [figure for figure in figures_of(specification) if figure.kind in kinds]
    done = 0

    def decided(figure: Figure) -> None:
        nonlocal done
        done += 1
        if progress is not None:
            progress(figure.identifier, done, len(figures))

    checks = [FigureCheck(figure, case, decided) for figure in figures]
    findings = FindingCheck(case)
    assumptions = AssumptionCheck(case)
    assumptions.begin()
    findings.begin()
    for check in checks:
        check.begin()
    desk.serve()
    findings.agree_with(case.seen_findings)
    results = tuple(check.result for check in checks)
    if not assumptions.doubt:
        return MeasureReport(specification, results, findings.verdicts)
    doubted = tuple(_doubted(result, assumptions.doubt) for result in results)
    return MeasureReport(specification, doubted, findings.verdicts, (assumptions.warning,))


def _doubted(result: FigureResult, doubt: str) -> FigureResult:
    """The figure without what is proved of it."""

    def unproved(measured: Measurement[Amount]) -> Measurement[Amount]:
        if measured.decision is Decision.NO_LIMIT:
            return measured
        return replace(
            measured,
            decision=Decision.UNDECIDED,
            bound=None,
            certificate=None,
            otherwise=None,
            reason=doubt,
        )

    scans = None if result.scans is None else unproved(result.scans)
    return replace(result, time=unproved(result.time), scans=scans)
