"""The segments of files as trees, each parsed once, and only when it is asked for."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace

from twohand.files.index import FileIndex, Segment
from twohand.syntax import tree
from twohand.syntax.parsing.parse import parse_part, parse_source
from twohand.syntax.parsing.readable import UnreadPart, names_in, parse_readable
from twohand.text.diagnostic import Diagnostic, InputError, collected, position_in_file
from twohand.text.source_text import Span
from twohand.text.split_units import located

_ADDRESS = re.compile(r"%[A-Za-z][\w.*]*")

Readable = tuple[tree.SourceFile | InputError, tuple[UnreadPart, ...]]
"""The tree of a segment, and what of its text the tree does not have."""


class ParsedParts:
    """Trees of segments: whole ones, and such without those members that cannot be read."""

    def __init__(self) -> None:
        self._whole: dict[Segment, tree.SourceFile | InputError] = {}
        self._readable: dict[Segment, Readable] = {}

    def whole(self, segment: Segment) -> tree.SourceFile | InputError:
        """The tree of all of it, or what is wrong."""
        found = self._whole.get(segment)
        if found is None:
            try:
                found = _parsed_part(segment)
            except InputError as error:
                found = error
            self._whole[segment] = found
        return found

    def readable(self, segment: Segment) -> Readable:
        """The tree without what cannot be read, as long as nothing else names that."""
        found = self._readable.get(segment)
        if found is None:
            found = self._readable[segment] = self._without_unread(segment)
        return found

    def _without_unread(self, segment: Segment) -> Readable:
        whole = self.whole(segment)
        if isinstance(whole, tree.SourceFile) or segment.refused:
            return whole, ()
        file, problems = segment.file, segment.file.problems_in(segment)
        try:
            parsed, parts = parse_readable(
                file.source, file.text, segment.start, segment.end, problems
            )
        except InputError:
            return whole, ()
        unread = tuple(_member(segment, part) for part in parts if part.kind != "VAR")
        if not unread:
            return parsed, parts
        keys = {member.name.key for member in unread}
        read = [m for unit in parsed.units for m in unit.members if m.name.key not in keys]
        all_members = sum(len(unit.members) for unit in parsed.units)
        if len(parsed.units) != 1 or len(read) + len(unread) != all_members:
            return whole, ()
        unit = replace(parsed.units[0], members=tuple(read), unread=unread)
        return replace(parsed, units=(unit,)), parts

    def settle(self, segments: Sequence[Segment]) -> None:
        """Of these together only such parts stay away that none of them names."""
        while True:
            unread = {s: parts for s in segments if (parts := self.readable(s)[1])}
            if not unread:
                return
            named: set[str] = set()
            for segment in segments:
                named |= _names_outside(segment, self.readable(segment)[1])
            bad = [s for s, parts in unread.items() if any(p.keys & named for p in parts)]
            if not bad:
                return
            for segment in bad:
                self._readable[segment] = (self.whole(segment), ())

    def syntax_errors(self, segments: Iterable[Segment]) -> InputError:
        """Every syntax error in the files of ``segments``, which are broken."""
        problems: list[Diagnostic] = []
        for file, inside in by_file(segments).items():
            found = syntax_errors_of(file)
            for segment in inside:
                parsed = self.whole(segment)
                if isinstance(parsed, InputError) and (segment.refused or not found):
                    found.extend(parsed.diagnostics)
            problems.extend(found)
        return InputError(sorted(problems, key=position_in_file))


def _names_outside(segment: Segment, parts: Sequence[UnreadPart]) -> frozenset[str]:
    """The names in what is read of a segment."""
    if not parts:
        return segment.names
    text = segment.file.text
    inside = sorted(parts, key=lambda part: part.start)
    begins = [segment.start, *(part.end for part in inside)]
    ends = [*(part.start for part in inside), segment.end]
    pieces = (text[begin:end] for begin, end in zip(begins, ends, strict=True))
    return names_in(" ".join(pieces))


def _member(segment: Segment, part: UnreadPart) -> tree.UnreadMember:
    file = segment.file
    start = file.text.index(part.names[0], part.start + len(part.kind))
    span = Span(file.source, start, start + len(part.names[0]))
    name = tree.Identifier(part.names[0], located(span))
    text = file.text[part.start : part.end]
    addresses = frozenset(address.upper() for address in _ADDRESS.findall(text))
    names = names_in(text)
    if names >= {"ADR", "THIS"}:  # where all of the block may be reached
        names |= segment.names
    return tree.UnreadMember(name, names | addresses)


def by_file(segments: Iterable[Segment]) -> dict[FileIndex, list[Segment]]:
    """Segments by the file that they are in."""
    files: dict[FileIndex, list[Segment]] = defaultdict(list)
    for segment in segments:
        files[segment.file].append(segment)
    return files


def syntax_errors_of(file: FileIndex) -> list[Diagnostic]:
    """Everything wrong with the syntax of a file; of a translated one, in the parts that are
    read."""
    problems: list[Diagnostic] = []
    if any(segment.refused for segment in file.segments):
        for segment in file.segments:
            if not segment.refused:
                with collected(problems):
                    _parsed_part(segment)
    else:
        with collected(problems):
            parse_source(file.source)
    return problems


def _parsed_part(segment: Segment) -> tree.SourceFile:
    file, problems = segment.file, segment.file.problems_in(segment)
    return parse_part(file.source, file.text, segment.start, segment.end, problems)
