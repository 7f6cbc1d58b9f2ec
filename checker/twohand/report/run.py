"""A run in full: the sentence, the diagram, the table, and the source line that acted."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from twohand.evidence.runs.same_runs import firsts_of_runs
from twohand.evidence.verdict import (
    AnotherKind,
    Counterexample,
    FindingVerdict,
    LateCall,
    LeftOutCall,
    Outcome,
    Report,
    Verdict,
)
from twohand.report.drawing.lanes import LaneGroup, Picture, lanes_of
from twohand.report.drawing.readings import reading_sentence, values_sentence
from twohand.report.drawing.source_line import address, file_and_line, marked_line
from twohand.report.drawing.table import table_lines
from twohand.report.drawing.terminal import Paint, Terminal
from twohand.report.drawing.timing_diagram import diagram_lines
from twohand.report.verdict_line import another_sentence, hanging, outcome_word
from twohand.specification.model.specification import Requirement, Specification
from twohand.specification.phrases import count, duration, way_out
from twohand.text.source_text import Span


@dataclass(frozen=True)
class SharedRun:
    """``first``: the requirement for which this very run is drawn already, '' where there is none.
    ``also``: the requirements whose run this is, too, and ``causes`` what acted for them."""

    first: str = ""
    also: tuple[Requirement, ...] = ()
    causes: Mapping[str, Span] = field(default_factory=dict)


ALONE = SharedRun()


def shared_runs(
    verdicts: Sequence[Verdict], run_of: Callable[[Verdict], Counterexample | None]
) -> list[SharedRun]:
    """For each verdict with which others it has its run in common."""
    names = [verdict.requirement.identifier for verdict in verdicts]
    runs = [run_of(verdict) for verdict in verdicts]
    firsts = firsts_of_runs(zip(names, runs, strict=True))
    found = []
    for name in names:
        others = [n for n, other in enumerate(names) if firsts.get(other) == name]
        also = tuple(verdicts[number].requirement for number in others)
        causes = {k: span for n in others if (run := runs[n]) for k, span in run.causes.items()}
        found.append(SharedRun(firsts.get(name, ""), also, causes))
    return found


def shared_run_lines(
    run: Counterexample,
    shared: SharedRun,
    specification: Specification,
    requirement: Requirement,
    terminal: Terminal,
    mark: str,
    whole: bool,
) -> list[str]:
    """A run that is drawn once for all whose run it is: in full, or where it is to be found."""
    if shared.first:
        said = reading_sentence(run.readings, run.reading_decides)
        lines = terminal.wrap(said, 2) if said else []
        return [*lines, *terminal.wrap(f"the same run as for {shared.first}", 2)]
    run = replace(run, causes={**run.causes, **shared.causes})
    return run_lines(run, specification, requirement, terminal, mark, whole, shared.also)


def violation_lines(
    verdict: Verdict,
    report: Report,
    terminal: Terminal,
    whole: bool = False,
    shared: SharedRun = ALONE,
) -> list[str]:
    """A violated requirement in full."""
    run = verdict.counterexample
    if verdict.candidate is not None:
        return _candidate_lines(verdict, verdict.candidate, report, terminal, whole)
    if run is None:
        return []
    requirement, spec = verdict.requirement, report.specification
    title = f"{requirement.identifier}: {outcome_word(verdict)}"
    time = duration(run.records[-1].time, spec.clocking)
    broken = f"broken after {count(run.scans, 'scan')}, at {time}"
    lines = [terminal.heading(title), *terminal.wrap(verdict.seen or broken, 2)]
    if requirement.authority:
        lines += terminal.wrap(f"source: {requirement.authority}", 2, 10)
    lines += shared_run_lines(run, shared, spec, requirement, terminal, "wrong", whole)
    if verdict.left_out is not None:
        lines += ["", *_left_out(verdict.left_out, terminal)]
    if verdict.late is not None:
        lines += ["", *_late(verdict.late, terminal)]
    if verdict.another is not None:
        lines += ["", *_another(verdict.another, verdict, report, terminal, whole)]
    return lines


def _candidate_lines(
    verdict: Verdict, run: Counterexample, report: Report, terminal: Terminal, whole: bool
) -> list[str]:
    """A run that need not be one of the machine."""
    title = f"{verdict.requirement.identifier}: {outcome_word(verdict)}"
    lines = [terminal.heading(title), *terminal.wrap(f"{hanging(verdict)}: {verdict.reason}", 2)]
    spec, mark = report.specification, "if so"
    return [*lines, *run_lines(run, spec, verdict.requirement, terminal, mark, whole)]


def _late(call: LateCall, terminal: Terminal) -> list[str]:
    """The call that comes after its result is read, with its place marked."""
    text = (
        f"{address(call.span)}: '{call.name}' is called behind the statement that reads it "
        f"({file_and_line(call.read)}); called before that statement, this requirement is proved"
    )
    return [*terminal.wrap(text, 0, 2), *marked_line(call.span, terminal)]


def _another(
    another: AnotherKind, verdict: Verdict, report: Report, terminal: Terminal, whole: bool
) -> list[str]:
    """A run of another kind, or what is known of there being none."""
    requirement, spec = verdict.requirement, report.specification
    sentence = f"{requirement.identifier}: {another_sentence(verdict, another)}"
    if another.run is None:
        return terminal.wrap(sentence, 2)
    lines = [*terminal.paragraphs([sentence, another.seen], 2)]
    return [*lines, *run_lines(another.run, spec, requirement, terminal, "wrong", whole)]


def _left_out(call: LeftOutCall, terminal: Terminal) -> list[str]:
    """The call whose absence is the cause, with its place marked."""
    text = (
        f"{address(call.span)}: '{call.name}' ({call.block}) is not called in "
        f"{count(call.scans, 'scan')} of this run; called at the end of every such scan "
        f"({call.words}), this requirement is proved"
    )
    return [*terminal.wrap(text, 0, 2), *marked_line(call.span, terminal)]


def witness_lines(
    verdict: Verdict,
    report: Report,
    terminal: Terminal,
    whole: bool = False,
    shared: SharedRun = ALONE,
) -> list[str]:
    """The run that reaches what a requirement speaks of."""
    if verdict.witness is None:
        return []
    title = f"{verdict.requirement.identifier}: a run that reaches what it speaks of"
    run, asked = verdict.witness, verdict.requirement
    spec = report.specification
    shown = shared_run_lines(run, shared, spec, asked, terminal, "reached", whole)
    return [terminal.heading(title), *shown]


def finding_lines(
    found: FindingVerdict, report: Report, terminal: Terminal, whole: bool = False
) -> list[str]:
    """An automatic finding that can happen or is undecided."""
    span = found.finding.span
    kind = found.finding.kind.value
    happens = found.outcome is Outcome.VIOLATED
    word = terminal.paint("can happen" if happens else "undecided", Paint.BAD)
    lines = [f"{terminal.shown(address(span))}: {kind}: {word}", *marked_line(span, terminal)]
    if found.reason:
        lines += terminal.wrap(found.reason, 2)
    lines += terminal.wrap(way_out(found.finding.kind, happens), 2)
    if found.counterexample is not None:
        run = found.counterexample
        lines += run_lines(run, report.specification, None, terminal, "here", whole)
    return lines


def run_lines(
    run: Counterexample,
    specification: Specification,
    requirement: Requirement | None,
    terminal: Terminal,
    mark: str,
    whole: bool,
    also: Sequence[Requirement] = (),
) -> list[str]:
    """Diagram, table and acting lines of a run; ``whole`` shows every scan and variable. ``also``
    are further requirements that it is shown for."""
    records = run.records
    if run.due:  # an answer in the scan beyond would only be late
        records, mark = records[:-1], f"no answer, due by {run.due}"
    lanes = lanes_of(specification, requirement, records, also)
    picture = Picture(lanes, records, specification.clocking, terminal)
    lines = terminal.wrap(reading_sentence(run.readings, run.reading_decides), 2)
    lines += terminal.wrap(values_sentence(run.of_values), 2)
    lines += ["", *diagram_lines(picture, mark), "", *table_lines(picture, whole)]
    acted = _acting_lines(picture, whole)
    if acted:
        lines += ["", *acted]
    for name, span in _last_written(run.causes).items():
        lines += ["", *_cause_lines(name, span, picture)]
    return lines


def _acting_lines(picture: Picture, whole: bool) -> list[str]:
    """What changed and which source line changed it: outputs and what the requirement speaks of,
    or (``whole``) everything that the program wrote."""
    texts = []
    for scan, record in enumerate(picture.records):
        for lane in picture.lanes:
            chosen = whole or lane.subject
            silent = lane.group is LaneGroup.INPUTS or not chosen or scan <= picture.past
            if silent or not lane.acts(scan):
                continue
            span = record.writers.get(lane.variable)
            where = f"  {file_and_line(span)}" if span else ""
            now = picture.value(lane, scan)
            texts.append(f"at {picture.time(scan)}: {lane.label} becomes {now}{where}")
    return picture.terminal.paragraphs(texts, 2, 4)


def _last_written(causes: Mapping[str, Span]) -> dict[str, Span]:
    """One name for each place that acted (several outputs can hang on one statement)."""
    places: dict[tuple[str, int], tuple[list[str], Span]] = {}
    for name, span in causes.items():
        names, _ = places.setdefault((span.source.path, span.start), ([], span))
        names.append(name)
    return {", ".join(names): span for names, span in places.values()}


def _cause_lines(names: str, span: Span, picture: Picture) -> list[str]:
    """The statement that set the value, with its line marked."""
    lanes = {lane.variable: lane for lane in picture.lanes}
    settings = []
    for name in names.split(", "):
        now = picture.value(lanes[name], -1) if name in lanes else ""
        settings.append(f"{name} {now}".strip())
    text = f"{address(span)}: this set {', '.join(settings)}"
    return [*picture.terminal.wrap(text, 0, 2), *marked_line(span, picture.terminal)]
