"""The gallery's summary: a row for each spec, what came out against what was expected."""

from __future__ import annotations

from checker.evidence.verdict import Outcome, Report, Verdict
from checker.report.numbers import count, wall_time
from checker.report.run import violation_lines
from checker.report.summary import clause_lines
from checker.report.terminal import Paint, Terminal
from checker.report.verdict_line import verdict_lines
from checker.temporal.requirement import Aim, Expectation

NAME = 30
"""Columns for a spec's name; the gallery's longest names fit."""
COUNTS = 30


def unexpected(report: Report) -> list[str]:
    """What a spec did not expect: verdicts other than the expected ones. A spec that expects
    every requirement PROVED expects no finding and no dead output either."""
    surprises = [v.requirement.identifier for v in report.verdicts if not v.as_expected]
    verdicts = report.verdicts
    if all(v.requirement.expected is Expectation.PROVED for v in verdicts):
        surprises += [found.finding.kind.value for found in report.findings]
        surprises += [f"{name} never on" for name in report.never_on]
    return surprises


def counts(report: Report) -> str:
    """``3 PROVED, 1 VIOLATED``."""
    parts = []
    for outcome in Outcome:
        number = sum(verdict.outcome is outcome for verdict in report.verdicts)
        if number:
            parts.append(f"{number} {outcome.value}")
    if report.findings:
        parts.append(count(len(report.findings), "finding"))
    if report.never_on:
        parts.append("never on")
    return ", ".join(parts) or "nothing asked"


def table_heading(terminal: Terminal) -> list[str]:
    text = f"{'spec':<{NAME}}  asked  {'came out':<{COUNTS}}  expected     time"
    return [terminal.paint(text.rstrip(), Paint.STRONG)]


def table_row(name: str, report: Report, opening: str, terminal: Terminal) -> list[str]:
    """One spec's row, what it is below, and what was not expected."""
    surprises = unexpected(report)
    word = terminal.paint(f"{'NO' if surprises else 'yes':<8}", _paint(surprises))
    asked = f"{len(report.verdicts):>5}"
    row = f"{name:<{NAME}}  {asked}  {counts(report):<{COUNTS}}  {word}  "
    lines = [row + f"{wall_time(report.seconds):>7}"]
    if opening:
        lines.append("    " + terminal.clip(terminal.shown(opening), terminal.width - 4))
    if surprises:
        lines += terminal.wrap(f"not as expected: {', '.join(surprises)}", 4, 8)
    return lines


def unusable_row(name: str) -> str:
    return f"{name:<{NAME}}  {'':>5}  {'cannot be used, see above':<{COUNTS}}  NO"


def _paint(surprises: list[str]) -> Paint:
    return Paint.BAD if surprises else Paint.GOOD


def showcase_lines(reports: list[Report], terminal: Terminal) -> list[str]:
    """One proof with its invariant and one counterexample in full."""
    lines: list[str] = []
    for report, verdict in _first(reports, Outcome.PROVED):
        lines += ["", _title(report, "one proof in full", terminal)]
        lines += verdict_lines(verdict, report, terminal)
        lines += clause_lines(verdict, terminal)
    for report, verdict in _first(reports, Outcome.VIOLATED):
        lines += ["", _title(report, "one counterexample in full", terminal)]
        lines += violation_lines(verdict, report, terminal)
    return lines


def _title(report: Report, what: str, terminal: Terminal) -> str:
    return terminal.paint(f"{report.specification.name}: {what}", Paint.STRONG)


def _first(reports: list[Report], outcome: Outcome) -> list[tuple[Report, Verdict]]:
    """The first verdict of this outcome that was expected and has its evidence, or none."""
    fitting = (
        (report, verdict)
        for report in reports
        for verdict in report.verdicts
        if verdict.outcome is outcome and verdict.as_expected and _has_evidence(verdict)
    )
    return list(next(([pair] for pair in fitting), []))


def _has_evidence(verdict: Verdict) -> bool:
    if verdict.outcome is Outcome.VIOLATED:
        return verdict.counterexample is not None
    certificate = verdict.certificate
    holds = verdict.requirement.aim is Aim.HOLDS
    return holds and certificate is not None and bool(certificate.clauses)
