"""One line a message, ``file:line:column: verdict: message``, for editors."""

from __future__ import annotations

from twohand.evidence.verdict import Outcome, Report, Verdict
from twohand.report.beyond_findings import beyond_sentences
from twohand.report.drawing.diagnostics import one_line
from twohand.report.drawing.source_line import address
from twohand.report.drawing.terminal import Terminal
from twohand.report.summary import all_warnings, lag_sentence
from twohand.report.verdict_line import (
    another_sentence,
    emptiness,
    expectation,
    outcome_word,
    possibility,
)


def _message(verdict: Verdict) -> str:
    requirement = verdict.requirement
    text = requirement.sentence
    if verdict.outcome is Outcome.VIOLATED and verdict.seen:
        text = verdict.seen
    elif verdict.outcome is Outcome.UNDECIDED and verdict.reason:
        text = f"{requirement.sentence}; stopped by: {verdict.reason}"
    why = emptiness(verdict)
    if why:
        text += f"; {why}"
    note = expectation(verdict)
    return f"{text} ({requirement.identifier})" + (f"; {note}" if note else "")


def concise_lines(report: Report, terminal: Terminal) -> list[str]:
    """A report in lines that an editor can jump from; nothing that counts is left out."""
    lines = []
    for verdict in report.verdicts:
        word = outcome_word(verdict).lower()
        lines.append(f"{address(verdict.requirement.span)}: {word}: {_message(verdict)}")
        if verdict.another is not None:
            other = (
                f"{verdict.requirement.identifier}: {another_sentence(verdict, verdict.another)}"
            )
            lines.append(f"{address(verdict.requirement.span)}: another: {other}")
    for found in report.findings:
        word = "finding" if found.outcome is Outcome.VIOLATED else "undecided"
        lines.append(f"{address(found.finding.span)}: {word}: {possibility(found)}")
    for name in report.never_on:
        lines.append(f"{_place(name, report)}: never-on: output {name} can never turn on")
    for sentence in beyond_sentences(report):
        lines.append(f"{report.specification.source.path}:1:1: overflow: {sentence}")
    for name in report.on_after_finding:
        place = _place(name, report)
        lines.append(f"{place}: off: output {name} stays off until one of the findings happens")
    for lag in report.lags:
        place = f"{report.specification.source.path}:1:1"
        lines.append(f"{place}: lag: {lag.station}: {lag_sentence(lag, report)}")
    for accepted in report.specification.accepted:
        said = accepted.warning
        place = address(said.span) if said.span else report.specification.source.path
        lines.append(f"{place}: accepted: {said.message}: {accepted.reason} [{said.code}]")
    lines += [one_line(warning) for warning in all_warnings(report)]
    return [terminal.shown(" ".join(line.split())) for line in lines]


def _place(name: str, report: Report) -> str:
    """Where an output is declared."""
    specification = report.specification
    variable = specification.program.variable(name)
    return address(variable.span) if variable else f"{specification.source.path}:1:1"
