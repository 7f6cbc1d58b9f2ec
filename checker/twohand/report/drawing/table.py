"""The table of a run: rows by group, a column for each event, equal scans folded."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from twohand.program.durations import Units
from twohand.report.drawing.lanes import Lane, LaneGroup, Picture, ScanRange, stretches
from twohand.report.drawing.long_run import Gap, outer_blocks
from twohand.report.drawing.terminal import rows_that_fit, text_width
from twohand.specification.phrases import count, duration

SPACE = 2


@dataclass(frozen=True)
class TableColumn:
    """``scan`` is shown, with news against ``before`` (None: everything is news); ``folded``: the
    end of a fold, with what ran on meanwhile."""

    heading: tuple[str, str]
    scan: int
    before: int | None
    folded: bool = False


_Block = list[tuple[TableColumn, int]]
"""Columns that are side by side, each with its width."""


def table_lines(picture: Picture, whole: bool = False) -> list[str]:
    """The table of a run; ``whole`` leaves nothing out and folds nothing."""
    terminal = picture.terminal
    lanes, still = _rows(picture.lanes, whole)
    rows = replace(picture, lanes=lanes)
    scans = len(picture.records)
    shown = [ScanRange(scan, scan) for scan in range(scans)] if whole else stretches(lanes, scans)
    labels = min(max(text_width(lane.label) for lane in lanes) + 2, terminal.width // 2)
    room = terminal.width - labels - 2 * SPACE
    columns = [(column, _width(column, rows)) for column in _columns(shown, rows)]
    blocks = rows_that_fit(columns, lambda each: each[1], room)
    parts = [*blocks] if whole else outer_blocks(blocks, lambda b: (b[0][0].scan, b[-1][0].scan))
    lines: list[str] = []
    after_gap = False
    for part in parts:
        lines += [""] if lines else []
        if isinstance(part, Gap):
            words = part.words(picture)
            lines += terminal.wrap(words, SPACE, SPACE + 1)
        else:
            lines += _block_lines(_all_new(part) if after_gap else part, rows, labels)
        after_gap = isinstance(part, Gap)
    if still:
        lines += terminal.wrap(f"unchanged: {picture.first_values(still)}", SPACE, SPACE + 11)
    return lines


def _all_new(block: _Block) -> _Block:
    """The block with every value in its first column."""
    (column, width), *others = block
    return [(replace(column, before=None), width), *others]


def _rows(lanes: Sequence[Lane], whole: bool) -> tuple[tuple[Lane, ...], tuple[Lane, ...]]:
    """Rows, and the internal variables that stay as they are."""
    if whole:
        return tuple(lanes), ()
    still = tuple(
        lane
        for lane in lanes
        if lane.group is LaneGroup.INTERNAL and not lane.changes and not lane.subject
    )
    return tuple(lane for lane in lanes if lane not in still), still


def _columns(shown: Sequence[ScanRange], rows: Picture) -> list[TableColumn]:
    columns = []
    for stretch in shown:
        first, last = stretch.first, stretch.last
        heading = (rows.time(first), rows.name(first))
        columns.append(TableColumn(heading, first, first - 1 if first else None))
        if last > first:
            lasting = Units(rows.records[last].time - rows.records[first].time)
            folded = f"{rows.terminal.glyphs.times} {count(last - first, 'scan')},"
            heading = (folded, duration(lasting, rows.clocking))
            columns.append(TableColumn(heading, last, first, True))
    return columns


def _cell(lane: Lane, column: TableColumn, rows: Picture) -> str:
    if column.before is not None and lane.values[column.before] == lane.values[column.scan]:
        return ""
    text = rows.value(lane, column.scan)
    return f"to {text}" if column.folded else text


def _width(column: TableColumn, rows: Picture) -> int:
    texts = [*column.heading, *(_cell(lane, column, rows) for lane in rows.lanes)]
    return max(text_width(text) for text in texts) + SPACE


def _block_lines(block: _Block, rows: Picture, labels: int) -> list[str]:
    terminal = rows.terminal

    def row(label: str, cells: list[str]) -> str:
        name = terminal.pad(terminal.clip(terminal.shown(label), labels), labels)
        texts = [
            " " * (width - text_width(cell)) + cell
            for cell, (_, width) in zip(cells, block, strict=True)
        ]
        return (" " * SPACE + name + "".join(texts)).rstrip()

    lines = [
        row("time", [column.heading[0] for column, _ in block]),
        row("", [column.heading[1] for column, _ in block]),
    ]
    for group in LaneGroup:
        members = [lane for lane in rows.lanes if lane.group is group]
        if members:
            lines.append(" " * SPACE + terminal.heading(group.value))
        for lane in members:
            cells = [terminal.shown(_cell(lane, column, rows)) for column, _ in block]
            lines.append(row(f"  {lane.label}", cells))
    return lines
