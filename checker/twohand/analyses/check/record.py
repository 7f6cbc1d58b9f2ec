"""The report of a check as plain data."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from twohand.analyses.check.exit_code import report_code
from twohand.evidence.runs.causes import variables_of
from twohand.evidence.runs.same_runs import firsts_of_violations
from twohand.evidence.verdict import (
    AnotherKind,
    Certificate,
    ExecutedBranches,
    LagMeasure,
    LateCall,
    LeftOutCall,
    Outcome,
    Report,
    Vacuity,
    Verdict,
    WhyMissed,
)
from twohand.record.finding import FindingResult, finding_results
from twohand.record.judged import Judged
from twohand.record.message import FilePlace, Message, messages_of, place_in_file
from twohand.record.run import Choices, Run, choices_of, nanoseconds_of, run_of
from twohand.record.spans import TimeSpan, time_spans
from twohand.record.spec import AskedRequirement, LoadedSpec, asked_requirement, loaded_spec
from twohand.report.beyond_findings import IfWrapped, if_wrapped
from twohand.report.cautions import caution_texts
from twohand.report.coverage import NotAsked, not_asked, subjects_not_asked
from twohand.report.exit_code import worst
from twohand.report.summary import all_warnings
from twohand.scan.clocking import Clocking
from twohand.specification.model.specification import Specification


@dataclass(frozen=True)
class CallLeftOut:
    """A call of the timer, edge block or counter ``name`` that so many ``scans`` of the run leave
    out. With it made at the end of every such scan (``how``: 'with IN FALSE') the requirement is
    proved, for all runs."""

    name: str
    place: FilePlace
    how: str
    scans: int


@dataclass(frozen=True)
class CallTooLate:
    """A call of the instance ``name`` behind the statement that reads it, at ``read``. With the
    call before that statement the requirement is proved, for all runs."""

    name: str
    place: FilePlace
    read: FilePlace


@dataclass(frozen=True)
class AnotherWay:
    """Whether a requirement is violated in another way than by its run: by this ``run``, of which
    ``seen`` says when, and ``words`` what is other in its last scan. Without one, ``words`` are
    what is proved of the scan in which any run violates it for the first time, and ``reason`` says
    what stopped the search ('' where it is proved that there is no other way)."""

    run: Run | None
    seen: str
    words: tuple[str, ...]
    reason: str


@dataclass(frozen=True)
class Grounds:
    """What an answer is true under: the ``assumptions`` of the spec, as written (a proof may need
    fewer; a warning names those that no answer needs), the readings that are ``fixed``, and those
    that are ``open``: what is proved is proved under every choice of them."""

    assumptions: tuple[str, ...]
    fixed: Choices
    open: tuple[str, ...]


@dataclass(frozen=True)
class RequirementResult:
    """The answer to ``asked``.

    PROVED: for all time, with the ``certificate``; of what has to be reachable: ``witness`` is the
    run that reaches it. VIOLATED: by the ``run``; ``seen`` says when, what was seen and what was
    asked. VACUOUS: proved, but what it speaks of can never happen (what has to be reachable never
    is), under these ``readings``, or under all where there are none; or it says nothing for another
    reason (``vacuity``, None where it is not VACUOUS). UNDECIDED: the ``reason`` says
    what stopped the search, which had seen all runs of up to ``searched_scans`` scans and of up to
    ``searched_events`` changes of inputs.

    A ``reason`` with PROVED is no pass: it is open whether the requirement speaks of anything.
    Where it does, ``witness`` is a run that reaches what it speaks of.
    """

    asked: AskedRequirement
    outcome: Outcome
    reason: str
    seen: str
    run: Run | None
    spans: tuple[TimeSpan, ...]
    """Bounds of time of the requirement, on the axis of the ``run``."""
    witness: Run | None
    certificate: Certificate | None
    readings: Choices
    searched_scans: int
    searched_events: int
    vacuity: Vacuity | None
    never_true: tuple[str, ...]
    """Of what is never reached, the conditions that are proved never TRUE, as in the spec."""
    same_run_as: str
    """The first requirement that is violated by the very same run; '' where that is this one."""
    call_left_out: CallLeftOut | None
    """The cause of a violation, where it is known to be this."""
    call_too_late: CallTooLate | None
    """The same, of a call that is made and comes too late."""
    another: AnotherWay | None
    """Where it is violated and ``another`` was asked for."""
    candidate: Run | None
    """Where it is UNDECIDED: a run that decides it only if what comes of REALs is as it shows."""
    hangs_on: tuple[str, ...]
    """What nobody computes of REALs and the answer hangs on, as it is written."""
    cause: FilePlace | None
    """Where it is violated: the place in the program to look at first. The call that is left out
    or too late, where that is known to be the cause; else the statement that last wrote what the
    requirement speaks of (an output before others). None where no statement wrote any of it."""
    rests_on: Grounds

    @property
    def name(self) -> str:
        return self.asked.name

    @property
    def as_expected(self) -> bool:
        """Whether it came out as EXPECT states (PROVED where it states nothing)."""
        return self.outcome.value == self.asked.expected.value


@dataclass(frozen=True)
class WrappedResult:
    """What becomes of the requirement of this ``name`` if an overflow wraps around; where it falls,
    ``seen`` says when, and ``run`` shows it. It is no proof of what the block does."""

    name: str
    word: IfWrapped
    seen: str
    run: Run | None


@dataclass(frozen=True)
class LagResult:
    """The widest lag, in nanoseconds, between the presses of a station that still starts the
    output: ``reached`` as sampled by a replayed run, and proved never to exceed ``bound``; None
    where there is none. True lags of such starts are less than ``true_bound`` (None where no bound
    is proved)."""

    station: str
    reached: int | None
    bound: int | None
    true_bound: int | None


@dataclass(frozen=True)
class NeverOn:
    """An output that is proved never to turn on, or only after a finding, under these ``readings``
    (empty: under all)."""

    output: str
    readings: Choices


@dataclass(frozen=True)
class BranchMissed:
    """A branch of a scan along which nothing was executed: what would have happened, the place
    where, and why."""

    words: str
    place: FilePlace
    why: WhyMissed


@dataclass(frozen=True)
class BranchesResult:
    """How many branches a scan of the text has; along all but those ``missed`` it was executed,
    from any state, and was as its model."""

    total: int
    missed: tuple[BranchMissed, ...]


@dataclass(frozen=True)
class CheckedSpec(Judged):
    """Everything that one spec's check found. ``doubt`` says why nothing is said to be proved
    (its assumptions may contradict each other); '' where that is not so. ``findings_excluded``
    counts the places at which a finding was proved impossible (until one of ``findings`` happens).
    ``branches`` says along how many of them the text was executed and was as its model.
    ``off_until_finding`` are outputs that only a finding keeps from turning on. ``not_asked`` is
    what no requirement speaks of or depends on. ``if_it_wraps`` is what becomes of each requirement
    if an overflow wraps around, where that was asked and an overflow may happen.
    ``subjects_not_asked`` are what a machine usually needs and no word of the spec asks for; a
    PROPERTY may ask for such a thing in its own way."""

    spec: LoadedSpec
    requirements: tuple[RequirementResult, ...]
    findings: tuple[FindingResult, ...]
    findings_excluded: int
    never_on: tuple[NeverOn, ...]
    off_until_finding: tuple[NeverOn, ...]
    lags: tuple[LagResult, ...]
    warnings: tuple[Message, ...]
    doubt: str
    not_asked: NotAsked
    if_it_wraps: tuple[WrappedResult, ...]
    branches: BranchesResult
    subjects_not_asked: tuple[str, ...]

    def __getitem__(self, name: str) -> RequirementResult:
        """The requirement of this name; KeyError where there is none."""
        for each in self.requirements:
            if each.name == name:
                return each
        raise KeyError(name)


@dataclass(frozen=True)
class CheckResult(Judged):
    """The specs of one file, in their order; ``cautions`` are what no verdict says."""

    specs: tuple[CheckedSpec, ...]
    cautions: tuple[str, ...]


def check_result(reports: Sequence[Report]) -> CheckResult:
    return CheckResult(
        worst(report_code(report) for report in reports),
        tuple(checked_spec(report) for report in reports),
        tuple(caution_texts([report.specification for report in reports])),
    )


def checked_spec(report: Report) -> CheckedSpec:
    specification, firsts = report.specification, firsts_of_violations(report.verdicts)
    return CheckedSpec(
        report_code(report),
        loaded_spec(specification),
        tuple(
            requirement_result(each, specification, firsts.get(each.requirement.identifier, ""))
            for each in report.verdicts
        ),
        finding_results(report.findings, specification),
        report.findings_excluded,
        _off(report.never_on, report),
        _off(report.on_after_finding, report),
        tuple(_lag(lag, specification.clocking) for lag in report.lags),
        messages_of(all_warnings(report)),
        report.doubt,
        not_asked(specification),
        ()
        if report.beyond is None
        else tuple(_wrapped(each, report.beyond) for each in report.beyond.verdicts),
        _branches(report.branches),
        subjects_not_asked(specification),
    )


def requirement_result(
    verdict: Verdict, specification: Specification, same_run_as: str
) -> RequirementResult:
    return RequirementResult(
        asked_requirement(verdict.requirement, specification),
        verdict.outcome,
        verdict.reason,
        verdict.seen,
        run_of(verdict.counterexample, specification),
        time_spans(verdict.requirement.property, verdict.counterexample, specification.clocking),
        run_of(verdict.witness, specification),
        verdict.certificate,
        choices_of(verdict.readings),
        verdict.scans,
        verdict.events,
        verdict.vacuity if verdict.outcome is Outcome.VACUOUS else None,
        verdict.never_true,
        same_run_as,
        _left_out(verdict.left_out),
        _too_late(verdict.late),
        _another(verdict.another, specification),
        run_of(verdict.candidate, specification),
        verdict.hangs_on,
        _cause(verdict),
        Grounds(
            tuple(each.span.text for each in specification.assumptions),
            choices_of(specification.readings.stated),
            specification.readings.open,
        ),
    )


def _cause(verdict: Verdict) -> FilePlace | None:
    call = verdict.left_out or verdict.late
    if call is not None:
        return place_in_file(call.span)
    run = verdict.counterexample
    if run is None or not run.causes:
        return None
    spoken = {variable.name for variable in variables_of(verdict.requirement.property)}
    chosen = next((name for name in run.causes if name in spoken), next(iter(run.causes)))
    return place_in_file(run.causes[chosen])


def _another(another: AnotherKind | None, specification: Specification) -> AnotherWay | None:
    if another is None:
        return None
    run = run_of(another.run, specification)
    return AnotherWay(run, another.seen, another.words, another.reason)


def _left_out(call: LeftOutCall | None) -> CallLeftOut | None:
    if call is None:
        return None
    return CallLeftOut(call.name, place_in_file(call.span), call.words, call.scans)


def _too_late(call: LateCall | None) -> CallTooLate | None:
    if call is None:
        return None
    return CallTooLate(call.name, place_in_file(call.span), place_in_file(call.read))


def _wrapped(verdict: Verdict, report: Report) -> WrappedResult:
    run = run_of(verdict.counterexample, report.specification)
    name = verdict.requirement.identifier
    return WrappedResult(name, if_wrapped(verdict), verdict.seen, run)


def _off(names: Sequence[str], report: Report) -> tuple[NeverOn, ...]:
    where = report.never_on_where
    return tuple(NeverOn(name, choices_of(where.get(name, {}))) for name in names)


def _branches(branches: ExecutedBranches) -> BranchesResult:
    missed = (BranchMissed(e.words, place_in_file(e.span), e.why) for e in branches.missed)
    return BranchesResult(branches.total, tuple(missed))


def _lag(lag: LagMeasure, clocking: Clocking) -> LagResult:
    return LagResult(
        lag.station,
        nanoseconds_of(lag.reached, clocking),
        nanoseconds_of(lag.bound, clocking),
        nanoseconds_of(lag.true_bound, clocking),
    )
