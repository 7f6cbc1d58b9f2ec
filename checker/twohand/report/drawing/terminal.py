"""Where a report is shown: its width, its characters and its colours. Nothing here prints."""

from __future__ import annotations

import textwrap
import unicodedata
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import Enum
from typing import TypeVar

import click


@dataclass(frozen=True)
class Glyphs:
    """The characters that reports draw with; every field is one column wide, ``gap`` two."""

    line: str
    upper: str
    """A level on the upper row of a wave; ``lower`` on the lower row."""
    lower: str
    rise_upper: str
    rise_lower: str
    fall_upper: str
    fall_lower: str
    bar: str
    tick: str
    gap: str
    here: str
    times: str
    clipped: str


LINES = Glyphs("─", "─", "─", "┌", "┘", "┐", "└", "│", "┬", "╱╱", "▲", "×", "…")
UNSHOWN = ("Cc", "Cf", "Cs", "Zl", "Zp")
"""Categories of characters that a console shows as nothing, or obeys."""
PLAIN = Glyphs("-", "_", "_", " ", "|", " ", "|", "|", "+", "//", "^", "x", "~")


class Paint(Enum):
    """What a colour says; the values are ``click.style`` arguments."""

    GOOD = ("green", True)
    BAD = ("red", True)
    OPEN = ("yellow", True)
    STRONG = (None, True)
    PLACE = ("cyan", False)


def character_width(character: str) -> int:
    """Columns that one character takes on a terminal: 0, 1 or 2 (Unicode Annex 11)."""
    if unicodedata.combining(character) or unicodedata.category(character) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if unicodedata.east_asian_width(character) in ("W", "F") else 1


def text_width(text: str) -> int:
    """Columns that a text without control characters takes."""
    return sum(character_width(character) for character in text)


def can_encode(text: str, encoding: str) -> bool:
    try:
        text.encode(encoding)
    except (UnicodeEncodeError, LookupError):
        return False
    return True


@dataclass(frozen=True)
class Terminal:
    """``width`` in columns (at least 40); ``lines`` says that line drawing is wanted."""

    width: int = 100
    lines: bool = True
    color: bool = False
    encoding: str = "utf-8"

    @property
    def glyphs(self) -> Glyphs:
        return LINES if self.lines else PLAIN

    def paint(self, text: str, paint: Paint) -> str:
        if not self.color or not text:
            return text
        foreground, bold = paint.value
        return click.style(text, fg=foreground, bold=bold or None)

    def heading(self, text: str) -> str:
        return self.paint(self.shown(text), Paint.STRONG)

    def shown(self, text: str) -> str:
        """User text made harmless: what the console cannot show (or would obey) is a ``?`` as wide
        as the character was."""
        return "".join(self._shown(character) for character in text)

    def _shown(self, character: str) -> str:
        if unicodedata.category(character) in UNSHOWN:
            return "?"
        if can_encode(character, self.encoding):
            return character
        return "?" * character_width(character)

    def wrap(self, text: str, indent: int = 0, hanging: int | None = None) -> list[str]:
        """``text`` as lines that fit, the first indented by ``indent``, others by ``hanging``."""
        following = indent if hanging is None else hanging
        return textwrap.wrap(
            self.shown(text),
            max(self.width, following + 20),
            initial_indent=" " * indent,
            subsequent_indent=" " * following,
            break_long_words=False,
            break_on_hyphens=False,
        )

    def paragraphs(
        self, texts: Iterable[str], indent: int = 0, hanging: int | None = None
    ) -> list[str]:
        """Several texts, each wrapped."""
        return [line for text in texts for line in self.wrap(text, indent, hanging)]

    def clip(self, text: str, width: int) -> str:
        """``text`` cut to ``width`` columns, its cut end marked."""
        if text_width(text) <= width:
            return text
        kept = ""
        for character in text:
            if text_width(kept + character) >= width:
                break
            kept += character
        return kept + self.glyphs.clipped

    def pad(self, text: str, width: int) -> str:
        return text + " " * (width - text_width(text))


Item = TypeVar("Item")


def rows_that_fit(
    items: Iterable[Item], width: Callable[[Item], int], room: int
) -> list[list[Item]]:
    """Items in rows that fit; one that alone is too wide has a row of its own."""
    rows: list[list[Item]] = [[]]
    used = 0
    for item in items:
        if rows[-1] and used + width(item) > room:
            rows.append([])
            used = 0
        rows[-1].append(item)
        used += width(item)
    return rows
