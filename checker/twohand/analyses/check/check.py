"""One specification from its program to its verdicts."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import count

from twohand.analyses.check.another_kind import with_another_kind
from twohand.analyses.check.lag import LagCheck
from twohand.analyses.check.late_calls import with_late_calls
from twohand.analyses.check.left_out_calls import with_left_out_calls
from twohand.analyses.check.readings import reading_warnings
from twohand.analyses.check.unused_assumptions import NeedlessAssumptions, Proof
from twohand.engine.workers.pool import Pool
from twohand.evidence.checks.assumptions import AssumptionCheck
from twohand.evidence.checks.branches import BranchCheck
from twohand.evidence.checks.completion import CompletionCheck
from twohand.evidence.checks.finding import FindingCheck
from twohand.evidence.checks.hands import HandsCheck
from twohand.evidence.checks.output import OutputCheck
from twohand.evidence.checks.requirement import ProvedRequirement, RequirementCheck
from twohand.evidence.context import CheckContext
from twohand.evidence.limits import Options, Progress, workers
from twohand.evidence.proofs.dispatcher import Dispatcher
from twohand.evidence.verdict import FindingVerdict, Outcome, Report, Verdict
from twohand.scan.finding import FindingKind
from twohand.specification.model.specification import Aim, Specification


def check(
    specification: Specification,
    options: Options | None = None,
    progress: Progress | None = None,
    pool: Pool | None = None,
    kept: list[ProvedRequirement] | None = None,
) -> Report:
    """Every verdict on a specification, each with its evidence.

    ``pool`` is used where given, and stays open; ``kept`` gets the proofs of the requirements.
    InputError where the assumptions are not ones or leave no input; InternalContradiction where
    parts of the checker contradict each other.
    """
    options = options or Options()
    began = time.monotonic()
    # Workers come up while the system is built.
    with workers(options, pool, len(specification.requirements) + 1) as chosen:
        desk = Dispatcher(chosen, options.effort, options.seconds)
        report = _report(specification, desk, options, progress, kept)
        if options.beyond and not report.doubt and _may_overflow(report):
            report = replace(report, beyond=_beyond(specification, chosen, options))
        if options.causes and not report.doubt and not report.findings:
            desk = Dispatcher(chosen, options.effort, options.seconds)
            verdicts = with_left_out_calls(report.verdicts, specification, desk, options.effort)
            verdicts = with_late_calls(verdicts, specification, desk, options.effort)
            report = replace(report, verdicts=verdicts)
        if options.another and not report.doubt and not report.findings:
            desk = Dispatcher(chosen, options.effort, options.seconds)
            verdicts = with_another_kind(report.verdicts, specification, desk, options.effort)
            report = replace(report, verdicts=verdicts)
    return replace(report, seconds=time.monotonic() - began)


def _may_overflow(report: Report) -> bool:
    return any(found.finding.kind is FindingKind.OVERFLOW for found in report.findings)


def _beyond(spec: Specification, pool: Pool, options: Options) -> Report:
    """The report as if an overflow wrapped around."""
    wrapping = replace(spec, readings=replace(spec.readings, integers_wrap=True))
    desk = Dispatcher(pool, options.effort, options.seconds)
    return _report(wrapping, desk, replace(options, needless=False), None)


def _settled(report: Report) -> bool:
    """Whether nothing in the report is left open."""
    answers: list[Verdict | FindingVerdict] = [*report.verdicts, *report.findings]
    return not any(a.outcome is Outcome.UNDECIDED or a.reason for a in answers)


def _report(
    spec: Specification,
    desk: Dispatcher,
    options: Options,
    progress: Progress | None,
    kept: list[ProvedRequirement] | None = None,
) -> Report:
    case = CheckContext(spec, desk, options.effort)
    tell = _teller(progress, len(spec.requirements))
    requirements = [RequirementCheck(each, case, tell) for each in spec.requirements]
    outputs = [OutputCheck(each, case) for each in spec.outputs]
    hands = HandsCheck(case)
    lags = [LagCheck(number, case) for number in range(len(spec.lags))]
    findings = FindingCheck(case)
    assumptions = AssumptionCheck(case)
    assumptions.begin()
    questions: list[LagCheck | RequirementCheck | FindingCheck]
    questions = [*lags, *reversed(requirements), findings]
    for question in questions:
        question.begin()
    case.known.add_usual()
    hands.begin()
    for output in outputs:
        output.begin()
    branches = BranchCheck(case)
    branches.begin()
    desk.serve()
    hands.refuse()
    findings.agree_with(case.seen_findings)
    if kept is not None:
        kept += [each.proved for each in requirements if each.proved is not None]
    report = Report(
        spec,
        tuple(each.verdict for each in requirements),
        findings=findings.verdicts,
        findings_excluded=findings.excluded,
        never_on=tuple(each.name for each in outputs if each.never),
        never_on_where={each.name: each.readings for each in outputs if each.readings},
        never_on_why={each.name: each.never_true for each in outputs if each.never_true},
        on_after_finding=tuple(each.name for each in outputs if each.after_finding),
        lags=tuple(each.measure for each in lags),
        warnings=(*hands.warnings, *(w for output in outputs for w in output.warnings)),
        branches=branches.executed,
    )
    if assumptions.doubt:
        return _doubted(report, assumptions)
    completion = CompletionCheck(case, findings.places)
    completion.begin()
    desk.serve()
    if completion.never is not None:
        return _without_scans(report, completion)
    report = replace(report, warnings=report.warnings + reading_warnings(report.verdicts))
    if not options.needless or not _settled(report):
        return report
    return _without_needless(report, case, [proof for lag in lags for proof in lag.proofs])


def _teller(progress: Progress | None, total: int) -> Callable[[Verdict], None]:
    """Tells of each verdict as it comes."""
    done = count(1)

    def tell(verdict: Verdict) -> None:
        if progress is not None:
            text = f"{verdict.requirement.identifier}: {verdict.outcome.value}"
            progress(text, next(done), total)

    return tell


def _without_needless(report: Report, case: CheckContext, of_lags: Sequence[Proof]) -> Report:
    """The report, with warnings of assumptions that none of the proofs needs."""
    proofs = [Proof(problem, index, proof.clauses) for problem, index, proof in case.desk.proofs]
    needless = NeedlessAssumptions(case, [*proofs, *of_lags])
    needless.begin()
    case.desk.serve()
    return replace(report, warnings=(*report.warnings, *needless.warnings))


def _without_scans(report: Report, completion: CompletionCheck) -> Report:
    """The report where no scan completes."""
    return replace(
        report,
        verdicts=completion.emptied(report.verdicts),
        lags=tuple(replace(lag, bound=None) for lag in report.lags),
        warnings=(*report.warnings, *completion.warnings),
    )


def _doubted(report: Report, assumptions: AssumptionCheck) -> Report:
    """The report without what rests on assumptions that may contradict each other."""
    return replace(
        report,
        verdicts=tuple(doubted_verdict(each, assumptions.doubt) for each in report.verdicts),
        findings_excluded=0,
        never_on=(),
        never_on_where={},
        on_after_finding=(),
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
