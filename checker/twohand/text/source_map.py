"""Text that was made from other text; every place in it is reported as the place it is from."""

from __future__ import annotations

import bisect
from abc import abstractmethod
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from typing import NamedTuple

from twohand.text.diagnostic import Diagnostic
from twohand.text.source_text import SourceText, Span


@dataclass(frozen=True, eq=False)
class PlacedText(SourceText):
    """A text that no file has as it is."""

    @abstractmethod
    def located(self, start: int, end: int) -> Span:
        """The place that a part of this text comes from."""


@dataclass(frozen=True, eq=False)
class Refusal:
    """Why the part from ``start`` to ``end`` of a translation cannot be used: it represents
    something that is not read, and has only the names in it."""

    start: int
    end: int
    problems: tuple[Diagnostic, ...]


class PlacedPiece(NamedTuple):
    """A piece of a translation, which begins at ``begin`` and comes from ``place``; where it is a
    copy of that, character by character, a part of it comes from the same part of the place."""

    begin: int
    place: Span
    copied: bool


@dataclass(frozen=True, eq=False)
class TranslatedText(PlacedText):
    """Structured text that says what a file says in another form."""

    original: SourceText = field(repr=False, default_factory=lambda: SourceText("", ""))
    pieces: tuple[PlacedPiece, ...] = field(repr=False, default=())
    refusals: tuple[Refusal, ...] = field(repr=False, default=())
    deviations: tuple[tuple[str, Span], ...] = field(repr=False, default=())
    """Where the file is not what its format asks for and was read all the same, and how."""

    def located(self, start: int, end: int) -> Span:
        if not self.pieces:
            return Span(self.original, 0, min(1, len(self.original.text)))
        first = self._at(start, end)
        last = self._at(max(end - 1, start), end)
        whole = first if last.end < first.start else first.through(last)
        return replace(whole, origin=Span(self, start, end))

    def _at(self, position: int, end: int) -> Span:
        """The place of the piece that has ``position``, or of the part of it up to ``end``."""
        number = bisect.bisect_right(self.pieces, position, key=lambda piece: piece.begin)
        begin, place, copied = self.pieces[max(number - 1, 0)]
        if not copied:
            return place
        following = self.pieces[number].begin if number < len(self.pieces) else len(self.text)
        start = place.start + position - begin
        stop = min(place.start + min(end, following) - begin, place.end)
        return Span(place.source, min(start, place.end), max(stop, start))


class TextMaker:
    """Puts a translation together, piece by piece."""

    def __init__(self, original: SourceText) -> None:
        self._original = original
        self._texts: list[str] = []
        self._pieces: list[PlacedPiece] = []
        self._refusals: list[Refusal] = []
        self._deviations: list[tuple[str, Span]] = []
        self._length = 0

    def add(self, text: str, place: Span) -> None:
        """A piece of text that comes from ``place``."""
        if text:
            self._texts.append(text)
            self._pieces.append(PlacedPiece(self._length, place, text == place.text))
            self._length += len(text)

    def refuse(self, text: str, place: Span, problems: Iterable[Diagnostic]) -> None:
        """A piece of text that represents ``place``, which is not read because of ``problems``."""
        start = self._length
        self.add(text, place)
        self._refusals.append(Refusal(start, self._length, tuple(problems)))

    def deviate(self, deviations: Iterable[tuple[str, Span]]) -> None:
        """Notes where the file is not what its format asks for."""
        self._deviations.extend(deviations)

    def text(self) -> TranslatedText:
        """What was added so far."""
        return TranslatedText(
            self._original.path, "".join(self._texts), self._original, tuple(self._pieces),
            tuple(self._refusals), tuple(self._deviations),
        )  # fmt: skip


def refused_parts(source: SourceText, start: int, end: int) -> Iterator[Diagnostic]:
    """What is wrong with the parts from ``start`` to ``end`` that represent something not read."""
    if isinstance(source, TranslatedText):
        for refusal in source.refusals:
            if refusal.start < end and start < refusal.end:
                yield from refusal.problems
