"""Elements of an XML document, each with its place in the file."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from twohand.text.source_text import Span

_ATTRIBUTE = re.compile(r"\s([^\s=\"'<>/]+)\s*=\s*(?:\"([^\"]*)\"|'([^']*)')")


@dataclass(frozen=True, eq=False)
class Characters:
    """A run of text in an element; its place has the same characters, or another spelling of
    them (``&lt;`` for ``<``)."""

    text: str
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class XmlElement:
    """``name`` is without its namespace's prefix; ``kind`` is the value of xsi:type without its
    prefix, or ''. ``attributes``: by name, those with a prefix as ``{namespace}name``; without what
    XML itself says (``xml:lang``) and where a schema is. ``span`` is the start tag; ``places`` are
    those of attributes that are not in it."""

    name: str
    namespace: str
    kind: str
    attributes: Mapping[str, str]
    children: list[XmlElement]
    characters: list[Characters]
    span: Span = field(repr=False)
    places: Mapping[str, Span] = field(default_factory=dict, repr=False)

    @property
    def text(self) -> str:
        """Its own text, without that of its children."""
        return "".join(piece.text for piece in self.characters)

    def all(self, *names: str) -> Iterator[XmlElement]:
        """The children of these names, in the order of the file."""
        return (child for child in self.children if child.name in names)

    def first(self, name: str) -> XmlElement | None:
        """The first child of this name."""
        return next(self.all(name), None)

    def place_of(self, attribute: str) -> Span:
        """The value of an attribute in the start tag; the tag itself where it has none."""
        if attribute in self.places:
            return self.places[attribute]
        start = self.span.start
        _, prefixed, name = attribute.rpartition("}")
        for found in _ATTRIBUTE.finditer(self.span.text):
            prefix, _, own = found[1].rpartition(":")
            if own == name and bool(prefix) == bool(prefixed):
                number = 2 if found[2] is not None else 3
                return Span(
                    self.span.source, start + found.start(number), start + found.end(number)
                )
        return self.span

    @property
    def text_place(self) -> Span:
        """Its own text without the space around it; the start tag where there is none."""
        pieces = [piece for piece in self.characters if not piece.text.isspace()]
        if not pieces:
            return self.span
        first, last = pieces[0].span, pieces[-1].span
        whole = first.through(last).text
        start = first.start + len(whole) - len(whole.lstrip())
        return Span(first.source, start, last.start + len(last.text.rstrip()))

    def below(self) -> Iterator[XmlElement]:
        """Everything below it, in the order of the file."""
        waiting = list(reversed(self.children))
        while waiting:
            element = waiting.pop()
            yield element
            waiting.extend(reversed(element.children))
