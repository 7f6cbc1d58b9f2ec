"""Fault tables of several specs side by side, by kind of fault."""

from __future__ import annotations

from collections.abc import Sequence

from twohand.analyses.faults.table import FaultRow, FaultTable
from twohand.analyses.faults.words import SOURCES, lost, lost_by_ending
from twohand.report.drawing.terminal import Terminal, text_width
from twohand.specification.model.fault import FaultKind

KINDS = {
    FaultKind.STUCK_OPEN: "contact stuck open",
    FaultKind.STUCK_CLOSED: "contact stuck closed",
    FaultKind.SHORT: "short of two contacts",
    FaultKind.OUTPUT_SHORT: "short with an output",
    FaultKind.SUPPLY_LOST: "supply lost",
    FaultKind.STUCK_FALSE: "feedback stuck FALSE",
    FaultKind.STUCK_TRUE: "feedback stuck TRUE",
}
NONE = "-"
EXPLANATION = (
    "Of so many faults of a kind so many cost a requirement (availability aside), whether the "
    "type allows that or not."
)


def comparison_lines(tables: Sequence[FaultTable], terminal: Terminal) -> list[str]:
    """A row for each kind of fault, a column for each spec; nothing for a single spec."""
    if len(tables) < 2:
        return []
    names = [terminal.shown(table.sound.specification.name) for table in tables]
    rows = [
        (title, [_cost(_of_kind(table, kind)) for table in tables])
        for kind, title in KINDS.items()
        if any(_of_kind(table, kind) for table in tables)
    ]
    if any(row.ending for table in tables for row in table.rows):
        rows.append(("costs more if it ends", [_by_ending(table) for table in tables]))
    rows.append(("may stay unnoticed", [_unnoticed(table) for table in tables]))
    labels = max(len(title) for title, _ in rows) + 2
    widths = [
        max(text_width(name), *(len(cells[number]) for _, cells in rows)) + 2
        for number, name in enumerate(names)
    ]
    lines = [terminal.heading("Side by side")]
    for title, cells in [("", names), *rows]:
        texts = [terminal.pad(cell, width) for cell, width in zip(cells, widths, strict=True)]
        lines.append(f"  {title:<{labels}}{''.join(texts)}".rstrip())
    return [*lines, *terminal.paragraphs((EXPLANATION, SOURCES), 2)]


def _of_kind(table: FaultTable, kind: FaultKind) -> list[FaultRow]:
    return [row for row in table.rows if row.faults[0].kind is kind]


def _cost(rows: Sequence[FaultRow]) -> str:
    if not rows:
        return NONE
    costly = sum(bool(lost(row)) for row in rows)
    return f"{costly or 'none'} of {len(rows)}"


def _by_ending(table: FaultTable) -> str:
    costly = sum(bool(lost_by_ending(row)) for row in table.rows)
    return f"{costly or 'none'} of {len(table.rows)}"


def _unnoticed(table: FaultTable) -> str:
    asked = [row for row in table.rows if row.noticed is not None]
    unnoticed = sum(not row.surely_noticed for row in asked)
    return f"{unnoticed or 'none'} of {len(asked)}" if asked else NONE
