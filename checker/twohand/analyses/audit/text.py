"""An audit as text: counts, the table change x requirement, and what is not noticed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from twohand.analyses.audit.results import ASKED, Audit, AuditRow, Noticing
from twohand.analyses.audit.words import (
    COMPARED,
    COUNTS_NO_SCORE,
    STRUCTURED_TEXT,
    UNNOTICED_IS_NO_FAULT,
    WHY_OPEN,
    beside_sentence,
    cell_mark,
    difference_sentence,
    needless_sentence,
    summary_sentence,
    unable_sentence,
)
from twohand.report.cautions import caution_texts
from twohand.report.drawing.source_line import address, marked_line
from twohand.report.drawing.terminal import Paint, Terminal
from twohand.report.run import run_lines
from twohand.report.summary import specification_lines
from twohand.report.verdict_line import worded

LEGEND = "x: notices it; .: does not; ?: undecided"
_STANDING = {
    Noticing.NOTICED: ("noticed", Paint.GOOD),
    Noticing.UNNOTICED: ("NOT noticed", Paint.BAD),
    Noticing.UNSURE: ("NOT noticed", Paint.OPEN),
    Noticing.OPEN: ("undecided", Paint.OPEN),
    Noticing.FINDING: ("finding", Paint.STRONG),
    Noticing.SAME: ("the same", Paint.STRONG),
}
_LEAST_WORDS = 24


def audit_lines(found: Audit, terminal: Terminal, details: bool = False) -> list[str]:
    """Everything but the cautions; ``details`` shows whole runs."""
    lines = specification_lines(found.subject.specification, terminal)
    sentences = (summary_sentence(found), beside_sentence(found))
    lines += terminal.paragraphs(filter(None, sentences), 2, 4)
    lines += ["", *_table_lines(found, terminal)]
    notes = (unable_sentence(found), needless_sentence(found))
    for note in filter(None, notes):
        lines += ["", *terminal.wrap(note, 2, 4)]
    for row in (*found.unnoticed, *found.of(Noticing.UNSURE, Noticing.OPEN, Noticing.FINDING)):
        lines += ["", *_row_lines(row, terminal, details)]
    return lines


def audit_cautions(found: Sequence[Audit]) -> list[str]:
    """Sentences; what is said of every check comes last."""
    own = [COUNTS_NO_SCORE, UNNOTICED_IS_NO_FAULT, COMPARED]
    return [*own, *caution_texts([each.subject.specification for each in found])]


def _table_lines(found: Audit, terminal: Terminal) -> Iterator[str]:
    """A row for each change: where it is, what it is, who notices it. Requirements have numbers."""
    if not found.rows:
        return
    names = [requirement.identifier for requirement in found.asked]
    numbered = ", ".join(f"{number} {name}" for number, name in enumerate(names, 1))
    yield from terminal.wrap(numbered, 2, 4)
    yield from terminal.wrap(LEGEND, 2, 4)
    yield ""
    places = [_place(row) for row in found.rows]
    first = max(map(len, [*places, "place"]))
    wide = max(len(word) for word, _ in _STANDING.values())
    widths = [len(str(number)) for number in range(1, len(names) + 1)]
    room = terminal.width - 2 - first - 2 - sum(widths) - len(widths) - 2 - wide
    longest = max(len(terminal.shown(row.change.words)) for row in found.rows)
    words = max(_LEAST_WORDS, min(room, longest))
    numbers = " ".join(map(str, range(1, len(names) + 1)))
    heading = f"  {'place'.ljust(first)}  {'change'.ljust(words)}  {numbers}"
    yield terminal.paint(heading, Paint.STRONG)
    for row, place in zip(found.rows, places, strict=True):
        shown = terminal.pad(terminal.clip(terminal.shown(row.change.words), words), words)
        marks = " ".join(
            cell_mark(cell.outcome, cell.notices).rjust(width)
            for cell, width in zip(row.cells, widths, strict=True)
        )
        word, paint = _STANDING[row.standing]
        yield f"  {place.ljust(first)}  {shown}  {marks}  {terminal.paint(word, paint)}"


def _place(row: AuditRow) -> str:
    return f"{row.change.span.line}:{row.change.span.column}"


def _row_lines(row: AuditRow, terminal: Terminal, details: bool) -> list[str]:
    """A change with its source line, and the run that shows what differs."""
    word, paint = _STANDING[row.standing]
    change = row.change
    title = f"{address(change.span)}: {change.kind.value}: {change.words}"
    lines = worded(word, paint, title, terminal)
    lines += marked_line(change.span, terminal)
    if change.translated:
        lines += terminal.wrap(STRUCTURED_TEXT, 2)
    sentence = difference_sentence(row)
    lines += terminal.wrap(sentence, 2) if sentence else []
    if row.standing in (Noticing.UNSURE, Noticing.OPEN):
        lines += terminal.wrap(WHY_OPEN, 2)
    difference = row.difference
    if difference is not None:
        beside = difference.beside
        asked = beside.requirement(ASKED[difference.severity])
        spec = beside.comparison.specification
        lines += run_lines(difference.run, spec, asked, terminal, "differs", details)
    return lines


def audit_total(found: Sequence[Audit]) -> str:
    """Of all specs of a file."""
    names = (each.subject.specification.name for each in found)
    said = zip(names, map(summary_sentence, found), strict=True)
    return "; ".join(f"{name}: {sentence}" for name, sentence in said)
