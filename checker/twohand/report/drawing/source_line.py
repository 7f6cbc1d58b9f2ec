"""A place in a source text: its address, its line, and the marks under it."""

from __future__ import annotations

from twohand.report.drawing.terminal import Paint, Terminal, character_width, text_width
from twohand.text.source_text import COMMAND_LINE, Span

TAB = 4
REACH = 1_000
"""Characters around the place that are looked at; more never fit on a screen."""


def _is_typed(span: Span) -> bool:
    """Whether it is the text of an option, which has no lines that its user knows."""
    return span.source.path == COMMAND_LINE


def address(span: Span) -> str:
    """``file:line:column``, both from 1."""
    if _is_typed(span):
        return COMMAND_LINE
    return f"{span.source.path}:{span.line}:{span.column}"


def file_and_line(span: Span) -> str:
    return f"{span.source.path}:{span.line}"


def _spread(text: str, terminal: Terminal) -> tuple[str, list[int]]:
    """The line as shown (tabs as blanks) and the column at which each character begins, with the
    column after the last one."""
    shown = ""
    columns = []
    column = 0
    for character in text:
        columns.append(column)
        piece = " " * (TAB - column % TAB) if character == "\t" else terminal.shown(character)
        shown += piece
        column += text_width(piece)
    return shown, [*columns, column]


def _window(shown: str, first: int, last: int, width: int) -> tuple[str, int]:
    """The part of a line that has the marked place in it, and how many columns were cut off."""
    if text_width(shown) <= width:
        return shown, 0
    begin = max(0, min(first - width // 4, text_width(shown) - width))
    if last <= width:
        begin = 0
    kept = ""
    column = 0
    cut = None
    for character in shown:
        if column >= begin and column + character_width(character) <= begin + width:
            cut = column if cut is None else cut
            kept += character
        column += character_width(character)
    return kept, cut or 0


def marked_line(span: Span, terminal: Terminal, note: str = "") -> list[str]:
    """The source line of a span with its characters marked by carets below; a span of several
    lines is marked to the end of its first one."""
    number = "" if _is_typed(span) else str(span.line)
    margin = " " * len(number)
    column, line = span.column - 1, span.source.line(span.line)
    cut_off = max(0, column - REACH)
    text = line[cut_off : column + REACH]
    shown, columns = _spread(text, terminal)
    start = min(column - cut_off, len(text))
    end = min(max(start + span.end - span.start, start + 1), len(text))
    first, last = columns[start], max(columns[end], columns[start] + 1)
    room = max(terminal.width - len(number) - 6, 20)
    visible, cut = _window(shown, first, last, room)
    carets = "^" * max(1, min(last - cut, room) - (first - cut))
    marks = f"{' ' * (first - cut)}{terminal.paint(carets, Paint.BAD)}"
    bar = terminal.glyphs.bar
    lines = [f"  {number} {bar} {visible}".rstrip(), f"  {margin} {bar} {marks}"]
    if note:
        lines[-1] += f" {terminal.shown(note)}"
    return lines
