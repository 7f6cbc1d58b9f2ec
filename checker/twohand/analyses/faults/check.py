"""A spec under every single fault, and under pairs of those that are not surely noticed."""

from __future__ import annotations

import time
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from twohand.analyses.check.check import check, doubted_verdict
from twohand.analyses.faults.cases import FaultAnalysis
from twohand.analyses.faults.judgement import (
    COURSES,
    answer_of,
    only_asks_for_output,
    standing_of,
)
from twohand.analyses.faults.requirements import NOTICED, OFF_AFTER, SHOWS, after_fault
from twohand.analyses.faults.table import Cell, FaultRow, FaultTable, Standing
from twohand.engine.workers.pool import Pool
from twohand.evidence.checks.finding import FindingCheck
from twohand.evidence.checks.requirement import ALONE, RequirementCheck
from twohand.evidence.context import CheckContext
from twohand.evidence.limits import Options, Progress, workers
from twohand.evidence.proofs.dispatcher import Dispatcher
from twohand.evidence.verdict import FindingVerdict, Outcome, Report, Verdict
from twohand.scan.finding import same
from twohand.specification.model.fault import Fault, FaultCourse, Kept
from twohand.specification.model.specification import Aim, Requirement, Specification
from twohand.typecheck.reals.uncomputed import refuse_uncomputed

_AT_ONCE = 24
"""Faults (or pairs) whose questions are open at the same time."""
_ORDER = (FaultCourse.OFTEN, FaultCourse.STAYS, FaultCourse.ONCE)
"""Most is proved of faults that come and go, and so of all; what is not is asked of those that
stay, and only what is kept there of those that end once."""
Key = tuple[bool, str]
"""Whether it is asked beside the requirements, and its identifier."""


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
    refuse_uncomputed(analysis.sound.program, "a table of faults")
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
        rows: list[FaultRow] = []
        for start in range(0, len(asked), _AT_ONCE):
            open_rows = [_OpenRow(self, faults) for faults in asked[start : start + _AT_ONCE]]
            for course in _ORDER:
                desk = Dispatcher(self.pool, self.options.effort, self.options.seconds)
                questions = [row.questions(course, desk) for row in open_rows]
                for each in filter(None, questions):
                    each.begin()
                desk.serve()
                for row, answered in zip(open_rows, questions, strict=True):
                    row.note(course, answered)
            rows += [row.row() for row in open_rows]
        return tuple(rows)

    def trusted(self, verdict: Verdict) -> Verdict:
        """The verdict, undecided where the assumptions may contradict each other."""
        return doubted_verdict(verdict, self.sound.doubt) if self.sound.doubt else verdict


class _Questions:
    """What is asked of a fault with one course, or of two at once: requirements, and findings."""

    def __init__(
        self,
        table: _Faults,
        specification: Specification,
        wanted: Mapping[Key, Requirement],
        findings: bool,
        desk: Dispatcher,
    ) -> None:
        self.specification = specification
        self._table = table
        self._case = CheckContext(specification, desk, table.options.effort)
        self._open = len(wanted)
        table.total += bool(wanted)
        self._checks = {
            key: RequirementCheck(requirement, self._case, self._decided, ALONE)
            for key, requirement in wanted.items()
        }
        self._findings = FindingCheck(self._case)
        self._asks_findings = findings

    def _decided(self, _: Verdict) -> None:
        self._open -= 1
        if not self._open:
            table, assumed = self._table, self.specification.assumed_faults
            title = " and ".join(fault.title for fault in assumed.faults) if assumed else ""
            table.done += 1
            table.progress(title, table.done, table.total)

    def begin(self) -> None:
        for each in self._checks.values():
            each.begin()
        if self._asks_findings:
            self._findings.begin()

    @property
    def verdicts(self) -> Mapping[Key, Verdict]:
        return {key: self._table.trusted(each.verdict) for key, each in self._checks.items()}

    def findings(self, excluded: bool) -> tuple[FindingVerdict, ...] | None:
        """None where they were not asked, and are not ``excluded`` either."""
        if not self._asks_findings and not excluded:
            return None
        self._findings.agree_with(self._case.seen_findings)
        return self._findings.verdicts


class _OpenRow:
    """A fault, or two at once, whose questions are being asked."""

    def __init__(self, table: _Faults, faults: tuple[Fault, ...]) -> None:
        self._table = table
        self._faults = faults
        self._single = len(faults) == 1
        verdicts = table.sound.verdicts
        self._broken = {v.requirement.identifier for v in verdicts if v.outcome is Outcome.VIOLATED}
        self._answers: dict[Key, dict[FaultCourse, Verdict]] = {}
        self._findings: dict[FaultCourse, tuple[FindingVerdict, ...]] = {}
        self._specifications: dict[FaultCourse, Specification] = {}

    def questions(self, course: FaultCourse, desk: Dispatcher) -> _Questions | None:
        """What is not known yet; None where all is."""
        if course is not FaultCourse.STAYS and not self._single:
            return None
        findings = self._asks_findings(course)
        if course is FaultCourse.ONCE and not findings and self._once_is_known:
            return None
        faults = (fault.as_it(course) for fault in self._faults)
        specification = self._table.analysis.under(*faults, in_order=True)
        self._specifications[course] = specification
        asked = self._asked(course, specification)
        answers = self._answers
        wanted = {k: asked[k] for k in asked if answer_of(course, answers.get(k, {})) is None}
        return _Questions(self._table, specification, wanted, findings, desk)

    @property
    def _once_is_known(self) -> bool:
        asked = (each for each in self._answers.values() if FaultCourse.OFTEN in each)
        return all(answer_of(FaultCourse.ONCE, each) is not None for each in asked)

    def _asks_findings(self, course: FaultCourse) -> bool:
        often = self._findings.get(FaultCourse.OFTEN)
        if course is not FaultCourse.ONCE:
            return often is None or bool(often)
        happen = [
            f.finding for f in self._findings[FaultCourse.STAYS] if f.outcome is Outcome.VIOLATED
        ]
        return any(not any(same(each.finding, one) for one in happen) for each in often or ())

    def _asked(self, course: FaultCourse, specification: Specification) -> dict[Key, Requirement]:
        """A fault that ends is not asked for the output: it may fail to go on while it is there."""
        own = [r for r in specification.requirements if r.aim is Aim.HOLDS]
        if course is not FaultCourse.STAYS or not self._single:
            own = [r for r in own if not only_asks_for_output(r, specification)]
        beside = after_fault(specification).all if self._single else []
        if course is not FaultCourse.STAYS:
            beside = [each for each in beside if each.aim is Aim.HOLDS]
        asked = {(False, r.identifier): r for r in own if r.identifier not in self._broken}
        return asked | {(True, each.identifier): each for each in beside}

    def note(self, course: FaultCourse, answered: _Questions | None) -> None:
        """After the desk has served."""
        if answered is None:
            return
        for key, verdict in answered.verdicts.items():
            self._answers.setdefault(key, {})[course] = verdict
        found = answered.findings(excluded=self._findings.get(FaultCourse.OFTEN) == ())
        if found is not None:
            self._findings[course] = found

    def row(self) -> FaultRow:
        ending = [self._of(course) for course in COURSES[1:]] if self._single else []
        return replace(self._of(FaultCourse.STAYS), ending=tuple(ending))

    def _of(self, course: FaultCourse) -> FaultRow:
        stays = self._specifications[FaultCourse.STAYS]
        specification = self._specifications.get(course, stays)
        own = [r for r in stays.requirements if r.aim is Aim.HOLDS]
        cells = [self._cell(course, each) for each in own]
        return FaultRow(
            tuple(fault.as_it(course) for fault in self._faults),
            specification,
            tuple(cell for cell in cells if cell is not None),
            self._beside(course, SHOWS) if course is FaultCourse.STAYS else None,
            self._beside(course, OFF_AFTER),
            self._beside(course, NOTICED),
            self._findings.get(course, self._findings[FaultCourse.STAYS]),
        )

    def _beside(self, course: FaultCourse, identifier: str) -> Verdict | None:
        return answer_of(course, self._answers.get((True, identifier), {}))

    def _cell(self, course: FaultCourse, requirement: Requirement) -> Cell | None:
        """None for what is not asked."""
        asks = only_asks_for_output(requirement, self._specifications[FaultCourse.STAYS])
        if asks and (course is not FaultCourse.STAYS or not self._single):
            return None
        if requirement.identifier in self._broken:
            return Cell(requirement, Standing.WITHOUT_FAULT, asks_for_output=asks)
        verdict = answer_of(course, self._answers[(False, requirement.identifier)])
        assert verdict is not None
        standing = standing_of(verdict.outcome, asks, self._table.analysis.kept)
        return Cell(requirement, standing, verdict, asks)


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
