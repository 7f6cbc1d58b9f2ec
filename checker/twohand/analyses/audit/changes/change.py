"""A small change of a block: what it is, where, and the edits of the text that make it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import Enum

from twohand.text.source_map import TranslatedText, edited
from twohand.text.source_text import SourceText, Span


class ChangeKind(Enum):
    """The values are the words of reports and documents; the order is that of changes at one
    place. What is small is common practice of trying programs with faults put into them."""

    NEGATED = "a condition negated"
    DROPPED = "a part of a condition dropped"
    CONSTANT = "a condition set to a constant"
    OPERATOR = "AND for OR"
    VALUE = "a constant moved"
    TIMER_INPUT = "a timer fed otherwise"
    EDGE = "an edge for a level"
    LEVEL = "a level for an edge"
    REMOVED = "a statement removed"
    MOVED = "a statement moved"
    ELSE_DROPPED = "an ELSE dropped"
    LABEL = "a CASE label moved"
    INITIAL = "an initial value changed"
    RETAIN = "RETAIN added or removed"


KIND_ORDER = {kind: number for number, kind in enumerate(ChangeKind)}


@dataclass(frozen=True)
class Edit:
    """The characters ``start`` to ``end`` of a source text become ``text``. The text is structured
    text: of a file in another form it is the translation."""

    source: SourceText
    start: int
    end: int
    text: str


@dataclass(frozen=True)
class BlockChange:
    """``span`` is the place to show, in the file; ``words`` say what becomes of it."""

    kind: ChangeKind
    span: Span
    words: str
    edits: tuple[Edit, ...] = field(repr=False)

    @property
    def translated(self) -> bool:
        """Whether the file has no such text, but what says it in another form."""
        return any(isinstance(each.source, TranslatedText) for each in self.edits)


def place_of(span: Span) -> Span:
    """The same place in the structured text that is edited."""
    return span.origin or span


def edited_texts(edits: Iterable[Edit]) -> Mapping[SourceText, SourceText]:
    """The texts that the edits change, by those that they are edits of. ValueError where two of
    them overlap."""
    by_source: dict[SourceText, list[Edit]] = {}
    for each in edits:
        by_source.setdefault(each.source, []).append(each)
    return {
        source: edited(source, sorted((e.start, e.end, e.text) for e in few))
        for source, few in by_source.items()
    }
