"""The gallery's summary: a row for each spec, what came out against what was expected."""

from __future__ import annotations

from itertools import islice

from twohand.evidence.verdict import Outcome, Report, Verdict
from twohand.report.drawing.terminal import Paint, Terminal
from twohand.report.run import violation_lines
from twohand.report.summary import clause_lines, outcome_counts
from twohand.report.verdict_line import verdict_lines
from twohand.specification.model.specification import Aim, Expectation
from twohand.specification.phrases import count, wall_time

NAME = 30
"""Columns for a spec's name; the gallery's longest names fit."""
COUNTS = 30
ROOMY = 90
"""From this width on a row has one line."""
HEADINGS = ("spec", "asked", "came out", "expected", "time")


def unexpected(report: Report) -> list[str]:
    """What a spec did not expect: verdicts other than the expected ones. A spec that expects
    every requirement PROVED expects no finding and no dead output either."""
    surprises = [v.requirement.identifier for v in report.verdicts if not v.as_expected]
    verdicts = report.verdicts
    if all(v.requirement.expected is Expectation.PROVED for v in verdicts):
        surprises += [found.finding.kind.value for found in report.findings]
        surprises += [f"{name} never on" for name in report.never_on]
        surprises += [each.code for each in report.specification.wide]
    return surprises


def counts(report: Report) -> str:
    """``3 PROVED, 1 VIOLATED``."""
    parts = outcome_counts(report.verdicts)
    if report.findings:
        parts.append(count(len(report.findings), "finding"))
    if report.never_on:
        parts.append("never on")
    return ", ".join(parts) or "nothing asked"


def table_heading(terminal: Terminal) -> list[str]:
    return [terminal.paint(line, Paint.STRONG) for line in _row(HEADINGS, terminal)]


def table_row(name: str, report: Report, opening: str, terminal: Terminal) -> list[str]:
    """One spec's row, what it is below, and what was not expected."""
    surprises = unexpected(report)
    word = "NO" if surprises else "yes"
    asked = str(len(report.verdicts))
    row = _row((name, asked, counts(report), word, wall_time(report.seconds)), terminal)
    painted = f"  {terminal.paint(word, _paint(surprises))} "
    lines = [line.replace(f"  {word} ", painted) for line in row]
    if opening:
        lines.append("    " + terminal.clip(terminal.shown(opening), terminal.width - 4))
    if surprises:
        lines += terminal.wrap(f"not as expected: {', '.join(surprises)}", 4, 8)
    return lines


def unusable_row(name: str, terminal: Terminal) -> list[str]:
    return _row((name, "", "cannot be used, see below", "NO", ""), terminal)


def _row(cells: tuple[str, str, str, str, str], terminal: Terminal) -> list[str]:
    """The cells in their columns; on a narrow terminal in two lines."""
    name, asked, came_out, expected, spent = cells
    if terminal.width >= ROOMY:
        row = f"{name:<{NAME}}  {asked:>5}  {came_out:<{COUNTS}}  {expected:<8}  {spent:>7}"
        return [row.rstrip()]
    return [f"{name:<{NAME - 6}}  {expected:<8}", f"    {came_out}  {spent}".rstrip()]


def _paint(surprises: list[str]) -> Paint:
    return Paint.BAD if surprises else Paint.GOOD


def showcase_lines(reports: list[Report], terminal: Terminal) -> list[str]:
    """One proof with its invariant and one counterexample in full."""
    pairs = [(report, verdict) for report in reports for verdict in report.verdicts]
    lines: list[str] = []
    for outcome, what in ((Outcome.PROVED, "proof"), (Outcome.VIOLATED, "counterexample")):
        fitting = (pair for pair in pairs if pair[1].outcome is outcome and _is_shown(pair[1]))
        for report, verdict in islice(fitting, 1):
            title = f"{report.specification.name}: one {what} in full"
            lines += ["", terminal.paint(title, Paint.STRONG)]
            if outcome is Outcome.PROVED:
                lines += verdict_lines(verdict, report, terminal)
                lines += clause_lines(verdict, terminal)
            else:
                lines += violation_lines(verdict, report, terminal)
    return lines


def _is_shown(verdict: Verdict) -> bool:
    """Whether it was expected and has its evidence."""
    if not verdict.as_expected:
        return False
    if verdict.outcome is Outcome.VIOLATED:
        return verdict.counterexample is not None
    certificate = verdict.certificate
    holds = verdict.requirement.aim is Aim.HOLDS
    return holds and certificate is not None and bool(certificate.clauses)
