"""What holds if an overflow wraps, in words of its own: it is no proof of what the block does."""

from __future__ import annotations

from collections.abc import Iterator
from enum import Enum

from twohand.evidence.verdict import Outcome, Report, Verdict
from twohand.report.drawing.terminal import Paint, Terminal
from twohand.report.verdict_line import worded
from twohand.specification.model.specification import Aim


class IfWrapped(Enum):
    """What becomes of a requirement if an overflow wraps around."""

    HOLDS = "holds"
    FALLS = "falls"
    REACHED = "is reached"
    NEVER_REACHED = "is never reached"
    SAYS_NOTHING = "says nothing"
    OPEN = "is undecided"


_HOLDS = {
    Outcome.PROVED: IfWrapped.HOLDS,
    Outcome.VIOLATED: IfWrapped.FALLS,
    Outcome.VACUOUS: IfWrapped.SAYS_NOTHING,
    Outcome.UNDECIDED: IfWrapped.OPEN,
}
_REACHABLE = {
    **_HOLDS,
    Outcome.PROVED: IfWrapped.REACHED,
    Outcome.VACUOUS: IfWrapped.NEVER_REACHED,
}


def if_wrapped(verdict: Verdict) -> IfWrapped:
    """What a verdict on the block whose integers wrap says of the block whose overflow may wrap."""
    words = _REACHABLE if verdict.requirement.aim is Aim.REACHABLE else _HOLDS
    return words[verdict.outcome]


def beyond_sentences(report: Report) -> Iterator[str]:
    """A sentence for each requirement, and for each output that is never on; nothing where it was
    not asked, or where there is no overflow."""
    beyond = report.beyond
    if beyond is None:
        return
    until = ", until another finding happens" if beyond.findings else ""
    for verdict in beyond.verdicts:
        name = verdict.requirement.identifier
        seen = f": {verdict.seen.removeprefix(f'{name}: ')}" if verdict.seen else ""
        yield f"{name} {if_wrapped(verdict).value} if it wraps{until if not seen else ''}{seen}"
    for name in beyond.never_on:
        yield f"output {name} can never turn on if it wraps"


def beyond_lines(report: Report, terminal: Terminal) -> list[str]:
    sentences = beyond_sentences(report)
    return [
        line
        for sentence in sentences
        for line in worded("OVERFLOW", Paint.OPEN, sentence, terminal)
    ]
