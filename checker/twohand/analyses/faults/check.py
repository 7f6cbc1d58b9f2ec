"""A spec under every single fault, and under pairs of those that are not surely noticed."""

from __future__ import annotations

import time
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from twohand.analyses.check.check import check, doubted_verdict
from twohand.analyses.faults.cases import FaultAnalysis
from twohand.analyses.faults.judgement import only_asks_for_output, standing_of
from twohand.analyses.faults.requirements import after_fault
from twohand.analyses.faults.table import Cell, FaultRow, FaultTable, Standing
from twohand.engine.workers.pool import Pool
from twohand.evidence.checks.finding import FindingCheck
from twohand.evidence.checks.requirement import RequirementCheck
from twohand.evidence.context import CheckContext
from twohand.evidence.limits import Options, Progress, workers
from twohand.evidence.proofs.dispatcher import Dispatcher
from twohand.evidence.verdict import Outcome, Report, Verdict
from twohand.specification.model.fault import Fault, Kept
from twohand.specification.model.specification import Aim, Requirement

_AT_ONCE = 24
"""Faults (or pairs) whose questions are open at the same time."""


def check_faults(
    analysis: FaultAnalysis,
    options: Options,
    progress: Progress,
    pool: Pool,
    combine: bool = True,
) -> FaultTable:
    """The table of one spec. ``combine``: also pairs, where what is asked (or the lack of a
    statement about it) makes them matter.

    InputError and InternalContradiction as in ``check``.
    """
    began = time.monotonic()
    alone = replace(options, needless=False, causes=False)
    sound = check(replace(analysis.sound, lags=()), alone, progress, pool)
    with workers(options, pool):
        table = _Faults(analysis, sound, options, progress, pool).table(combine)
    return replace(table, seconds=time.monotonic() - began)


@dataclass
class _Faults:
    """``done`` of the ``total`` of rows have their answers."""

    analysis: FaultAnalysis
    sound: Report
    options: Options
    progress: Progress
    pool: Pool
    done: int = 0
    total: int = 0

    def table(self, combine: bool) -> FaultTable:
        analysis = self.analysis
        rows = self._rows([(fault,) for fault in analysis.faults])
        table = FaultTable(analysis, self.sound, rows)
        combine = combine and not self.pool.over
        if not combine or analysis.kept not in (Kept.KEPT_AND_NOTICED, Kept.NOT_STATED):
            return table
        return replace(table, pairs=self._rows(list(pairs_to_ask(rows))), combined=True)

    def _rows(self, asked: Sequence[tuple[Fault, ...]]) -> tuple[FaultRow, ...]:
        self.total += len(asked)
        rows: list[FaultRow] = []
        for start in range(0, len(asked), _AT_ONCE):
            desk = Dispatcher(self.pool, self.options.effort, self.options.seconds)
            open_rows = []
            for faults in asked[start : start + _AT_ONCE]:
                open_rows.append(_OpenRow(self, faults, desk))
                open_rows[-1].begin()
            desk.serve()
            rows += [row.row() for row in open_rows]
        return tuple(rows)


class _OpenRow:
    """A fault whose questions are being asked."""

    def __init__(self, table: _Faults, faults: tuple[Fault, ...], desk: Dispatcher) -> None:
        self._table = table
        self._faults = faults
        specification = table.analysis.under(*faults, in_order=True)
        self._specification = specification
        self._case = CheckContext(specification, desk, table.options.effort)
        self._asked = [r for r in specification.requirements if r.aim is Aim.HOLDS]
        single = len(faults) == 1
        if not single:
            self._asked = [r for r in self._asked if not only_asks_for_output(r, specification)]
        verdicts = table.sound.verdicts
        broken = {v.requirement.identifier for v in verdicts if v.outcome is Outcome.VIOLATED}
        self._open = 0
        self._checks = {
            requirement.identifier: self._checked(requirement)
            for requirement in self._asked
            if requirement.identifier not in broken
        }
        after = after_fault(specification)
        extras = [after.shows, after.stays_off, after.noticed] if single else []
        self._beside = [None if extra is None else self._checked(extra) for extra in extras]
        self._findings = FindingCheck(self._case)

    def _checked(self, requirement: Requirement) -> RequirementCheck:
        self._open += 1
        return RequirementCheck(requirement, self._case, self._decided, thorough=False)

    def _decided(self, _: Verdict) -> None:
        self._open -= 1
        if not self._open:
            table, title = self._table, " and ".join(fault.title for fault in self._faults)
            table.done += 1
            table.progress(title, table.done, table.total)

    def begin(self) -> None:
        beside = [extra for extra in self._beside if extra is not None]
        for each in (*reversed(self._checks.values()), *beside):
            each.begin()
        self._findings.begin()

    def row(self) -> FaultRow:
        """After the desk has served."""
        self._findings.agree_with(self._case.seen_findings)
        shows, stays_off, noticed = [
            None if each is None else self._trusted(each) for each in self._beside
        ] or (None, None, None)
        return FaultRow(
            self._faults,
            self._specification,
            tuple(self._cell(requirement) for requirement in self._asked),
            shows,
            stays_off,
            noticed,
            self._findings.verdicts,
        )

    def _cell(self, requirement: Requirement) -> Cell:
        asks = only_asks_for_output(requirement, self._specification)
        if requirement.identifier not in self._checks:
            return Cell(requirement, Standing.WITHOUT_FAULT, asks_for_output=asks)
        verdict = self._trusted(self._checks[requirement.identifier])
        standing = standing_of(verdict.outcome, asks, self._table.analysis.kept)
        return Cell(requirement, standing, verdict, asks)

    def _trusted(self, answered: RequirementCheck) -> Verdict:
        """The verdict, undecided where the assumptions may contradict each other."""
        doubt = self._table.sound.doubt
        return doubted_verdict(answered.verdict, doubt) if doubt else answered.verdict


def pairs_to_ask(rows: Iterable[FaultRow]) -> Iterator[tuple[Fault, Fault]]:
    """Every fault that may stay unnoticed, with each second one, where each alone keeps all."""
    kept = [row for row in rows if row.keeps]
    for first in kept:
        if first.surely_noticed:
            continue
        for second in kept:
            one, other = first.faults[0], second.faults[0]
            if one != other and not one.excludes(other):
                yield one, other
