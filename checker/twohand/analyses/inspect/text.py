"""An inspection as lines: what was found and where, its run, what is harmless, what is clean."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from twohand.analyses.compare.question import file_of
from twohand.analyses.inspect.check import FoundPoint, Inspection
from twohand.analyses.inspect.kinds.skipped_call_check import CALLED_ALWAYS
from twohand.analyses.inspect.points import InspectionKind, Status, Weight
from twohand.analyses.inspect.words import (
    ALL_OTHER_CODE,
    CLEAN,
    NOT_ASKED,
    ONLY_FORM,
    SUSPECTED,
    TWIN_WORDS,
    WORDS,
)
from twohand.program import Program, Read
from twohand.program.instrumentation import SIGN
from twohand.program.walks import nodes_below
from twohand.report.cautions import NEXT_STEPS, cautions_without_spec
from twohand.report.drawing.diagnostics import diagnostic_lines
from twohand.report.drawing.lanes import Lane, LaneGroup, Picture, lanes_of
from twohand.report.drawing.readings import reading_sentence, values_sentence
from twohand.report.drawing.source_line import address, file_and_line, marked_line
from twohand.report.drawing.table import table_lines
from twohand.report.drawing.terminal import Paint, Terminal
from twohand.report.drawing.timing_diagram import diagram_lines
from twohand.report.exit_code import ExitCode
from twohand.report.verdict_line import WITHOUT_REALS, basis, worded
from twohand.specification.phrases import count, duration, duration_range, listing
from twohand.text.source_text import COMMAND_LINE, Span

FUNCTION = "FUNCTION"
HARMLESS_SHOWN = 3
COLUMNS = 11
"""Columns for the word of a point."""
ASSUMPTIONS_UNDECIDED = "assumptions-undecided"
"""The warning that the assumptions may leave no input: what is clean under them is no pass."""


def inspection_lines(
    found: Inspection, terminal: Terminal, brief: bool = False, details: bool = False
) -> list[str]:
    """Everything but the cautions and the total."""
    lines = _heading(found, terminal)
    for warning in found.warnings:
        lines += ["", *diagnostic_lines(warning, terminal)]
    lines += _cause_lines(found, terminal)
    caused = () if found.cause is None or details else found.cause.points
    for each in found.of(Weight.FAULT, Weight.OPEN, Weight.NOTE):
        if details or not _is_cause(each, found):
            lines += _point_lines(each, terminal, brief or each in caused, details)
    lines += _harmless_lines(found, terminal, details)
    for text in clean_sentences(found):
        lines += worded("CLEAN", Paint.GOOD, text, terminal, COLUMNS)
    return lines


def inspection_code(found: Inspection) -> ExitCode:
    if found.of(Weight.FAULT) or found.no_scan:
        return ExitCode.VIOLATED
    doubted = any(each.code == ASSUMPTIONS_UNDECIDED for each in found.warnings)
    return ExitCode.UNDECIDED if doubted or found.of(Weight.OPEN) else ExitCode.ALL_PROVED


def inspection_total(inspections: Sequence[Inspection]) -> str:
    """How many points of which weight."""
    functions = sum(each.subject.kind == FUNCTION for each in inspections)
    counted = [count(len(inspections) - functions, "block")] if functions < len(inspections) else []
    counted += [count(functions, "function")] if functions else []
    what = " and ".join(counted) or count(0, "block")
    return f"{what} inspected: {counted_points(inspections) or 'nothing found'}"


def counted_points(inspections: Sequence[Inspection]) -> str:
    parts = []
    for weight, noun in (
        (Weight.FAULT, "fault"),
        (Weight.OPEN, "undecided"),
        (Weight.NOTE, "note"),
        (Weight.HARMLESS, "harmless"),
    ):
        number = sum(len(each.of(weight)) for each in inspections)
        if number:
            plural = noun if weight in (Weight.OPEN, Weight.HARMLESS) else ""
            parts.append(count(number, noun, plural))
    return ", ".join(parts)


def inspection_cautions(inspections: Sequence[Inspection]) -> list[str]:
    """Sentences; what is said of every check comes last."""
    own = [ONLY_FORM, NOT_ASKED]
    if any(each.point.kind is InspectionKind.SKIPPED_CALL for i in inspections for each in i.found):
        own.append(TWIN_WORDS)
    specifications = [each.subject.specification for each in inspections]
    return cautions_without_spec(own, specifications, "POWER CYCLES in a spec")


def clean_sentences(found: Inspection) -> Iterator[str]:
    """What was looked for and not found, or found harmless; nothing where no scan completes."""
    if found.no_scan:
        return
    conditions = {
        e.point.weight for e in found.found if e.point.kind is InspectionKind.CONSTANT_CONDITION
    }
    for kind in found.kinds:
        weights = {each.point.weight for each in found.found if each.point.kind is kind}
        if kind is InspectionKind.DEAD_CODE and Weight.OPEN in conditions:
            continue  # what is under such a condition was not asked
        if (
            kind is InspectionKind.DEAD_CODE
            and conditions
            and not weights & {Weight.FAULT, Weight.OPEN}
        ):
            yield ALL_OTHER_CODE  # a dead branch is reported once, by its condition
        elif not weights:
            yield CLEAN[kind]
        elif not weights & {Weight.FAULT, Weight.OPEN} and kind in SUSPECTED:
            yield SUSPECTED[kind]


def further_places(each: FoundPoint) -> list[tuple[Span, str]]:
    """The point's other places; what a mark of the run names comes first."""
    point, run = each.point, each.answer.run
    places = list(point.others)
    if point.writer is not None and run is not None:
        name, spans = point.writer
        number = int(run.records[-1].values[name])
        places.insert(0, (spans[number - 1], "written first here"))
    return places


# --- heading ----------------------------------------------------------------------------------


def _heading(found: Inspection, terminal: Terminal) -> list[str]:
    subject = found.subject
    spec = subject.specification
    clocking = spec.clocking
    scan = duration_range(clocking.shortest, clocking.longest, clocking)
    parts = [f"scan {scan} ({subject.scan_origin})"]
    if subject.block is not None:
        who = f"the {COMMAND_LINE}" if spec.source.path == COMMAND_LINE else spec.name
        parts.append(f"with what {who} puts around it")
    if spec.assumptions:
        parts.append("for the inputs that the spec assumes")
    elif subject.block is None:
        free = "inputs free each call" if subject.kind == FUNCTION else "inputs free"
        free_ones = (v for v in spec.program.inputs if not v.keeps_clock)
        names = [f"({v.uncomputed})" if v.uncomputed else v.name for v in free_ones]
        parts.append(f"{free}: {listing(names) or 'none'}")
    if spec.power is not None:
        parts.append("power cycles")
    title = f"{subject.name} of {file_of(spec.program)}"
    return [terminal.heading(title), *terminal.wrap("; ".join(parts), 2)]


def cause_sentence(found: Inspection) -> str:
    """What makes many faults of one mistake; '' where there is none."""
    cause = found.cause
    if cause is None:
        return ""
    names = listing([f"'{variable.name}'" for variable in cause.variables])
    faults, number = len(found.of(Weight.FAULT)), len(cause.points)
    which = f"{number} of {count(faults, 'fault')}" if number < faults else count(faults, "fault")
    each, keeps = ("it", "keeps its") if len(cause.variables) == 1 else ("they", "keep their")
    hang = "hangs" if number == 1 else "hang"
    return f"nothing writes {names}: {each} {keeps} initial value, and {which} {hang} on that"


def _cause_lines(found: Inspection, terminal: Terminal) -> list[str]:
    cause = found.cause
    if cause is None:
        return []
    names = ",".join(variable.name for variable in cause.variables)
    gone = "that fault is" if len(cause.points) == 1 else "those faults are"
    way = f"if somebody else writes there, --free {names} says so, and {gone} gone"
    lines = ["", *worded("CAUSE", Paint.BAD, cause_sentence(found), terminal, COLUMNS)]
    lines += terminal.wrap(way, COLUMNS + 2)
    return lines + marked_line(cause.variables[0].span, terminal)


def _is_cause(each: FoundPoint, found: Inspection) -> bool:
    """Whether it is the note on a variable that the cause names."""
    named = () if found.cause is None else found.cause.variables
    unused = each.point.kind is InspectionKind.UNUSED
    return unused and any(v.span == each.point.span for v in named)


# --- points -----------------------------------------------------------------------------------


def _point_lines(each: FoundPoint, terminal: Terminal, brief: bool, details: bool) -> list[str]:
    point, weight = each.point, each.point.weight
    text = f"{address(point.span)}: {point.sentence}"
    space = [] if brief else [""]
    lines = [*space, *worded(*WORDS[weight], text, terminal, COLUMNS)]
    if brief:
        return lines
    lines += terminal.paragraphs(_sentences(each), COLUMNS + 2)
    if details and point.asks:
        lines += terminal.wrap(f"asked: {point.asks}", COLUMNS + 2, COLUMNS + 6)
    lines += marked_line(point.span, terminal)
    for span, words in further_places(each):
        if span.source is not point.span.source:
            lines.append(f"  {terminal.shown(address(span))}:")
        lines += marked_line(span, terminal, words)
    return lines + _run_lines(each, terminal, details)


def _sentences(each: FoundPoint) -> Iterator[str]:
    point, answer = each.point, each.answer
    if point.why:
        yield point.why
    if answer.status is Status.NEVER and answer.certificate is not None:
        yield f"proved for all time: {basis(answer.certificate)}"
    if answer.status is Status.OPEN:
        if answer.reason:
            yield f"stopped by: {answer.reason}"
        yield WITHOUT_REALS if answer.hangs_on else NEXT_STEPS
    if answer.run is not None:
        sentence = reading_sentence(answer.run.readings, answer.run.reading_decides)
        yield from filter(None, (sentence, values_sentence(answer.run.of_values)))
        time = duration(answer.run.records[-1].time, each.specification.clocking)
        yield f"replayed: {count(answer.run.scans, 'scan')}, seen at {time}"


def _harmless_lines(found: Inspection, terminal: Terminal, details: bool) -> list[str]:
    harmless = found.of(Weight.HARMLESS)
    shown = harmless if details else harmless[:HARMLESS_SHOWN]
    lines = [""]
    word, paint = WORDS[Weight.HARMLESS]
    for each in shown:
        text = f"{file_and_line(each.point.span)}: {each.point.sentence}: proved"
        lines += worded(word, paint, text, terminal, COLUMNS)
        if details and each.answer.certificate is not None:
            lines += terminal.wrap(basis(each.answer.certificate), COLUMNS + 2)
        if details and each.point.asks:
            lines += terminal.wrap(f"asked: {each.point.asks}", COLUMNS + 2, COLUMNS + 6)
    rest = len(harmless) - len(shown)
    if rest:
        lines += worded(word, paint, f"{rest} more (--details shows them)", terminal, COLUMNS)
    return lines


# --- runs -------------------------------------------------------------------------------------


def _run_lines(each: FoundPoint, terminal: Terminal, details: bool) -> list[str]:
    run = each.answer.run
    if run is None:
        return []
    picture = Picture(run_lanes(each), run.records, each.specification.clocking, terminal)
    table = ["", *table_lines(picture, True)] if details else []
    return ["", *diagram_lines(picture, "here"), *table]


def run_lanes(each: FoundPoint) -> tuple[Lane, ...]:
    """What a run is shown as: without the marks, and of a twin only what is compared."""
    run, spec = each.answer.run, each.specification
    assert run is not None
    shown = set(each.point.shown) or set(_read_at(each.point.span, spec.program))
    labelled = each.labels
    wanted = [v for v in spec.program.variables if not v.name.startswith(SIGN)]
    if labelled:
        inputs = set(spec.program.inputs)
        wanted = [v for v in wanted if v.name in shown or v in inputs]
    program = replace(spec.program, variables=tuple(v for v in wanted if SIGN not in v.name))
    lanes = lanes_of(replace(spec, program=program, outputs=()), None, run.records)
    alike = _alike(lanes, labelled)
    return tuple(
        replace(
            lane,
            label=labelled.get(lane.variable, lane.label),
            subject=lane.variable in shown or (lane.subject and lane.group is LaneGroup.INPUTS),
        )
        for lane in lanes
        if lane.variable not in alike
    )


def _alike(lanes: Sequence[Lane], labels: Mapping[str, str]) -> set[str]:
    """What is the same in a program and its twin all the time."""
    by_label = {labels.get(lane.variable, ""): lane for lane in lanes}
    found = set()
    for label, lane in by_label.items():
        twin = by_label.get(f"{label}{CALLED_ALWAYS}")
        if twin is not None and twin.values == lane.values:
            found |= {lane.variable, twin.variable}
    return found


def _read_at(span: Span, program: Program) -> Iterator[str]:
    """The variables that are read at a place."""
    for node in nodes_below(program.routine):
        if isinstance(node, Read) and node.span.source is span.source:
            inside = span.start <= node.span.start and node.span.end <= span.end
            if inside and not node.variable.name.startswith(SIGN):
                yield node.variable.name
