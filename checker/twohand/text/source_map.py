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


EDITED = "(changed)"
"""Where the path of an edited text begins, for it is not what lies in the file."""


def edited(source: SourceText, edits: Iterable[tuple[int, int, str]]) -> SourceText:
    """The text where the characters from ``start`` to ``end`` are others, for each of ``edits``,
    which are in order. What is as it was keeps the place that it is from. ValueError where two
    edits overlap."""
    parts: list[str] = []
    moved: list[tuple[int, int, int]] = []
    last = 0
    for start, end, text in edits:
        if start < last:
            raise ValueError("two edits of a text overlap")
        parts += [source.text[last:start], text]
        moved.append((start, end, len(text)))
        last = end
    text = "".join([*parts, source.text[last:]])
    if not isinstance(source, TranslatedText):
        return SourceText(f"{EDITED}/{source.path}", text)
    return replace(
        source,
        text=text,
        pieces=tuple(_shifted_pieces(source, moved)),
        refusals=tuple(
            replace(each, start=_shifted(each.start, moved), end=_shifted(each.end, moved))
            for each in source.refusals
        ),
    )


def _shifted(position: int, moved: list[tuple[int, int, int]]) -> int:
    """Where the character at this position is after edits; one that is gone is at their end."""
    shift = 0
    for start, end, length in moved:
        if position >= end:
            shift += length - (end - start)
        elif position > start:
            return start + shift + length
    return position + shift


def _shifted_pieces(
    source: TranslatedText, moved: list[tuple[int, int, int]]
) -> Iterator[PlacedPiece]:
    """The pieces of an edited translation; one with an edit in it is no copy any more."""
    ends = [*(piece.begin for piece in source.pieces[1:]), len(source.text)]
    for piece, end in zip(source.pieces, ends, strict=True):
        within = any(start < end and stop >= piece.begin for start, stop, _ in moved)
        begin = _shifted(piece.begin, moved)
        yield PlacedPiece(begin, piece.place, piece.copied and not within)


def refused_parts(source: SourceText, start: int, end: int) -> Iterator[Diagnostic]:
    """What is wrong with the parts from ``start`` to ``end`` that represent something not read."""
    if isinstance(source, TranslatedText):
        for refusal in source.refusals:
            if refusal.start < end and start < refusal.end:
                yield from refusal.problems
