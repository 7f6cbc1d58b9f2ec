"""Source files as text, and spans that point into them."""

from __future__ import annotations

import bisect
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import PurePath

COMMAND_LINE = "command line"
"""The path of the texts that are given as options."""


@dataclass(frozen=True, eq=False)
class SourceText:
    """One file's decoded text; ``path`` is shown to the user as he wrote it. ``sha256`` is that of
    the bytes that were read, in hexadecimal; '' for a text that is no file as it is."""

    path: str
    text: str = field(repr=False)
    sha256: str = field(default="", kw_only=True, repr=False)

    @cached_property
    def title(self) -> str:
        """The file's name without its ending, as a list of its global variables is called: a name
        of structured text begins with no digit, and solvers take none that does."""
        stem = PurePath(self.path.replace("\\", "/")).stem.replace("|", "_")
        return f"_{stem}" if stem[:1].isdigit() else stem

    @cached_property
    def line_starts(self) -> tuple[int, ...]:
        """Offsets at which lines begin; ``\\n`` ends a line (texts are normalised on reading)."""
        starts = [0]
        starts.extend(i + 1 for i, character in enumerate(self.text) if character == "\n")
        return tuple(starts)

    def line(self, number: int) -> str:
        """The text of line ``number`` (from 1), without its end."""
        start = self.line_starts[number - 1]
        end = self.text.find("\n", start)
        return self.text[start:] if end < 0 else self.text[start:end]


@dataclass(frozen=True, order=False)
class Span:
    """The characters ``start`` (inclusive) to ``end`` (exclusive) of a source text; ``origin`` is
    what they say in structured text, where the file says it in another form."""

    source: SourceText
    start: int
    end: int
    origin: Span | None = field(default=None, repr=False)

    @property
    def line(self) -> int:
        """Line number of the first character, from 1."""
        return bisect.bisect_right(self.source.line_starts, self.start)

    @property
    def column(self) -> int:
        """Column of the first character, from 1, counted in characters."""
        return self.start - self.source.line_starts[self.line - 1] + 1

    @property
    def text(self) -> str:
        """As structured text."""
        if self.origin is not None:
            return self.origin.text
        return self.source.text[self.start : self.end]

    def through(self, other: Span) -> Span:
        """The span from this one's start to the other's end."""
        origin = self.origin
        if origin is not None:
            origin = None if other.origin is None else origin.through(other.origin)
        return Span(self.source, self.start, max(self.end, other.end), origin)


def text_until(whole: Span, last: Span) -> str:
    """The structured text from the start of ``whole`` to the end of ``last``, a part of it."""
    if whole.origin is not None and last.origin is not None:
        whole, last = whole.origin, last.origin
    return whole.source.text[whole.start : last.end]
