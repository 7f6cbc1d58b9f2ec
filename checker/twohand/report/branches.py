"""Along how many branches the text was executed and found to be as its model."""

from __future__ import annotations

from twohand.evidence.verdict import ExecutedBranches
from twohand.report.drawing.source_line import file_and_line
from twohand.report.drawing.terminal import Paint, Terminal
from twohand.report.verdict_line import WORD, worded
from twohand.specification.phrases import count

_MOST_NAMED = 3
"""Unless all are asked for."""


def branch_lines(branches: ExecutedBranches, terminal: Terminal, every: bool) -> list[str]:
    """The count, and what was missed; nothing where a scan has no branches."""
    if not branches.total:
        return []
    number = count(branches.total, "branch", "branches")
    text = (
        f"{branches.executed} of {number} of a scan, from any state: the text and its model agree"
    )
    lines = worded("EXECUTED", Paint.GOOD, text, terminal)
    shown = branches.missed if every else branches.missed[:_MOST_NAMED]
    named = [f"{file_and_line(each.span)}: {each.words}: {each.why.value}" for each in shown]
    if len(shown) < len(branches.missed):
        named.append(f"and {len(branches.missed) - len(shown)} more (--details)")
    return [*lines, *terminal.paragraphs(named, WORD + 2, WORD + 4)]
