"""Where something is, by content: an identifier that stays as lines are inserted above it.

It is made of the block, the conditions around the statement, the words of the statement and those
of the place itself; of places that are equal in all this the later ones are numbered. Comments,
line ends, spaces and letter case mean nothing to it. The text is only divided into its statements
here, by words and signs, so that every text has places: broken ones, specs and options too.
"""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import Field, dataclass, field, replace
from hashlib import sha256
from pathlib import PurePath
from typing import Any, ClassVar, Protocol, TypeVar
from weakref import WeakKeyDictionary

from twohand.syntax.lexing.keywords import KEYWORDS, MODIFIERS
from twohand.syntax.lexing.plain_text import plain_text
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText, Span

DIGITS = 16
"""Hexadecimal digits of an identifier: of a million places two are taken for one in one of forty
million programs."""
_WORD = re.compile(r"'[^'\n]*'|\"[^\"\n]*\"|\w+|:=|=>|->|<=|>=|<>|\*\*|\.\.|\S")
_HEADS = "SPEC PROGRAM FUNCTION FUNCTION_BLOCK METHOD ACTION PROPERTY INTERFACE CLASS NAMESPACE"
_UNITS = frozenset(_HEADS.split())
_WITHOUT_UNITS = frozenset(["SPEC", "CONFIGURATION", "RESOURCE"])
_SECTIONS = frozenset(word for word in KEYWORDS if word.startswith("VAR"))
_ENDS = frozenset(f"END_{word}" for word in _UNITS) | {
    word for word in KEYWORDS if word.startswith("END_")
}
_BEHIND_NAMES = frozenset(["EXTENDS", "IMPLEMENTS", ":", ",", "."])
_ENDS_OF_HEADS = {
    **dict.fromkeys((*_SECTIONS, "TYPE", "CONFIGURATION", "REPEAT", "ELSE"), ""),
    "IF": "THEN", "ELSIF": "THEN", "CASE": "OF", "FOR": "DO", "WHILE": "DO",
}  # fmt: skip
"""What ends the head of a level or branch; '' where that is one word."""
_BRANCHES = frozenset(["ELSIF", "ELSE"])
_UNIT = "unit"


class _WithIdentifier(Protocol):
    """A dataclass with an identifier."""

    __dataclass_fields__: ClassVar[dict[str, Field[Any]]]

    @property
    def identifier(self) -> str: ...


_Identified = TypeVar("_Identified", bound=_WithIdentifier)


@dataclass(frozen=True)
class _Word:
    text: str
    start: int
    end: int


@dataclass(frozen=True)
class _Statement:
    """``around`` are the heads of what it is in; ``starts`` are the offsets of its ``words``;
    ``number`` is 0 for the first of equal ones."""

    unit: str
    around: tuple[str, ...]
    words: tuple[str, ...]
    starts: tuple[int, ...]
    end: int
    number: int


@dataclass
class _Level:
    """An open unit (with its ``name``), section of variables or compound statement: ``head`` is
    its words, ``branch`` those of the branch that is open."""

    kind: str
    head: str = ""
    branch: str = ""
    name: str = ""

    @property
    def words(self) -> str:
        return " ".join(filter(None, (self.head, self.branch)))


@dataclass
class _Reader:
    """Divides a text into statements."""

    levels: list[_Level] = field(default_factory=list)
    open: list[_Word] = field(default_factory=list)
    """The words of the statement so far."""
    begins: str = ""
    """What the statement begins: a unit, the keyword of a head, '' for nothing."""
    found: list[_Statement] = field(default_factory=list)
    _equal: Counter[tuple[str, ...]] = field(default_factory=Counter)

    def read(self, words: Sequence[_Word]) -> list[_Statement]:
        for number, word in enumerate(words):
            following = words[number + 1].text.upper() if number + 1 < len(words) else ""
            keyword = word.text.upper()
            if keyword in _ENDS and (not self._in_spec or keyword == "END_SPEC"):
                self._leave(word, following)
                continue
            if not self.open:
                self.begins = self._beginning(keyword, following)
            self.open.append(word)
            self._go_on(keyword, following)
        self._close(self.levels)
        return self.found

    @property
    def _in_spec(self) -> bool:
        return bool(self.levels) and self.levels[-1].kind == "SPEC"

    def _beginning(self, word: str, following: str) -> str:
        """Words of units are names where no name follows."""
        units = not any(level.kind in _WITHOUT_UNITS for level in self.levels)
        if word in _UNITS:
            return _UNIT if units and (following[:1].isalpha() or following[:1] == "_") else ""
        return word if word in _ENDS_OF_HEADS and not self._in_spec else ""

    def _go_on(self, word: str, following: str) -> None:
        if word == ";":
            self._close(self.levels)
        elif self.begins == _UNIT:
            self._unit(word, following)
        elif self.begins:
            if _ENDS_OF_HEADS[self.begins] in (word, ""):
                self._compound()
        elif word == ":" and self.levels and self.levels[-1].kind == "CASE":
            self._branch()

    def _unit(self, word: str, following: str) -> None:
        """The head of a unit ends behind its name, and what that extends or gives."""
        names = [each.text for each in self.open[1:] if each.text.upper() not in MODIFIERS]
        if names and word not in _BEHIND_NAMES and following not in _BEHIND_NAMES:
            self._enter(_Level(self.open[0].text.upper(), name=names[0]))

    def _compound(self) -> None:
        if self.begins in _BRANCHES:
            self._branch()
        else:
            self._enter(_Level(self.begins, _said(self.open)))

    def _branch(self) -> None:
        """Another one of the level that is open, if there is one."""
        if self.levels:
            self.levels[-1].branch = _said(self.open)
        self._close(self.levels[:-1])

    def _enter(self, level: _Level) -> None:
        self._close(self.levels)
        self.levels.append(level)

    def _leave(self, word: _Word, following: str) -> None:
        """The end of a level; words before it are a statement without its semicolon."""
        self._close(self.levels)
        kind = word.text.upper().removeprefix("END_")
        for depth in range(len(self.levels) - 1, -1, -1):
            level = self.levels[depth].kind
            if level == kind or (kind == "VAR" and level in _SECTIONS):
                del self.levels[depth:]
                break
        self.begins, self.open = "", [word]
        if following != ";":
            self._close(self.levels)

    def _close(self, levels: Sequence[_Level]) -> None:
        """The statement ends, in these levels."""
        if not self.open:
            return
        unit = ".".join(level.name for level in levels if level.name)
        around = tuple(level.words for level in levels if level.words)
        words = tuple(_plain(each.text) for each in self.open)
        key = (unit, *around, "", *words)
        starts = tuple(each.start for each in self.open)
        number = self._equal[key]
        self.found.append(_Statement(unit, around, words, starts, self.open[-1].end, number))
        self._equal[key] += 1
        self.open = []


def _plain(word: str) -> str:
    """Names and keywords are the same in any letter case; texts in quotes are not."""
    return word if word[0] in "'\"" else word.casefold()


def _said(words: Iterable[_Word]) -> str:
    return " ".join(_plain(each.text) for each in words)


def _words_of(source: SourceText) -> list[_Word]:
    try:
        text = plain_text(source, [])
    except InputError:  # of too many mistakes
        text = source.text
    return [_Word(each.group(), *each.span()) for each in _WORD.finditer(text)]


_STATEMENTS: WeakKeyDictionary[SourceText, list[_Statement]] = WeakKeyDictionary()


def _statements(source: SourceText) -> list[_Statement]:
    """Of structured text or a spec; a text in XML has none."""
    if source not in _STATEMENTS:
        markup = source.text.lstrip().startswith("<")
        _STATEMENTS[source] = [] if markup else _Reader().read(_words_of(source))
    return _STATEMENTS[source]


def content_identifier(span: Span) -> str:
    """Of a place: the block (the file's name, where there is none), ':', digits of the words of
    the place and of what is around it, and behind ':' the number among equal ones from 2 on."""
    whole = span if span.origin is None else span.origin
    name = PurePath(span.source.path.replace("\\", "/")).name
    statements = _statements(whole.source)
    at = bisect_right(statements, whole.start, key=lambda each: each.starts[0]) - 1
    if at < 0 or whole.start >= statements[at].end:
        return _identifier(name, _line(whole), _lines_before(whole))
    found = statements[at]
    first = bisect_right(found.starts, whole.start) - 1
    last = max(bisect_left(found.starts, whole.end), first + 1)
    own = found.words[first:last]
    equal = [
        position
        for position in range(len(found.words) - len(own) + 1)
        if found.words[position : position + len(own)] == own
    ]
    number = found.number * len(equal) + equal.index(first)
    words = (*found.around, " ".join(found.words), " ".join(own))
    return _identifier(found.unit or name, words, number)


def _line(span: Span) -> tuple[str, ...]:
    return (" ".join(span.source.line(span.line).split()),)


def _lines_before(span: Span) -> int:
    """How many lines above say the same."""
    wanted = _line(span)[0]
    above = span.source.text[: span.source.line_starts[span.line - 1]].split("\n")[:-1]
    return sum(" ".join(each.split()) == wanted for each in above)


def _identifier(unit: str, words: Iterable[str], number: int) -> str:
    said = sha256("\n".join(words).encode("utf-8", "surrogatepass"), usedforsecurity=False)
    digits = said.hexdigest()[:DIGITS]
    return f"{unit}:{digits}:{number + 1}" if number else f"{unit}:{digits}"


def told_apart(identifiers: Iterable[str]) -> Iterator[str]:
    """The identifiers of one list, numbered only among equals."""
    seen: Counter[str] = Counter()
    for each in identifiers:
        seen[each] += 1
        yield each if seen[each] == 1 else f"{each}~{seen[each]}"


def identified(results: Iterable[_Identified]) -> tuple[_Identified, ...]:
    """The results of one list, their identifiers told apart."""
    found = tuple(results)
    names = told_apart(each.identifier for each in found)
    return tuple(replace(each, identifier=name) for each, name in zip(found, names, strict=True))
