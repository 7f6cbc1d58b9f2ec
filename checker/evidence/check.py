"""One specification from its program to its verdicts."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace

from checker.engine.worker import DEFAULT_MEGABYTES, Pool, StartMethod
from checker.evidence.assumption_check import AssumptionCheck
from checker.evidence.case import Case
from checker.evidence.desk import Desk
from checker.evidence.finding_check import FindingCheck
from checker.evidence.lag_check import LagCheck
from checker.evidence.needless import NeedlessAssumptions, Proof
from checker.evidence.output_check import OutputCheck
from checker.evidence.reading_warning import reading_warnings
from checker.evidence.requirement_check import RequirementCheck
from checker.evidence.verdict import FindingVerdict, Outcome, Report, Verdict
from checker.temporal.requirement import Aim, Specification

PRELOADED = ("cvc5", "checker.evidence.question")
_MOST_PROCESSES = 8

Progress = Callable[[str, int, int], None]
"""Told what was done last, how many requirements are decided, and how many there are."""


def _processors() -> int:
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


@dataclass(frozen=True)
class Options:
    """Limits. ``seconds`` is wall time for each question, ``memory`` megabytes for each process;
    ``start_method`` None is what the system does best. ``needless``: whether to look for
    assumptions that no requirement needs (of a spec that is asked as a whole)."""

    seconds: float = 60.0
    processes: int = field(default_factory=lambda: min(_processors(), _MOST_PROCESSES))
    start_method: StartMethod | None = None
    memory: int = DEFAULT_MEGABYTES
    needless: bool = True


def open_pool(options: Options, most: int | None = None) -> Pool:
    """Workers for ``check``, to be closed by the caller; ``most`` limits their number."""
    processes = min(options.processes, most or options.processes)
    return Pool(processes, options.start_method, options.memory, PRELOADED)


@contextmanager
def workers(options: Options, pool: Pool | None, most: int | None = None) -> Iterator[Pool]:
    """``pool``, which stays open and loses what it was asked where that fails; without one, a
    pool that is closed at the end."""
    if pool is None:
        with open_pool(options, most) as own:
            yield own
        return
    try:
        yield pool
    except BaseException:
        pool.drop()
        raise


def check(
    specification: Specification,
    options: Options | None = None,
    progress: Progress | None = None,
    pool: Pool | None = None,
) -> Report:
    """Every verdict on a specification, each with its evidence.

    ``pool`` is used where given, and stays open. InputError where the assumptions are not ones or
    leave no input; InternalContradiction where parts of the checker contradict each other.
    """
    options = options or Options()
    began = time.monotonic()
    # Workers come up while the system is built.
    with workers(options, pool, len(specification.requirements) + 1) as chosen:
        report = _Check(specification, chosen, options, progress).report()
    return replace(report, seconds=time.monotonic() - began)


def _settled(report: Report) -> bool:
    """Whether nothing in the report is left open."""
    answers: list[Verdict | FindingVerdict] = [*report.verdicts, *report.findings]
    return not any(a.outcome is Outcome.UNDECIDED or a.reason for a in answers)


class _Check:
    def __init__(
        self,
        specification: Specification,
        pool: Pool,
        options: Options,
        progress: Progress | None,
    ) -> None:
        self._specification = specification
        self._desk = Desk(pool, options.seconds)
        self._options = options
        self._progress = progress
        self._done = 0

    def report(self) -> Report:
        spec = self._specification
        case = Case(spec, self._desk, self._options.seconds)
        requirements = [RequirementCheck(each, case, self._decided) for each in spec.requirements]
        outputs = [OutputCheck(each, case) for each in spec.outputs]
        lags = [LagCheck(number, case) for number in range(len(spec.lags))]
        findings = FindingCheck(case)
        case.complete()
        assumptions = AssumptionCheck(case)
        assumptions.begin()
        questions: list[LagCheck | RequirementCheck | FindingCheck]
        questions = [*lags, *reversed(requirements), findings]
        for question in questions:
            question.begin()
        case.known.add_usual()
        for output in outputs:
            output.begin()
        self._desk.serve()
        findings.agree_with(case.seen_findings)
        report = Report(
            spec,
            tuple(each.verdict for each in requirements),
            findings=findings.verdicts,
            findings_excluded=findings.excluded,
            never_on=tuple(each.name for each in outputs if each.never),
            never_on_where={each.name: each.readings for each in outputs if each.readings},
            lags=tuple(each.measure for each in lags),
            warnings=tuple(warning for each in outputs for warning in each.warnings),
        )
        if assumptions.doubt:
            return _doubted(report, assumptions)
        report = replace(report, warnings=report.warnings + reading_warnings(report.verdicts))
        if not self._options.needless or not _settled(report):
            return report
        proofs = [
            Proof(problem, index, proof.clauses) for problem, index, proof in case.desk.proofs
        ]
        needless = NeedlessAssumptions(case, [*proofs, *(p for lag in lags for p in lag.proofs)])
        needless.begin()
        self._desk.serve()
        return replace(report, warnings=(*report.warnings, *needless.warnings))

    def _decided(self, verdict: Verdict) -> None:
        self._done += 1
        if self._progress is not None:
            identifier = verdict.requirement.identifier
            total = len(self._specification.requirements)
            self._progress(f"{identifier}: {verdict.outcome.value}", self._done, total)


def _doubted(report: Report, assumptions: AssumptionCheck) -> Report:
    """The report without what rests on assumptions that may contradict each other."""
    return replace(
        report,
        verdicts=tuple(doubted_verdict(each, assumptions.doubt) for each in report.verdicts),
        findings_excluded=0,
        never_on=(),
        never_on_where={},
        lags=tuple(replace(lag, bound=None) for lag in report.lags),
        warnings=(*report.warnings, assumptions.warning),
        doubt=assumptions.doubt,
    )


def doubted_verdict(verdict: Verdict, doubt: str) -> Verdict:
    """The verdict, UNDECIDED where it rests on assumptions that may contradict each other."""
    run = verdict.counterexample
    if run is not None and run.reading_decides:
        verdict = replace(verdict, counterexample=replace(run, reading_decides=False))
    shown = verdict.requirement.aim is Aim.REACHABLE and verdict.outcome is Outcome.PROVED
    if shown or verdict.outcome in (Outcome.VIOLATED, Outcome.UNDECIDED):
        return verdict
    return replace(verdict, outcome=Outcome.UNDECIDED, certificate=None, reason=doubt)
