"""Where the keys and values of a TOML document stand in its text.

The standard library gives the values and no places. This second, small reading gives the places and
no values: it may rely on the text being well-formed, and what it misses costs a message its column.
"""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from dataclasses import dataclass, field

from twohand.text.source_text import SourceText, Span

KeyPath = tuple[str | int, ...]
"""Keys from the outside in; an element of an array is named by its number from 0."""

_TOKEN = re.compile(
    r'"""(?:\\.|"{1,2}(?!")|[^"\\])*"{3,5}'
    r"|'''(?:'{1,2}(?!')|[^'])*'{3,5}"
    r'|"(?:\\.|[^"\\\n])*"'
    r"|'[^'\n]*'"
    r"|(?P<blank>[ \t]+|#[^\n]*)"
    r"|[A-Za-z0-9_-]+"
    r"|.",
    re.DOTALL,
)
_BETWEEN = ("\n", ",")


@dataclass(frozen=True)
class KeyPlace:
    """``key`` is where a key is written (of an element of an array its value), ``value`` what
    belongs to it."""

    key: Span
    value: Span


def toml_places(source: SourceText) -> dict[KeyPath, KeyPlace]:
    """The places of a well-formed document."""
    reader = _Reader(source, [m for m in _TOKEN.finditer(source.text) if not m["blank"]])
    reader.read()
    return reader.places


@dataclass
class _Reader:
    source: SourceText
    tokens: list[re.Match[str]]
    places: dict[KeyPath, KeyPlace] = field(default_factory=dict)
    _at: int = 0
    _tables: Counter[KeyPath] = field(default_factory=Counter)
    """How many tables an array of tables has so far."""

    def read(self) -> None:
        table: KeyPath = ()
        while self._at < len(self.tokens):
            if self._next == "\n":
                self._at += 1
            elif self._next == "[":
                table = self._header()
            else:
                self._pair(table)

    @property
    def _next(self) -> str:
        return self.tokens[self._at].group() if self._at < len(self.tokens) else "\n"

    def _span(self, first: int, behind: int) -> Span:
        """From one token to the one before ``behind``."""
        last = self.tokens[max(first, min(behind, len(self.tokens)) - 1)]
        return Span(self.source, self.tokens[first].start(), last.end())

    def _header(self) -> KeyPath:
        first = self._at
        self._at += 1
        several = self._next == "["
        self._at += several
        keys = self._keys("]")
        self._at += 1 + several
        whole = self._span(first, self._at)
        path: KeyPath = ()
        for number, (key, _) in enumerate(keys, 1):
            path = (*path, key)
            self.places.setdefault(path, KeyPlace(whole, whole))
            if several and number == len(keys):
                self._tables[path] += 1
            if path in self._tables:
                path = (*path, self._tables[path] - 1)
                self.places.setdefault(path, KeyPlace(whole, whole))
        return path

    def _keys(self, end: str) -> list[tuple[str, int]]:
        """Keys with dots between them and the tokens that they are, up to ``end``."""
        found = []
        while self._next != end:
            if self._next != ".":
                found.append((_key(self._next), self._at))
            self._at += 1
        return found

    def _pair(self, table: KeyPath) -> None:
        keys = self._keys("=")
        self._at += 1
        path = table
        for key, _ in keys:
            path = (*path, key)
        value = self._value(path)
        for number in range(1, len(keys) + 1):
            at = keys[number - 1][1]
            place = KeyPlace(self._span(at, at + 1), value)
            self.places.setdefault((*table, *(key for key, _ in keys[:number])), place)

    def _value(self, path: KeyPath) -> Span:
        first = self._at
        self._at += 1
        if self.tokens[first].group() == "[":
            number = 0
            while self._next != "]":
                if self._next in _BETWEEN:
                    self._at += 1
                    continue
                span = self._value((*path, number))
                self.places[*path, number] = KeyPlace(span, span)
                number += 1
            self._at += 1
        elif self.tokens[first].group() == "{":
            while self._next != "}":
                if self._next in _BETWEEN:
                    self._at += 1
                    continue
                self._pair(path)
            self._at += 1
        else:
            while self._next not in (*_BETWEEN, "]", "}"):
                self._at += 1
        return self._span(first, self._at)


def _key(token: str) -> str:
    """A key as it is meant: in quotes it may have escapes."""
    if token[0] not in "\"'":
        return token
    meant: str = tomllib.loads(f"key = {token}")["key"]
    return meant
