"""The table of a run: rows by group, a column for each event, equal scans folded."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from twohand.program.durations import Units
from twohand.report.drawing.lanes import Lane, LaneGroup, ScanRange, stretches
from twohand.report.drawing.long_run import Gap, outer_blocks
from twohand.report.drawing.numbers import count, duration, value
from twohand.report.drawing.terminal import Paint, Terminal, text_width
from twohand.scan.clocking import Clocking
from twohand.scan.scan_record import ScanRecord

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


def table_lines(
    lanes: Sequence[Lane],
    records: Sequence[ScanRecord],
    clocking: Clocking,
    terminal: Terminal,
    whole: bool = False,
) -> list[str]:
    """The table of a run; ``whole`` leaves nothing out and folds nothing."""
    rows, still = _rows(lanes, whole)
    shown = [ScanRange(scan, scan) for scan in range(len(records))]
    columns = _columns(
        shown if whole else stretches(rows, len(records)), records, clocking, terminal
    )
    labels = min(max(text_width(lane.label) for lane in rows) + 2, terminal.width // 2)
    room = terminal.width - labels - 2 * SPACE
    lines: list[str] = []
    blocks = _blocks(columns, rows, clocking, room)
    parts = [*blocks] if whole else outer_blocks(blocks, _scans)
    after_gap = False
    for part in parts:
        lines += [""] if lines else []
        if isinstance(part, Gap):
            lines += terminal.wrap(part.words(records, clocking), SPACE, SPACE + 1)
        else:
            block = _all_new(part) if after_gap else part
            lines += _block_lines(block, rows, clocking, labels, terminal)
        after_gap = isinstance(part, Gap)
    if still:
        states = [f"{lane.label} {value(lane.values[0], lane.kind, clocking)}" for lane in still]
        lines += terminal.wrap(f"unchanged: {', '.join(states)}", SPACE, SPACE + 11)
    return lines


def _scans(block: _Block) -> tuple[int, int]:
    """The first and the last scan of a block."""
    return block[0][0].scan, block[-1][0].scan


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


def _columns(
    shown: Sequence[ScanRange],
    records: Sequence[ScanRecord],
    clocking: Clocking,
    terminal: Terminal,
) -> list[TableColumn]:
    columns = []
    for stretch in shown:
        first, last = stretch.first, stretch.last
        time = duration(records[first].time, clocking)
        columns.append(
            TableColumn((time, f"scan {first + 1}"), first, first - 1 if first else None)
        )
        if last > first:
            lasting = duration(Units(records[last].time - records[first].time), clocking)
            folded = f"{terminal.glyphs.times} {count(last - first, 'scan')},"
            columns.append(TableColumn((folded, lasting), last, first, True))
    return columns


def _cell(lane: Lane, column: TableColumn, clocking: Clocking) -> str:
    now = lane.values[column.scan]
    if column.before is not None and lane.values[column.before] == now:
        return ""
    text = value(now, lane.kind, clocking)
    return f"to {text}" if column.folded else text


def _width(column: TableColumn, rows: Sequence[Lane], clocking: Clocking) -> int:
    texts = [*column.heading, *(_cell(lane, column, clocking) for lane in rows)]
    return max(text_width(text) for text in texts) + SPACE


def _blocks(
    columns: list[TableColumn], rows: Sequence[Lane], clocking: Clocking, room: int
) -> list[_Block]:
    blocks: list[_Block] = [[]]
    used = 0
    for column in columns:
        width = _width(column, rows, clocking)
        if blocks[-1] and used + width > room:
            blocks.append([])
            used = 0
        blocks[-1].append((column, width))
        used += width
    return blocks


def _block_lines(
    block: _Block,
    rows: Sequence[Lane],
    clocking: Clocking,
    labels: int,
    terminal: Terminal,
) -> list[str]:
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
        members = [lane for lane in rows if lane.group is group]
        if members:
            lines.append(" " * SPACE + terminal.paint(group.value, Paint.STRONG))
        for lane in members:
            cells = [terminal.shown(_cell(lane, column, clocking)) for column, _ in block]
            lines.append(row(f"  {lane.label}", cells))
    return lines
