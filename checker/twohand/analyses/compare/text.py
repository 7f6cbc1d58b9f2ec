"""A comparison of two versions of a block: which is which, verdicts, runs, warnings."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from twohand.analyses.compare.check import ComparisonReport, Stops
from twohand.analyses.compare.question import Comparison, file_of
from twohand.evidence.runs.same_runs import firsts_of_runs
from twohand.evidence.verdict import Outcome, Vacuity, Verdict
from twohand.program import Program, Variable
from twohand.program.durations import Units
from twohand.report.cautions import NEXT_STEPS, cautions_without_spec
from twohand.report.drawing.diagnostics import diagnostic_lines
from twohand.report.drawing.readings import reading_words
from twohand.report.drawing.source_line import address, file_and_line, marked_line
from twohand.report.drawing.terminal import Paint, Terminal
from twohand.report.exit_code import ExitCode
from twohand.report.run import finding_lines, run_lines, shared_run_lines, shared_runs
from twohand.report.summary import all_warnings, clause_lines
from twohand.report.verdict_line import (
    UNTIL_THEN,
    WITHOUT_REALS,
    WORD,
    basis,
    finding_line,
    searched,
    worded,
)
from twohand.specification.phrases import count, duration, duration_range, listing
from twohand.text.diagnostic import Diagnostic, Severity

SAME, DIFFERS, NO_SCAN = "SAME", "DIFFERS", "NO SCAN"
WORDS = {
    Outcome.PROVED: (SAME, Paint.GOOD),
    Outcome.VACUOUS: (SAME, Paint.GOOD),
    Outcome.VIOLATED: (DIFFERS, Paint.BAD),
    Outcome.UNDECIDED: ("UNDECIDED", Paint.OPEN),
}
UNSURE = "whether it ever changes was not decided"
NOT_RIGHT = (
    "That two versions show the same says nothing about whether either is right: what one does "
    "wrong the other does too. 'twohand check' asks that, of one of them."
)
COMPARED = (
    "Both run in each scan, on the same sampled inputs, with the same scan times, from their "
    "initial values, on a platform that reads the standard the same way for both. Compared are "
    "outputs, in-out parameters, global variables that are written and what OUTSIDE names, at the "
    "end of each scan; what is inside the blocks is not, nor are pins of instances that are global "
    "variables. Each is matched by its name; addresses are compared where both versions state one."
)
AFTER_FINDING = (
    "What a version does after an overflow, a division by zero, an index or a loop beyond its "
    "bound is not compared: the run ends there."
)


def comparison_lines(
    found: ComparisonReport, terminal: Terminal, details: bool = False
) -> list[str]:
    """Everything but the cautions and the total; ``details`` has invariants and whole runs."""
    lines = _heading(found.comparison, terminal)
    for number, (name, verdict) in enumerate(named_verdicts(found)):
        lines += _verdict_lines(name, verdict, found, terminal)
        if details:
            asked = f"asked: {found.comparison.asked(number)}"
            lines += terminal.wrap(asked, WORD + 2, WORD + 6)
        if details and verdict.outcome in (Outcome.PROVED, Outcome.VACUOUS):
            lines += clause_lines(verdict, terminal)
    lines += _finding_lines(found, terminal)
    for warning in comparison_warnings(found):
        lines += ["", *diagnostic_lines(warning, terminal)]
    for section in _sections(found, terminal, details):
        lines += ["", *section]
    return lines


def comparison_code(found: ComparisonReport) -> ExitCode:
    """A difference weighs most, one of findings included, then what is open. A finding that both
    have in the same scans is none; where no scan completes, there is nothing to compare."""
    report = found.report
    outcomes = {verdict.outcome for verdict in report.verdicts}
    stops = Outcome.PROVED if found.stops is None else found.stops.outcome
    if Outcome.VIOLATED in (*outcomes, stops):
        return ExitCode.VIOLATED
    if Outcome.UNDECIDED in (*outcomes, stops):
        return ExitCode.UNDECIDED
    compared = [verdict for verdict in report.verdicts if not without_scans(verdict)]
    return ExitCode.ALL_PROVED if compared else ExitCode.UNUSABLE


def comparison_cautions(found: ComparisonReport) -> list[str]:
    """Sentences; what is said of every check comes last."""
    own = [NOT_RIGHT, COMPARED, *([] if found.stops is None else [AFTER_FINDING])]
    return cautions_without_spec(own, [found.comparison.specification], "--power-cycles")


def comparison_total(found: ComparisonReport) -> str:
    """How many outputs came out how."""
    words = [word_of(verdict) for verdict in found.report.verdicts]
    counts = [f"{words.count(word)} {word}" for word in dict.fromkeys(words)]
    if found.stops is not None and found.stops.outcome is Outcome.VIOLATED:
        counts.append("a finding in one of the two alone")
    return f"{count(len(words), 'output')} compared: {', '.join(counts)}"


def comparison_warnings(found: ComparisonReport) -> list[Diagnostic]:
    """What both never change, and what the check warns of."""
    return [*all_warnings(found.report), *_constant(found)]


def named_verdicts(found: ComparisonReport) -> Iterator[tuple[str, Verdict]]:
    """The verdicts with the names that the first version has for what is compared."""
    pairs, verdicts = found.comparison.pairs, found.report.verdicts
    for (first, _), verdict in zip(pairs, verdicts, strict=True):
        yield first.name, verdict


def same_runs(found: ComparisonReport) -> dict[str, str]:
    """For each output in which the two differ in the very run of another: the first such output."""
    runs = ((name, verdict.counterexample) for name, verdict in named_verdicts(found))
    return firsts_of_runs(runs)


def word_of(verdict: Verdict) -> str:
    """SAME, DIFFERS, UNDECIDED, or that there is nothing to compare."""
    return NO_SCAN if without_scans(verdict) else WORDS[verdict.outcome][0]


def without_scans(verdict: Verdict) -> bool:
    """Whether no scan of the two completes."""
    return verdict.outcome is Outcome.VACUOUS and verdict.vacuity is Vacuity.NO_SCAN


def seen_words(verdict: Verdict) -> str:
    """When and how the two differ."""
    requirement = verdict.requirement
    seen = verdict.seen.removeprefix(f"{requirement.identifier}: ")
    return seen.removesuffix(f"; asked: {requirement.sentence}")


def _constant(found: ComparisonReport) -> Iterator[Diagnostic]:
    for name, verdict in named_verdicts(found):
        if verdict.outcome is Outcome.VACUOUS and not without_scans(verdict):
            yield Diagnostic(
                "never-changes",
                f"'{name}' never changes in either version{_where(verdict)}, so that being the "
                "same says little",
                verdict.requirement.span,
                "see whether an assumption or an input that is missing holds it still",
                severity=Severity.WARNING,
            )


def _where(verdict: Verdict) -> str:
    """Under which readings it never changes; '' where under all of them."""
    return f" where {reading_words(verdict.readings)}" if verdict.readings else ""


# --- heading ----------------------------------------------------------------------------------


def _heading(comparison: Comparison, terminal: Terminal) -> list[str]:
    spec = comparison.specification
    clocking = spec.clocking
    sides = (comparison.first, comparison.second)
    names = [prefix.removesuffix(".") for prefix in comparison.both.prefixes]
    width = max(len(name) for name in names)
    title = " and ".join(_side(program) for program in sides)
    lines = [terminal.heading(title)]
    for name, program in zip(names, sides, strict=True):
        lines += terminal.wrap(f"{name:{width}}  block {_side(program)}", 2, width + 4)
    scan = duration_range(clocking.shortest, clocking.longest, clocking)
    parts = [
        f"scan {scan} ({comparison.scan_origin})",
        f"time in units of {duration(Units(1), clocking)}",
        f"same inputs: {_names(row[0] for row in comparison.both.shared) or 'none'}",
    ]
    if spec.power is not None:
        parts.append("power cycles")
    lines += terminal.wrap("; ".join(parts), 2)
    return [*lines, *terminal.paragraphs(_unmatched(comparison), 2)]


def _side(program: Program) -> str:
    return f"{program.name} of {file_of(program)}"


def _names(variables: Iterator[Variable]) -> str:
    return listing([variable.name for variable in variables])


def _unmatched(comparison: Comparison) -> Iterator[str]:
    """What is free for one of the two, and what is not compared."""
    inputs, shown = comparison.inputs, comparison.shown
    for name, matching in (("free for one of the two alone", inputs), ("not compared", shown)):
        prefixes = comparison.both.prefixes
        variables = [
            *(f"{prefixes[0]}{v.name}" for v in matching.only_first),
            *(f"{prefixes[1]}{v.name}" for v in matching.only_second),
            *(f"{each.name} (of two types)" for each, _ in matching.unlike),
        ]
        if variables:
            yield f"{name}: {listing(variables)}"
    notes = (*comparison.first.left_out, *comparison.second.left_out)
    missing = dict.fromkeys(note.variable for note in notes if note.variable is not None)
    if missing:
        yield f"not compared, as the model does not have it: {listing(list(missing))}"


# --- verdicts ---------------------------------------------------------------------------------


def _verdict_lines(
    name: str, verdict: Verdict, found: ComparisonReport, terminal: Terminal
) -> list[str]:
    if without_scans(verdict):
        text = f"{name} is not compared: {verdict.vacuity.value}"
        return worded(NO_SCAN, Paint.BAD, text, terminal)
    word, paint = WORDS[verdict.outcome]
    text = f"{name} in every scan" if word == SAME else name
    if found.report.findings and verdict.outcome is not Outcome.VIOLATED:
        text = f"{name}; {UNTIL_THEN}"
    sentences = terminal.paragraphs(_sentences(verdict, found), WORD + 2)
    return [*worded(word, paint, text, terminal), *sentences]


def _sentences(verdict: Verdict, found: ComparisonReport) -> Iterator[str]:
    match verdict.outcome:
        case Outcome.PROVED:
            if verdict.reason:
                yield UNSURE
            yield f"for all time: {basis(verdict.certificate)}"
        case Outcome.VACUOUS:
            yield f"for all time, and it never changes{_where(verdict)} (see the warning below)"
        case Outcome.VIOLATED:
            yield seen_words(verdict)
            run = verdict.counterexample
            if run is not None and run.reading_decides:
                yield f"only where {reading_words(run.readings)}; the same under another reading"
        case Outcome.UNDECIDED if verdict.hangs_on:
            yield from (verdict.reason, WITHOUT_REALS)
        case Outcome.UNDECIDED:
            yield searched(verdict, found.report)
            if verdict.reason:
                yield f"stopped by: {verdict.reason}"
            yield NEXT_STEPS


def _finding_lines(found: ComparisonReport, terminal: Terminal) -> list[str]:
    lines = []
    for each in found.report.findings:
        lines += finding_line(each, file_and_line(each.finding.span), terminal, Paint.OPEN)
    if found.stops is not None:
        lines += _stops_lines(found.stops, found.comparison, terminal)
    return lines


def _stops_lines(stops: Stops, comparison: Comparison, terminal: Terminal) -> list[str]:
    match stops.outcome:
        case Outcome.PROVED:
            text = f"findings come in both in the same scans: {basis(stops.certificate)}"
            return worded(SAME, Paint.GOOD, text, terminal)
        case Outcome.UNDECIDED:
            text = f"whether a finding can come in one of the two alone ({stops.reason})"
            return worded("UNDECIDED", Paint.OPEN, text, terminal)
    return worded(DIFFERS, Paint.BAD, stops_words(stops, comparison), terminal)


def stops_words(stops: Stops, comparison: Comparison) -> str:
    """Which of the two has which finding."""
    names = [prefix.removesuffix(".") for prefix in comparison.both.prefixes]
    said = [
        f"{name} has {'no finding' if kind is None else kind.value}"
        for name, kind in zip(names, stops.kinds, strict=True)
    ]
    return f"in one scan {' and '.join(said)}"


# --- runs -------------------------------------------------------------------------------------


def _sections(found: ComparisonReport, terminal: Terminal, details: bool) -> Iterator[list[str]]:
    spec, verdicts = found.comparison.specification, found.report.verdicts
    shared = shared_runs(verdicts, lambda verdict: verdict.counterexample)
    names = same_runs(found)
    for (name, verdict), with_whom in zip(named_verdicts(found), shared, strict=True):
        run = verdict.counterexample
        if run is not None:
            lines = [terminal.heading(f"{name}: {DIFFERS}")]
            lines += terminal.wrap(seen_words(verdict), 2)
            if with_whom.first:
                with_whom = replace(with_whom, first=names[name])
            asked = verdict.requirement
            yield lines + shared_run_lines(
                run, with_whom, spec, asked, terminal, "differs", details
            )
        elif verdict.candidate is not None:
            lines = [terminal.heading(f"{name}: UNDECIDED")]
            lines += terminal.wrap(f"they differ if REALs come out so: {verdict.reason}", 2)
            asked, mark = verdict.requirement, "if so"
            yield lines + run_lines(verdict.candidate, spec, asked, terminal, mark, details)
    stops = found.stops
    if stops is not None and stops.run is not None:
        lines = [terminal.heading(stops_words(stops, found.comparison))]
        finding = stops.run.records[-1].finding
        if finding is not None:
            lines.append(f"{terminal.shown(address(finding.span))}: {finding.kind.value}")
            lines += marked_line(finding.span, terminal)
        yield lines + run_lines(stops.run, spec, None, terminal, "here", details)
    elif details:
        for each in found.report.findings:
            yield finding_lines(each, found.report, terminal, details)
