"""A page of Markdown as lines for a terminal: what the manual uses of it, and no more.

Headings, paragraphs, lists, quotes, tables and fenced blocks, which begin at the left margin.
A row of a table becomes its first cell with the others below it, since no column would fit.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from twohand.report.drawing.terminal import LINES, PLAIN, Terminal

FENCE = "```"
_LINK = re.compile(r"\[([^\]]+)\]\((\w+)\.md\)")
_DRAWN = ("".join(vars(glyphs).values()) for glyphs in (LINES, PLAIN))
_PLAIN = {ord(ours): plain for ours, plain in reversed([*zip(*_DRAWN, strict=True)])}
"""What a plain console shows instead; the first glyph that a character is drawn for counts."""

FILES = ("st", "spec", "diff")
"""The languages of fenced blocks that are files, or change one."""


def markdown_lines(text: str, terminal: Terminal) -> list[str]:
    """The page, as wide as the terminal at most; fenced blocks are as they are."""
    lines: list[str] = []
    for block in _blocks(text.split("\n")):
        lines += ["", *_block_lines(block, terminal)] if lines else _block_lines(block, terminal)
    return lines


def _blocks(lines: Sequence[str]) -> Iterator[list[str]]:
    """Runs of lines without a blank one between them; a fenced block is one run."""
    block: list[str] = []
    fenced = False
    for line in lines:
        fence = line.startswith(FENCE)
        if block and not fenced and (fence or not line.strip()):
            yield block
            block = []
        if fenced or line.strip():
            block.append(line)
        if fence and fenced:
            yield block
            block = []
        fenced ^= fence
    if block:
        yield block


def _block_lines(block: list[str], terminal: Terminal) -> list[str]:
    first = block[0]
    if first.startswith(FENCE):
        return _fenced_lines(block, terminal)
    if first.startswith("#"):
        return [terminal.heading(first.lstrip("# "))]
    if first.startswith("|"):
        return _table_lines(block, terminal)
    if first.startswith("- "):
        return [line for item in _items(block) for line in _wrapped(item, terminal, 0, 2)]
    if first.startswith("> "):
        return _wrapped(" ".join(line.lstrip("> ") for line in block), terminal, 2, 2)
    return _wrapped(" ".join(block), terminal, 0, 0)


def _fenced_lines(block: list[str], terminal: Terminal) -> list[str]:
    """What a block shows, below the name of the file that it is or changes."""
    language, _, name = block[0].removeprefix(FENCE).partition(" ")
    shown = block[1:-1] if terminal.lines else [line.translate(_PLAIN) for line in block[1:-1]]
    heading = []
    if language in FILES:
        heading = [terminal.shown(f"{name}, changed:" if language == "diff" else f"{name}:"), ""]
    return [*heading, *(f"    {terminal.shown(line)}".rstrip() for line in shown)]


def _items(block: list[str]) -> list[str]:
    items: list[str] = []
    for line in block:
        if line.startswith("- "):
            items.append(line)
        else:
            items[-1] += f" {line.strip()}"
    return items


def _table_lines(block: list[str], terminal: Terminal) -> list[str]:
    heading, _, *rows = [_cells(row) for row in block]
    lines: list[str] = []
    for first, *others in rows:
        lines += _wrapped(first, terminal, 2, 4)
        named = list(zip(heading[1:], others, strict=True))
        for name, cell in named:
            label = f"{name}: " if name and len(named) > 1 else ""
            lines += _wrapped(f"{label}{cell}", terminal, 6, 6) if cell else []
    return lines


def _cells(row: str) -> list[str]:
    """The cells of a row; a bar in one is written as in Markdown, behind a backslash."""
    parts = re.split(r"(?<!\\)\|", row.strip().strip("|"))
    return [part.strip().replace("\\|", "|") for part in parts]


def _wrapped(text: str, terminal: Terminal, indent: int, hanging: int) -> list[str]:
    return terminal.wrap(_plain(text), indent, hanging)


def _plain(text: str) -> str:
    """Text without the marks of links and stress."""
    linked = _LINK.sub(r"\1 ('twohand manual \2')", text)
    return linked.replace("**", "").replace("`", "")
