"""The timing diagram of a run: square waves, quiet stretches broken, one moment marked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from twohand.program.durations import Nanoseconds
from twohand.program.types import Boolean
from twohand.report.drawing.lanes import Lane, LaneGroup, Picture, ScanRange, stretches
from twohand.report.drawing.long_run import Gap, outer_blocks
from twohand.report.drawing.terminal import Paint, Terminal, rows_that_fit, text_width
from twohand.scan.clocking import NANOSECONDS_PER_MILLISECOND
from twohand.specification.phrases import milliseconds, seconds

MARGIN = 2
LEAST_COLUMN = 4
BREAK = 4
"""Columns that a break adds to its stretch."""
DRAWN_OUT = 3
"""Up to so many equal scans are drawn out, more are broken."""
GOOD_MARKS = ("reached", "as expected")
"""Of a run in which nothing is wrong."""
LONG_RUN = Nanoseconds(100_000 * NANOSECONDS_PER_MILLISECOND)
"""From this time on the axis counts seconds."""


@dataclass(frozen=True)
class DiagramColumn:
    """One stretch as drawn, ``width`` columns of the terminal wide."""

    stretch: ScanRange
    width: int
    label: str

    @property
    def broken(self) -> bool:
        return self.stretch.scans > DRAWN_OUT


def drawn(lanes: Sequence[Lane]) -> tuple[tuple[Lane, ...], tuple[Lane, ...]]:
    """The lanes that a diagram draws, and the inputs that it only names because they are steady."""
    waves = tuple(
        lane for lane in lanes if lane.subject or (lane.group is LaneGroup.INPUTS and lane.changes)
    )
    steady = tuple(lane for lane in lanes if lane.group is LaneGroup.INPUTS and lane not in waves)
    return waves, steady


def diagram_lines(picture: Picture, mark: str) -> list[str]:
    """The diagram of a run; ``mark`` says what is marked at its last scan ('wrong')."""
    terminal = picture.terminal
    waves, steady = drawn(picture.lanes)
    labels = max([8, *(text_width(lane.label) for lane in waves)])
    labels = min(labels, terminal.width // 3)
    room = terminal.width - labels - 2 * MARGIN
    lines: list[str] = []
    columns = _columns(replace(picture, lanes=waves), room)
    panels = rows_that_fit(columns, lambda column: column.width, room)
    for panel in outer_blocks(panels, lambda each: (each[0].stretch.first, each[-1].stretch.last)):
        lines += ["", "  (further)"] if lines else []
        if isinstance(panel, Gap):
            words = panel.words(picture)
            lines[-1:] = terminal.wrap(words, MARGIN, MARGIN + 1)
            continue
        for lane in waves:
            rows = _wave(picture, lane, panel)
            lines += _labelled(rows, lane.label, labels, terminal)
        lines += _axis(picture, panel, labels, room, mark)
    if steady:
        lines += terminal.wrap(f"steady: {picture.first_values(steady)}", MARGIN, MARGIN + 8)
    return lines


def _in_seconds(picture: Picture) -> bool:
    return picture.clocking.nanoseconds(picture.records[-1].time) >= LONG_RUN


def _number(picture: Picture, lane: Lane, stretch: ScanRange) -> str:
    """A value lane's text in one stretch; ``0 ms..490 ms`` where it runs."""
    first, last = (picture.value(lane, scan) for scan in (stretch.first, stretch.last))
    return first if first == last else f"{first}..{last}"


def _columns(picture: Picture, room: int) -> list[DiagramColumn]:
    """Every stretch; one that is wider than the room is narrowed."""
    columns = []
    write = seconds if _in_seconds(picture) else milliseconds
    for stretch in stretches(picture.lanes, len(picture.records)):
        label = write(picture.records[stretch.first].time, picture.clocking)
        texts = [
            len(_number(picture, lane, stretch)) + 2
            for lane in picture.lanes
            if not isinstance(lane.kind, Boolean)
        ]
        width = max([LEAST_COLUMN, len(label) + 1, *texts])
        if stretch.scans > DRAWN_OUT:
            width += BREAK
        elif stretch.scans > 1:
            width = max(width, stretch.scans * (LEAST_COLUMN - 1))
        columns.append(DiagramColumn(stretch, min(width, room), label))
    return columns


def _labelled(rows: list[str], label: str, labels: int, terminal: Terminal) -> list[str]:
    """The rows of one lane behind its label, which is at the lowest."""
    margin = " " * MARGIN
    empty = " " * (labels + 2 * MARGIN)
    name = terminal.pad(terminal.clip(terminal.shown(label), labels), labels)
    return [
        *((empty + row).rstrip() for row in rows[:-1]),
        (margin + name + margin + rows[-1]).rstrip(),
    ]


def _wave(picture: Picture, lane: Lane, panel: list[DiagramColumn]) -> list[str]:
    if not isinstance(lane.kind, Boolean):
        return [_values(picture, lane, panel)]
    glyphs = picture.terminal.glyphs
    upper = lower = ""
    for column in panel:
        first = column.stretch.first
        now = bool(lane.values[first])
        known = first > 0 and lane.values[first - 1] is not None
        before = bool(lane.values[first - 1]) if known else now
        level = (glyphs.upper if now else glyphs.lower) * column.width
        if lane.values[first] is None and first < picture.past:
            level = " " * column.width
        elif column.broken:
            level = f"{level[:-3]}{glyphs.gap}{level[-1]}"
        other = " " * column.width
        high, low = (level, other) if now else (other, level)
        if now and not before:
            high, low = glyphs.rise_upper + high[1:], glyphs.rise_lower + low[1:]
        elif before and not now:
            high, low = glyphs.fall_upper + high[1:], glyphs.fall_lower + low[1:]
        upper += high
        lower += low
    return [upper, lower]


def _values(picture: Picture, lane: Lane, panel: list[DiagramColumn]) -> str:
    """A row of values, each written where it begins."""
    row = ""
    for place, column in enumerate(panel):
        first, last = column.stretch.first, column.stretch.last
        fresh = place == 0 or lane.values[first] != lane.values[first - 1]
        runs = lane.values[first] != lane.values[last]
        text = ""
        if picture.value(lane, first) and (fresh or runs):
            text = picture.terminal.glyphs.bar + _number(picture, lane, column.stretch)
        row += picture.terminal.clip(text, column.width).ljust(column.width)
    return row


def _axis(
    picture: Picture, panel: list[DiagramColumn], labels: int, room: int, mark: str
) -> list[str]:
    terminal, glyphs = picture.terminal, picture.terminal.glyphs
    ticks = times = ""
    for column in panel:
        line = glyphs.tick + glyphs.line * (column.width - 1)
        ticks += f"{line[:-3]}{glyphs.gap}{line[-1]}" if column.broken else line
        times += column.label.ljust(column.width)
    unit = "time, s" if _in_seconds(picture) else "time, ms"
    lines = _labelled([ticks, times], unit, labels, terminal)
    begin = next(
        (n for n, each in enumerate(panel) if each.stretch.first == picture.past > 0), None
    )
    if begin is not None:
        at = sum(column.width for column in panel[:begin])
        note = _note(glyphs.here, "power-up", at, room)
        lines.append(" " * (labels + 2 * MARGIN) + note)
    last = panel[-1]
    if last.stretch.last == len(picture.records) - 1:
        at = sum(column.width for column in panel) - last.width
        note = _note(glyphs.here, mark, at, room)
        words = note.lstrip()
        offset = " " * (labels + 2 * MARGIN + len(note) - len(words))
        lines.append(
            offset + terminal.paint(words, Paint.GOOD if mark in GOOD_MARKS else Paint.BAD)
        )
    return lines


def _note(here: str, words: str, at: int, room: int) -> str:
    """A mark at a column with its words, which are before it where they do not fit behind it."""
    note = f"{here} {words}"
    if at + len(note) > room:
        note = f"{words} {here}"
        at = max(0, at + 1 - len(note))
    return " " * at + note
