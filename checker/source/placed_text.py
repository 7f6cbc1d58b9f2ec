"""Text that was made from other text, in which every place is told as the place that it is from."""

from __future__ import annotations

import bisect
from abc import abstractmethod
from dataclasses import dataclass, field

from checker.source.text import SourceText, Span


@dataclass(frozen=True, eq=False)
class PlacedText(SourceText):
    """A text that no file has as it stands."""

    @abstractmethod
    def located(self, start: int, end: int) -> Span:
        """The place that a part of this text comes from."""


@dataclass(frozen=True, eq=False)
class TranslatedText(PlacedText):
    """Structured text that says what a file says in another form.

    The piece that begins at ``begins[i]`` comes from ``places[i]``; where a piece is a copy of its
    place, character by character, a part of it comes from the same part of the place."""

    original: SourceText = field(repr=False, default_factory=lambda: SourceText("", ""))
    begins: tuple[int, ...] = field(repr=False, default=())
    places: tuple[Span, ...] = field(repr=False, default=())

    def located(self, start: int, end: int) -> Span:
        first = self._at(start, end)
        last = self._at(max(end - 1, start), end)
        return first if last.end < first.start else first.through(last)

    def _at(self, position: int, end: int) -> Span:
        """The place of the piece that has ``position``, or of the part of it up to ``end``."""
        number = max(bisect.bisect_right(self.begins, position) - 1, 0)
        begin, place = self.begins[number], self.places[number]
        following = self.begins[number + 1] if number + 1 < len(self.begins) else len(self.text)
        if self.text[begin:following] != place.text:
            return place
        start = place.start + position - begin
        stop = min(place.start + min(end, following) - begin, place.end)
        return Span(place.source, min(start, place.end), max(stop, start))


class TextMaker:
    """Puts a translation together, piece by piece."""

    def __init__(self, original: SourceText) -> None:
        self._original = original
        self._pieces: list[str] = []
        self._begins: list[int] = []
        self._places: list[Span] = []
        self._length = 0

    def add(self, text: str, place: Span) -> None:
        """A piece of text that comes from ``place``."""
        if text:
            self._pieces.append(text)
            self._begins.append(self._length)
            self._places.append(place)
            self._length += len(text)

    def text(self) -> TranslatedText:
        """What was added so far."""
        whole = "".join(self._pieces)
        begins, places = tuple(self._begins), tuple(self._places)
        return TranslatedText(self._original.path, whole, self._original, begins, places)
