"""A run in full: the sentence, the diagram, the table, and the source line that acted."""

from __future__ import annotations

from collections.abc import Mapping

from twohand.evidence.verdict import Counterexample, FindingVerdict, Outcome, Report, Verdict
from twohand.report.drawing.lanes import Lane, LaneGroup, lanes_of
from twohand.report.drawing.numbers import count, duration, value
from twohand.report.drawing.readings import reading_sentence
from twohand.report.drawing.source_line import address, file_and_line, marked_line
from twohand.report.drawing.table import table_lines
from twohand.report.drawing.terminal import Paint, Terminal
from twohand.report.drawing.timing_diagram import diagram_lines
from twohand.report.verdict_line import outcome_word
from twohand.specification.model.specification import Requirement, Specification
from twohand.specification.phrases import way_out
from twohand.text.source_text import Span


def violation_lines(
    verdict: Verdict, report: Report, terminal: Terminal, whole: bool = False
) -> list[str]:
    """A violated requirement in full."""
    run = verdict.counterexample
    if run is None:
        return []
    requirement = verdict.requirement
    title = f"{requirement.identifier}: {outcome_word(verdict)}"
    lines = [terminal.paint(terminal.shown(title), Paint.STRONG)]
    seen = verdict.seen or f"broken after {_length(run, report.specification)}"
    lines += terminal.wrap(seen, 2)
    if requirement.authority:
        lines += terminal.wrap(f"source: {requirement.authority}", 2, 10)
    lines += run_lines(run, report.specification, requirement, terminal, "wrong", whole)
    return lines


def witness_lines(
    verdict: Verdict, report: Report, terminal: Terminal, whole: bool = False
) -> list[str]:
    """The run that reaches what a requirement speaks of."""
    if verdict.witness is None:
        return []
    title = f"{verdict.requirement.identifier}: a run that reaches what it speaks of"
    lines = [terminal.paint(terminal.shown(title), Paint.STRONG)]
    requirement = verdict.requirement
    return lines + run_lines(
        verdict.witness, report.specification, requirement, terminal, "reached", whole
    )


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
    if not happens and way_out(found.finding.kind):
        lines += terminal.wrap(way_out(found.finding.kind), 2)
    if found.counterexample is not None:
        run = found.counterexample
        lines += run_lines(run, report.specification, None, terminal, "here", whole)
    return lines


def _length(run: Counterexample, specification: Specification) -> str:
    time = duration(run.records[-1].time, specification.clocking)
    return f"{count(len(run.records), 'scan')}, at {time}"


def run_lines(
    run: Counterexample,
    specification: Specification,
    requirement: Requirement | None,
    terminal: Terminal,
    mark: str,
    whole: bool,
) -> list[str]:
    """Diagram, table and acting lines of a run; ``whole`` shows every scan and variable."""
    clocking = specification.clocking
    lanes = lanes_of(specification, requirement, run.records)
    lines = []
    sentence = reading_sentence(run.readings, run.reading_decides)
    if sentence:
        lines += terminal.wrap(sentence, 2)
    lines += ["", *diagram_lines(lanes, run.records, clocking, terminal, mark)]
    lines += ["", *table_lines(lanes, run.records, clocking, terminal, whole)]
    acted = _acting_lines(run, lanes, specification, terminal, whole)
    if acted:
        lines += ["", *acted]
    for name, span in _last_written(run.causes).items():
        lines += ["", *_cause_lines(name, span, run, lanes, specification, terminal)]
    return lines


def _acting_lines(
    run: Counterexample,
    lanes: tuple[Lane, ...],
    specification: Specification,
    terminal: Terminal,
    whole: bool,
) -> list[str]:
    """What changed and which source line changed it: outputs and what the requirement speaks of,
    or (``whole``) everything that the program wrote."""
    clocking = specification.clocking
    lines = []
    for scan, record in enumerate(run.records):
        for lane in lanes:
            chosen = whole or lane.subject
            if lane.group is LaneGroup.INPUTS or not chosen or scan == 0 or not lane.acts(scan):
                continue
            span = record.writers.get(lane.variable)
            where = f"  {file_and_line(span)}" if span else ""
            time = duration(record.time, clocking)
            now = value(lane.values[scan], lane.kind, clocking)
            lines += terminal.wrap(f"at {time}: {lane.label} becomes {now}{where}", 2, 4)
    return lines


def _last_written(causes: Mapping[str, Span]) -> dict[str, Span]:
    """One name for each place that acted (several outputs can hang on one statement)."""
    places: dict[tuple[str, int], tuple[list[str], Span]] = {}
    for name, span in causes.items():
        names, _ = places.setdefault((span.source.path, span.start), ([], span))
        names.append(name)
    return {", ".join(names): span for names, span in places.values()}


def _cause_lines(
    names: str,
    span: Span,
    run: Counterexample,
    lanes: tuple[Lane, ...],
    specification: Specification,
    terminal: Terminal,
) -> list[str]:
    """The statement that set the value, with its line marked."""
    values = {lane.variable: lane for lane in lanes}
    settings = []
    for name in names.split(", "):
        lane = values.get(name)
        now = value(lane.values[-1], lane.kind, specification.clocking) if lane else ""
        settings.append(f"{name} {now}".strip())
    text = f"{address(span)}: this set {', '.join(settings)}"
    return [*terminal.wrap(text, 0, 2), *marked_line(span, terminal)]
