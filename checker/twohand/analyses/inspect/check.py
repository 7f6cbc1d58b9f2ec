"""An inspection of a block, from its marks to the points of its report."""

from __future__ import annotations

import time
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field, replace

from twohand.analyses.inspect.answers import Asking, Ledger, PointAnswer
from twohand.analyses.inspect.kinds.early_reads import early_read, on_any_platform
from twohand.analyses.inspect.kinds.registry import registry_of
from twohand.analyses.inspect.kinds.skipped_call_check import SkippedCalls
from twohand.analyses.inspect.kinds.skipped_calls import unread_point
from twohand.analyses.inspect.kinds.unset_variables import acting_on, unset_variables
from twohand.analyses.inspect.marking.calls import Calls
from twohand.analyses.inspect.points import (
    InspectionKind,
    Point,
    Question,
    Status,
    Weight,
    place_of,
)
from twohand.analyses.inspect.subject import Subject
from twohand.engine.workers.pool import Pool
from twohand.evidence.checks.assumptions import AssumptionCheck
from twohand.evidence.checks.completion import CompletionCheck
from twohand.evidence.checks.finding import FindingCheck
from twohand.evidence.limits import Options, Progress, workers
from twohand.evidence.proofs.dispatcher import Dispatcher
from twohand.evidence.verdict import FindingVerdict, Outcome
from twohand.program import Program, Variable
from twohand.scan.finding import FindingKind
from twohand.specification.model.specification import Specification
from twohand.specification.phrases import count, way_out
from twohand.text.diagnostic import Diagnostic, InputError

_FOUND = frozenset({InspectionKind.FINDING, InspectionKind.EARLY_READ})
_NEVER_HAPPENS = (InspectionKind.DEAD_CODE, InspectionKind.CONSTANT_CONDITION)


@dataclass(frozen=True, eq=False)
class FoundPoint:
    """A point with its evidence: a replayed run of ``specification``'s program, or a proof.
    ``labels`` are the names under which the run's variables are shown."""

    point: Point
    answer: PointAnswer
    specification: Specification
    labels: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, eq=False)
class UnsetCause:
    """``variables`` are read, and nothing writes them; ``points`` are the faults that an inspection
    of the same block with those as inputs does not have, nor leaves undecided."""

    variables: tuple[Variable, ...]
    points: tuple[FoundPoint, ...]


@dataclass(frozen=True, eq=False)
class Inspection:
    """``found`` in the order of the text; ``kinds`` are those that were looked for; ``asked``
    counts the questions, ``excluded`` the places at which a finding was proved impossible.
    ``no_scan``: every run ends in a finding in its first scan, so that nothing is clean."""

    subject: Subject
    found: tuple[FoundPoint, ...]
    kinds: tuple[InspectionKind, ...]
    asked: int = 0
    excluded: int = 0
    warnings: tuple[Diagnostic, ...] = ()
    seconds: float = 0.0
    no_scan: bool = False
    cause: UnsetCause | None = None

    def of(self, *weights: Weight) -> list[FoundPoint]:
        return [each for each in self.found if each.point.weight in weights]


def inspect(
    subject: Subject,
    options: Options | None = None,
    progress: Progress | None = None,
    pool: Pool | None = None,
    kinds: Collection[InspectionKind] = tuple(InspectionKind),
) -> Inspection:
    """Everything that an inspection finds of the ``kinds`` asked for; parameters and errors as
    those of ``check``."""
    options = options or Options()
    began = time.monotonic()

    def say(text: str) -> None:
        if progress is not None:
            progress(text, 0, 0)

    with workers(options, pool) as chosen:
        desk = Dispatcher(chosen, options.effort, options.seconds)
        in_order = tuple(kind for kind in InspectionKind if kind in kinds)
        found = _inspected(subject, in_order, desk, options.effort, say)
        cause = _cause(found, desk, options.effort, say)
    return replace(found, cause=cause, seconds=time.monotonic() - began)


def _cause(
    found: Inspection, desk: Dispatcher, effort: float, say: Callable[[str], None]
) -> UnsetCause | None:
    """The variables without which what never happens could happen, if there are such."""
    subject = found.subject
    faults = [e for e in found.of(Weight.FAULT) if e.point.kind in _NEVER_HAPPENS]
    if found.no_scan or subject.again is None or not faults:
        return None
    places = [each.point.span for each in faults]
    unset = acting_on(unset_variables(subject), places, subject.routine)
    if not unset:
        return None
    say("asking again with what nothing writes as inputs")
    try:
        freed = subject.again([variable.name for variable in unset])
    except InputError:  # of names that no statement of a spec can have
        return None
    kinds = tuple(kind for kind in found.kinds if kind in _NEVER_HAPPENS)
    again = _inspected(freed, kinds, desk, effort, say)
    left = {place_of(e.point.span) for e in again.of(Weight.FAULT, Weight.OPEN)}
    gone = tuple(each for each in faults if place_of(each.point.span) not in left)
    return UnsetCause(tuple(unset), gone) if gone else None


def _inspected(
    subject: Subject,
    kinds: tuple[InspectionKind, ...],
    desk: Dispatcher,
    effort: float,
    say: Callable[[str], None],
) -> Inspection:
    subject = on_any_platform(subject, InspectionKind.EARLY_READ in kinds)
    spec, asked = subject.specification, registry_of(subject, kinds)
    together = replace(spec, program=asked.program)
    questions = [q for family in asked.families for q in family.questions()]
    say("running at random")
    ledger = Ledger(effort)

    def told(done: int, total: int) -> None:
        say(f"asking ({done} of {count(total, 'question')} answered)")

    asking = Asking(together, questions, desk, ledger, told)
    findings = FindingCheck(asking.case, ledger.left)
    assumptions = AssumptionCheck(asking.case)
    assumptions.begin()
    if not _FOUND.isdisjoint(kinds):
        findings.begin()
    told(len(asking.answers), len(questions))
    asking.go_on()
    desk.serve()
    while asking.go_on():
        desk.serve()
    statuses = {question: answer.status for question, answer in asking.answers.items()}
    points = [p for family in asked.families for p in family.points(statuses)]
    found = [FoundPoint(p, _evidence(p, asking.answers), together) for p in points]
    if asked.calls is not None and InspectionKind.SKIPPED_CALL in kinds:
        skipping = list(asked.calls.skipping(statuses))
        followed = [calls for calls in skipping if calls.outputs_read]
        work = SkippedCalls(subject, followed, desk, ledger)
        found += [_skipped(calls, work, together, say) for calls in skipping]
    completion = CompletionCheck(asking.case, findings.places)
    if not assumptions.doubt:
        completion.begin()
        desk.serve()
    if completion.never is not None:
        found = [each for each in found if not _rests_on_proof(each)]
    elif findings.verdicts:
        found = [_without_finding(each) for each in found]
    found += [
        FoundPoint(_finding(each, together.program), _answer(each), together)
        for each in findings.verdicts
    ]
    found = [each for each in found if each.point.kind in kinds]
    if assumptions.doubt:
        found = [_doubted(each, assumptions.doubt) for each in found]
    found.sort(key=lambda each: (each.point.span.source.path, each.point.span.start))
    warnings = (*spec.warnings, *((assumptions.warning,) if assumptions.doubt else ()))
    return Inspection(
        subject,
        tuple(found),
        kinds,
        len(questions),
        findings.excluded,
        (*warnings, *completion.warnings),
        no_scan=completion.never is not None,
    )


def _skipped(
    calls: Calls, work: SkippedCalls, together: Specification, say: Callable[[str], None]
) -> FoundPoint:
    if not calls.outputs_read:
        return FoundPoint(unread_point(calls), PointAnswer(Status.NEVER), together)
    say(f"{calls.name}: asking what a call left out does")
    return FoundPoint(*work.worst(calls))


def _evidence(point: Point, answers: Mapping[Question, PointAnswer]) -> PointAnswer:
    if point.question is None:
        return PointAnswer(Status.NEVER)
    return answers[point.question]


def _finding(verdict: FindingVerdict, program: Program) -> Point:
    if verdict.finding.kind is FindingKind.READ_UNSET:
        return early_read(verdict, program)
    happens = verdict.outcome is Outcome.VIOLATED
    kind = verdict.finding.kind.value
    sentence = (
        f"{kind} can happen here" if happens else f"whether {kind} can happen was not decided"
    )
    weight = Weight.FAULT if happens else Weight.OPEN
    no_result = "the scan has no defined result then" if happens else ""
    why = way_out(verdict.finding.kind, happens) or no_result
    asked = f"whether {kind} can happen at line {verdict.finding.span.line}"
    return Point(InspectionKind.FINDING, weight, sentence, verdict.finding.span, why, asked=asked)


def _answer(verdict: FindingVerdict) -> PointAnswer:
    status = Status.REACHED if verdict.outcome is Outcome.VIOLATED else Status.OPEN
    return PointAnswer(
        status, verdict.counterexample, reason=verdict.reason, hangs_on=verdict.hangs_on
    )


def _rests_on_proof(found: FoundPoint) -> bool:
    """Whether it is what scans never do, rather than what the text or a run shows."""
    return found.answer.status is Status.NEVER and found.point.question is not None


def _without_finding(found: FoundPoint) -> FoundPoint:
    """A point, limited where it rests on a proof: scans that end in a finding are not in it."""
    if not _rests_on_proof(found):
        return found
    sentence = f"{found.point.sentence}; scans that end in a finding aside"
    return replace(found, point=replace(found.point, sentence=sentence))


def _doubted(found: FoundPoint, doubt: str) -> FoundPoint:
    """A point, open where it rests on assumptions that may contradict each other."""
    if not _rests_on_proof(found):
        return found
    point = replace(found.point, weight=Weight.OPEN)
    return replace(found, point=point, answer=PointAnswer(Status.OPEN, reason=doubt))
