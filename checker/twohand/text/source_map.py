"""Text that was made from other text; every place in it is reported as the place it is from."""

from __future__ import annotations

import bisect
from abc import abstractmethod
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

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


@dataclass(frozen=True, eq=False)
class TranslatedText(PlacedText):
    """Structured text that says what a file says in another form.

    The piece that begins at ``begins[i]`` comes from ``places[i]``; where it is a copy of its
    place, character by character (``copied[i]``), a part of it comes from the same part of the
    place."""

    original: SourceText = field(repr=False, default_factory=lambda: SourceText("", ""))
    begins: tuple[int, ...] = field(repr=False, default=())
    places: tuple[Span, ...] = field(repr=False, default=())
    copied: tuple[bool, ...] = field(repr=False, default=())
    refusals: tuple[Refusal, ...] = field(repr=False, default=())

    def located(self, start: int, end: int) -> Span:
        if not self.begins:
            return Span(self.original, 0, min(1, len(self.original.text)))
        first = self._at(start, end)
        last = self._at(max(end - 1, start), end)
        whole = first if last.end < first.start else first.through(last)
        return replace(whole, origin=Span(self, start, end))

    def _at(self, position: int, end: int) -> Span:
        """The place of the piece that has ``position``, or of the part of it up to ``end``."""
        number = max(bisect.bisect_right(self.begins, position) - 1, 0)
        begin, place = self.begins[number], self.places[number]
        if not self.copied[number]:
            return place
        following = self.begins[number + 1] if number + 1 < len(self.begins) else len(self.text)
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
        self._copied: list[bool] = []
        self._refusals: list[Refusal] = []
        self._length = 0

    def add(self, text: str, place: Span) -> None:
        """A piece of text that comes from ``place``."""
        if text:
            self._pieces.append(text)
            self._begins.append(self._length)
            self._places.append(place)
            self._copied.append(text == place.text)
            self._length += len(text)

    def refuse(self, text: str, place: Span, problems: Iterable[Diagnostic]) -> None:
        """A piece of text that represents ``place``, which is not read because of ``problems``."""
        start = self._length
        self.add(text, place)
        self._refusals.append(Refusal(start, self._length, tuple(problems)))

    def text(self) -> TranslatedText:
        """What was added so far."""
        return TranslatedText(
            self._original.path, "".join(self._pieces), self._original, tuple(self._begins),
            tuple(self._places), tuple(self._copied), tuple(self._refusals),
        )  # fmt: skip


def refused_parts(source: SourceText, start: int, end: int) -> Iterator[Diagnostic]:
    """What is wrong with the parts from ``start`` to ``end`` that represent something not read."""
    if isinstance(source, TranslatedText):
        for refusal in source.refusals:
            if refusal.start < end and start < refusal.end:
                yield from refusal.problems
