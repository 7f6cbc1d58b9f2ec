"""Where the units, types and global variables of a file are, found without parsing it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from itertools import islice
from pathlib import PurePath

from twohand.syntax.lexing.plain_text import QUOTED, Forms, plain_text, unit_without_end
from twohand.text.comments import STRING
from twohand.text.diagnostic import Diagnostic, InputError
from twohand.text.source_map import refused_parts
from twohand.text.source_text import SourceText, Span

_UNITS = ("FUNCTION_BLOCK", "FUNCTION", "PROGRAM", "TYPE", "INTERFACE", "CLASS", "CONFIGURATION")
_BEGINS = {**{word: f"END_{word}" for word in _UNITS}, "VAR_GLOBAL": "END_VAR"}
SEGMENT_WORDS = frozenset([*_BEGINS, *_BEGINS.values()])
"""The words at which a file is cut into segments."""

BLOCKS = frozenset({"FUNCTION_BLOCK", "PROGRAM"})
UNITS = BLOCKS | {"FUNCTION"}
"""What runs by itself or is called."""
_STRINGS = re.compile(STRING)
_ASCII_LOWER = re.compile("[a-z]+")
_WORDS = re.compile(
    rf"(?<![\w.%#])({'|'.join([*_BEGINS, *_BEGINS.values()])})\b",
    re.IGNORECASE,
)
_STEMS = (*_UNITS[1:], "VAR_GLOBAL", "END_VAR")
MOST_SEGMENTS = 5_000
"""In one file."""

_NAME = r"([^\W\d]\w*)"
_OWN_NAME = re.compile(
    rf"\s+(?:(?:PUBLIC|PRIVATE|PROTECTED|INTERNAL|ABSTRACT|FINAL)\s+)*{_NAME}", re.IGNORECASE
)
_NAMES = re.compile(_NAME)
_TYPES = re.compile(rf"(?::|\bOF\b|#)\s*{_NAME}", re.IGNORECASE)
_OF_LIBRARIES = re.compile(rf"(?::|\bOF\b)\s*(?:[^\W\d]\w*\.)+{_NAME}", re.IGNORECASE)
_ACTIONS_BEHIND = re.compile(
    r"(?:\s*(?:ACTIONS\s+(?:ACTION\b|END_ACTIONS\b).*?\bEND_ACTIONS\b|ACTION\s+\w+.*?\bEND_ACTION\b)"
    r"\s*;?)+",
    re.IGNORECASE | re.DOTALL,
)
"""Behind the end of a unit, to which they belong."""
_BASES = re.compile(r"\b(?:EXTENDS|IMPLEMENTS)\s+(\w+(?:\s*,\s*\w+)*)", re.IGNORECASE)
_CALLS = re.compile(rf"{_NAME}\s*\(")
_TYPE_PIECES = re.compile(rf"\b(?:STRUCT|END_STRUCT)\b|{_NAME}|[();:]", re.IGNORECASE)
_DECLARED = re.compile(rf"{_NAME}(?=\s*(?:,|:|AT\b))", re.IGNORECASE)


@dataclass(eq=False)
class Segment:
    """One unit, TYPE section, VAR_GLOBAL section or configuration, with what comes before it;
    ``kind`` is its first word."""

    file: FileIndex = field(repr=False)
    kind: str
    name: str
    """As it is written; empty where it has none."""
    begin: int
    """Where its first word ends."""
    start: int
    end: int

    @cached_property
    def text(self) -> str:
        return self.file.text[self.start : self.end]

    @cached_property
    def refused(self) -> bool:
        """Whether it represents something that is not read (see ``Refusal``)."""
        return any(refused_parts(self.file.source, self.start, self.end))

    @cached_property
    def keys(self) -> frozenset[str]:
        """The names, in upper case, that it gives to others."""
        if self.kind == "TYPE":
            return frozenset(_type_names(self.file.text[self.begin : self.end]))
        if self.kind == "VAR_GLOBAL":
            inside = self.file.text[self.begin : self.end]
            return frozenset(_upper(_DECLARED, inside)) | {self.file.title}
        return frozenset({self.name.upper()} if self.name else ())

    @cached_property
    def names(self) -> frozenset[str]:
        """Every name in it, in upper case."""
        return frozenset(_upper(_NAMES, self.text))

    @cached_property
    def types(self) -> frozenset[str]:
        """Names that may be those of types, blocks and bases."""
        listed = (name for names in _BASES.findall(self.text) for name in names.split(","))
        found = frozenset(_upper(_TYPES, self.text)) | set(_upper(_OF_LIBRARIES, self.text))
        return found | {name.strip().upper() for name in listed}

    @cached_property
    def calls(self) -> frozenset[str]:
        """Names that may be those of functions."""
        return frozenset(_upper(_CALLS, self.text))

    @property
    def is_plain(self) -> bool:
        """Whether its names are as they are written, in letters of A to Z."""
        return self.text.isascii() and QUOTED not in self.file.forms

    def written(self) -> Iterator[tuple[str, Span]]:
        """Its names, and where they are written."""
        for found in _NAMES.finditer(self.text):
            start = self.start + found.start()
            yield found[0], Span(self.file.source, start, start + len(found[0]))

    def needs(self, other: Segment) -> bool:
        """Whether something in it may be declared by the other."""
        if other.kind == "FUNCTION":  # or where it is taken for a type
            return not (self.calls | self.types).isdisjoint(other.keys)
        if other.kind in ("TYPE", "VAR_GLOBAL", "PROGRAM"):
            return not self.names.isdisjoint(other.keys)
        return not self.types.isdisjoint(other.keys)


class FileIndex:
    """The segments of one file; ``problems`` is what is wrong with its comments and quotes,
    ``open`` the segments that have no end, ``pragmas`` those that are passed over, and ``forms``
    what is outside of the standard and only names or describes."""

    def __init__(self, source: SourceText) -> None:
        self.source = source
        self.problems: list[Diagnostic] = []
        self.pragmas: list[Span] = []
        self.forms: Forms = {}
        try:
            self.text = plain_text(source, self.problems, self.pragmas, self.forms)
        except InputError:  # more problems than are reported
            self.text = re.sub(r"[^\n]", " ", source.text)
        self.title = PurePath(source.path.replace("\\", "/")).stem.upper()
        self.open: list[Segment] = []
        self.segments = list(islice(self._found(), MOST_SEGMENTS))
        if len(self.segments) == MOST_SEGMENTS:
            self.problems.append(self._too_many())
        if self.segments:
            self.segments[-1].end = len(self.text)

    def _found(self) -> Iterator[Segment]:
        current: Segment | None = None
        start = 0
        for word, first, last in _words(self.text):
            if current is None:
                if word in _BEGINS:
                    current = self._begun(word, start, last)
                    yield current
            elif word == _BEGINS[current.kind]:
                behind = _ACTIONS_BEHIND.match(self.text, last) if current.kind in BLOCKS else None
                current.end = start = last if behind is None else behind.end()
                current = None
            elif word in _BEGINS and word != "VAR_GLOBAL" and current.kind != "CONFIGURATION":
                current.end = start = first
                self.open.append(current)
                current = self._begun(word, start, last)
                yield current
        if current is not None and (self.open or unit_without_end(self.text) is None):
            self.open.append(current)

    def _too_many(self) -> Diagnostic:
        return Diagnostic(
            "text-too-large",
            f"the file has more than {MOST_SEGMENTS} units",
            Span(self.source, self.segments[-1].begin, self.segments[-1].begin + 1),
            "split the file up",
        )

    def _begun(self, kind: str, start: int, begin: int) -> Segment:
        name = _OWN_NAME.match(self.text, begin)
        unnamed = kind in ("TYPE", "VAR_GLOBAL") or name is None
        return Segment(
            self, kind, "" if name is None or unnamed else name[1], begin, start, len(self.text)
        )

    def problems_in(self, segment: Segment) -> list[Diagnostic]:
        """What is wrong with the comments and quotes of a segment."""
        return [
            problem
            for problem in self.problems
            if problem.span is not None and segment.start <= problem.span.start < segment.end
        ]


@lru_cache(maxsize=4096)
def index_of(source: SourceText) -> FileIndex:
    """The index of a file, made once."""
    return FileIndex(source)


def _words(text: str) -> list[tuple[str, int, int]]:
    """The words in upper case that begin and end units, with their places."""
    upper = text.upper()
    if len(upper) != len(text):
        upper = _ASCII_LOWER.sub(lambda found: found.group().upper(), text)
    places = sorted({place for stem in _STEMS for place in _places(upper, stem)})
    matches = [match for place in places if (match := _WORDS.match(text, place))]
    outside = []
    strings = _STRINGS.finditer(text) if matches and ("'" in text or '"' in text) else iter(())
    string = next(strings, None)
    for match in matches:
        while string is not None and string.end() <= match.start():
            string = next(strings, None)
        if string is None or match.start() < string.start():
            outside.append((match[1].upper(), match.start(), match.end()))
    return outside


def _places(text: str, stem: str) -> Iterator[int]:
    """Where a word that has the stem may begin."""
    place = text.find(stem)
    while place >= 0:
        yield place - 4 if text.startswith("END_", place - 4) and place >= 4 else place
        place = text.find(stem, place + len(stem))


def _upper(pattern: re.Pattern[str], text: str) -> Iterator[str]:
    return (name.upper() for name in pattern.findall(text))


def _type_names(text: str) -> Iterator[str]:
    """The types of a TYPE section and the values of its enumerations; no structure's members."""
    structures, level, before, base = 0, 0, "", ""
    for found in _TYPE_PIECES.finditer(text):
        piece = found.group().upper()
        if piece == "STRUCT":
            structures += 1
        elif piece == "END_STRUCT":
            structures -= 1
        elif piece in "();:":
            level += (piece == "(") - (piece == ")")
            if piece == ":" and not structures and not level:
                yield before
        elif level:
            yield piece
        if piece != "EXTENDS" and base != "EXTENDS":  # the name before it is that of the type
            before = piece
        base = piece
