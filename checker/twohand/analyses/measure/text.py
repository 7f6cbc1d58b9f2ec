"""A whole measuring: heading, figures, findings, distances, and the runs on demand."""

from __future__ import annotations

from collections.abc import Sequence

from twohand.analyses.measure.asked import quantity_text
from twohand.analyses.measure.distance_text import distance_lines
from twohand.analyses.measure.figure_text import FAULTY, figure_lines, title
from twohand.analyses.measure.results import Decision, FigureResult, MeasureReport
from twohand.evidence.verdict import Outcome
from twohand.report.drawing.diagnostics import diagnostic_lines
from twohand.report.drawing.source_line import address
from twohand.report.drawing.terminal import Terminal
from twohand.report.exit_code import ExitCode
from twohand.report.run import run_lines
from twohand.report.summary import invariant_lines, specification_lines
from twohand.report.verdict_line import WORD, finding_line
from twohand.specification.phrases import count

UNTIL_THEN = "the figures hold only until it happens"


def measure_lines(report: MeasureReport, terminal: Terminal, details: bool = False) -> list[str]:
    """One spec's figures and distances, without the cautions of every report."""
    lines = specification_lines(report.specification, terminal)
    for result in report.figures:
        lines += figure_lines(result, report, terminal)
        if details:
            asked = quantity_text(result.figure.time, report.specification.clocking)
            lines += terminal.wrap(f"asked: {asked}", WORD + 2, WORD + 6)
            lines += _clauses(result, terminal)
    lines += _finding_lines(report, terminal)
    for warning in report.specification.warnings + report.warnings:
        lines += ["", *diagnostic_lines(warning, terminal)]
    lines += ["", *distance_lines(report, terminal)]
    if details:
        for result in report.figures:
            lines += _run_section(result, report, terminal)
    return lines


def measure_code(report: MeasureReport) -> ExitCode:
    """A stop without a limit and a finding that can happen weigh most, then what is open."""
    endless = any(
        result.time.decision is Decision.NO_LIMIT and result.figure.kind in FAULTY
        for result in report.figures
    )
    if endless or any(each.outcome is Outcome.VIOLATED for each in report.findings):
        return ExitCode.VIOLATED
    open_ends = report.findings or report.warnings  # assumptions that may contradict each other
    if open_ends or not all(result.decided for result in report.figures):
        return ExitCode.UNDECIDED
    return ExitCode.ALL_PROVED if report.figures else ExitCode.UNUSABLE


def total_text(reports: Sequence[MeasureReport]) -> str:
    """How many figures came out."""
    figures = [result for report in reports for result in report.figures]
    decided = sum(result.decided for result in figures)
    specs = count(len(reports), "spec")
    return f"{specs} measured, {decided} of {count(len(figures), 'figure')} decided"


def _finding_lines(report: MeasureReport, terminal: Terminal) -> list[str]:
    """Automatic findings that can happen or are not excluded."""
    lines = []
    for found in report.findings:
        lines += finding_line(found, f"{address(found.finding.span)}; {UNTIL_THEN}", terminal)
    return lines


def _clauses(result: FigureResult, terminal: Terminal) -> list[str]:
    """The invariant of a figure's proof."""
    certificate = result.time.certificate
    if certificate is None or not certificate.clauses:
        return []
    return invariant_lines(certificate, terminal)


def _run_section(result: FigureResult, report: MeasureReport, terminal: Terminal) -> list[str]:
    """The run that reaches a figure."""
    run = result.time.run
    if run is None:
        return []
    name = title(result.figure, report.specification)
    shown = run_lines(run, report.specification, None, terminal, "reached", whole=False)
    return ["", terminal.heading(f"{name}: the run"), *shown]
