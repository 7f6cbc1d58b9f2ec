"""Diagnostics as text: the message, the user's own line with the place marked, and the way out."""

from __future__ import annotations

from twohand.report.drawing.source_line import address, marked_line
from twohand.report.drawing.terminal import Paint, Terminal
from twohand.text.diagnostic import Diagnostic, Severity

PAINTS = {
    Severity.ERROR: Paint.BAD,
    Severity.WARNING: Paint.OPEN,
    Severity.NOTE: Paint.STRONG,
}

LONGEST_TEXT = 300
"""Characters of one message."""


def place(diagnostic: Diagnostic) -> str:
    """Where it is, with the colon that ends it, or nothing."""
    if diagnostic.span is not None:
        return f"{address(diagnostic.span)}: "
    return f"{diagnostic.path}: " if diagnostic.path else ""


def shortened(text: str) -> str:
    """``text``, which may quote a name of any length, without the middle of what nobody reads."""
    if len(text) <= LONGEST_TEXT:
        return text
    half = LONGEST_TEXT // 2
    return f"{text[:half]} ... {text[-half:]}"


def one_line(diagnostic: Diagnostic) -> str:
    """``file:line:column: error: message [code]``."""
    severity = diagnostic.severity.value
    return f"{place(diagnostic)}{severity}: {shortened(diagnostic.message)} [{diagnostic.code}]"


def diagnostic_lines(diagnostic: Diagnostic, terminal: Terminal) -> list[str]:
    """A diagnostic in full."""
    severity = terminal.paint(f"{diagnostic.severity.value}:", PAINTS[diagnostic.severity])
    where = terminal.shown(place(diagnostic))
    lines = [
        f"{where}{severity} {terminal.shown(shortened(diagnostic.message))} [{diagnostic.code}]"
    ]
    if diagnostic.span is not None:
        lines += marked_line(diagnostic.span, terminal)
    if diagnostic.help:
        lines += terminal.wrap(f"help: {shortened(diagnostic.help)}", 2, 8)
    for span, note in diagnostic.related:
        lines.append(f"  {terminal.shown(address(span))}: {terminal.shown(note)}")
        lines += [f"  {line}" for line in marked_line(span, terminal)]
    return lines
