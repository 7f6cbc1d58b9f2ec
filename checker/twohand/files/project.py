"""The source files of a spec, of which only what the checked block needs is parsed and typed."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from dataclasses import replace
from functools import cached_property

from twohand.files.index import BLOCKS, FileIndex, Segment, index_of
from twohand.files.parsed_parts import ParsedParts, by_file, syntax_errors_of
from twohand.program import LeftOut
from twohand.syntax import tree
from twohand.syntax.lexing.keywords import KEYWORDS
from twohand.syntax.parsing.readable import UnreadPart
from twohand.text.diagnostic import (
    Diagnostic,
    InputError,
    Severity,
    wrong,
)
from twohand.text.source_text import SourceText, Span
from twohand.text.split_units import located
from twohand.text.suggestions import nearest

_MOST_SHOWN = 4
_MOST_TOLD = 50
"""Parts that cannot be read and that nothing needs; more notes help nobody."""
_WITH_BODY = BLOCKS | {"FUNCTION"}
_UNKNOWN = frozenset({"unknown-type", "unknown-function"})


class Project:
    """Every unit, type and global variable of some files, by an index; parsed when needed.

    Only the needed parts are parsed; of a file that is not ``searched`` (found in a folder) but
    was named, it is said as well which others cannot be read."""

    def __init__(
        self, sources: Sequence[SourceText], searched: Collection[SourceText] = ()
    ) -> None:
        self.sources = tuple(sources)
        self._searched = frozenset(searched)
        self.files = [index_of(source) for source in sources]
        self.segments = [segment for file in self.files for segment in file.segments]
        self._parts = ParsedParts()

    def named(self) -> list[Segment]:
        """The parts of the files that were named."""
        named = (s for s in self.segments if s.file.source not in self._searched)
        return [segment for segment in named if not segment.refused]

    def stops(
        self,
        start: Segment,
        broken: Collection[Segment],
        needed: Sequence[Segment],
        standard: Callable[[str], bool],
    ) -> bool:
        """Whether one of the ``broken`` parts that are needed must be readable: the block, what
        would be mistaken for something else (what ``standard`` says yes to, or of which there are
        several), configurations and the global variables that the others name."""
        for segment in broken:
            own = segment.keys - {segment.file.title} if segment.kind == "VAR_GLOBAL" else None
            if segment is start or segment.kind == "CONFIGURATION":
                return True
            if own is not None:
                others = (s for s in needed if s is not segment)
                if any(not own.isdisjoint(other.names) for other in others):
                    return True
            elif any(standard(key) or len(self._declaring[key]) > 1 for key in segment.keys):
                return True
        return False

    def check_named(self) -> None:
        """InputError for named files that are too large, or have nothing but text outside of any
        unit."""
        problems: list[Diagnostic] = []
        for file in self.files:
            if file.source in self._searched:
                continue
            problems.extend(p for p in file.problems if p.code == "text-too-large")
            if not file.segments:
                problems.extend(syntax_errors_of(file))
        if problems:
            raise InputError(problems)

    # --- the block --------------------------------------------------------------------------

    def block(self, name: str | None, kinds: Collection[str] = BLOCKS) -> Segment:
        """The block of this name (None: the only one that no other declares an instance of); one
        of the ``kinds`` of units. InputError where there is none, or several."""
        blocks = [segment for segment in self.segments if segment.kind in kinds and segment.name]
        if name is not None:
            found = [block for block in blocks if block.name.upper() == name.upper()]
            if not found:
                self._raise_syntax_errors()
                raise self._no_such_block(name, [block.name for block in blocks])
            return found[0]
        candidates = self.outermost(blocks)
        if not candidates:
            self._raise_syntax_errors()
            way = "write the logic as FUNCTION_BLOCK ... END_FUNCTION_BLOCK"
            raise self._missing("no-block", "FUNCTION_BLOCK or PROGRAM", way)
        if len({block.name.upper() for block in candidates}) > 1:
            raise self._several(candidates)
        return candidates[0]

    def outermost(self, blocks: list[Segment]) -> list[Segment]:
        """Those of some blocks that no other one of them has in it; all, where each is in one."""
        return [block for block in blocks if not any(self.users(block, blocks))] or blocks

    def users(self, unit: Segment, units: Iterable[Segment]) -> Iterator[Segment]:
        """The others that have an instance of a unit, call it or extend it."""
        key, called = unit.name.upper(), unit.kind in ("PROGRAM", "FUNCTION")
        for other in units:
            if other.name.upper() != key and (
                key in other.types or (called and key in other.calls)
            ):
                yield other

    def _raise_syntax_errors(self) -> None:
        """Where no block is found, the reason may be one of syntax."""
        problems: list[Diagnostic] = []
        for file in self.files:
            named = file.source not in self._searched
            if named or file.problems or file.open or not file.segments:
                problems.extend(syntax_errors_of(file))
        if problems:
            raise InputError(problems)

    def _no_such_block(self, name: str, names: list[str]) -> InputError:
        close = nearest(name, names)
        listed = ", ".join(names[:_MOST_SHOWN]) or "none"
        more = f" and {len(names) - _MOST_SHOWN} more" if len(names) > _MOST_SHOWN else ""
        way = f"did you mean '{close}'?" if close else f"the blocks there are: {listed}{more}"
        return self._missing("unknown-block", f"block '{name}'", way)

    def _missing(self, code: str, what: str, way: str) -> InputError:
        path = self.sources[0].path if self.sources else ""
        return wrong(code, f"there is no {what} in {self.shown()}", None, way, path=path)

    def _several(self, candidates: Sequence[Segment]) -> InputError:
        shown = ", ".join(f"'{block.name}'" for block in candidates[:_MOST_SHOWN])
        more = f" and {len(candidates) - _MOST_SHOWN} more" if len(candidates) > _MOST_SHOWN else ""
        parsed = self._parts.whole(candidates[1])
        units = parsed.units if isinstance(parsed, tree.SourceFile) else ()
        message = f"several blocks could be meant: {shown}{more}"
        way = f"name one, for instance BLOCK {candidates[0].name};"
        span = units[0].name.span if units else None
        return wrong("several-blocks", message, span, way, path=candidates[1].file.source.path)

    def shown(self) -> str:
        """The names of the files, at most a few."""
        names = [f"'{source.path}'" for source in self.sources]
        if len(names) > _MOST_SHOWN:
            return f"{', '.join(names[:_MOST_SHOWN])} and {len(names) - _MOST_SHOWN} more"
        return ", ".join(names) or "no file"

    # --- what it needs ----------------------------------------------------------------------

    @cached_property
    def _giving(self) -> dict[str, list[Segment]]:
        """Segments by the names that they give to others."""
        giving: dict[str, list[Segment]] = defaultdict(list)
        for segment in self.segments:
            for key in segment.keys:
                giving[key].append(segment)
        return giving

    @cached_property
    def _declaring(self) -> dict[str, list[Segment]]:
        """Segments by the names that they declare: a list of variables is not one for its name."""
        declaring: dict[str, list[Segment]] = defaultdict(list)
        for segment in self.segments:
            of_list = segment.kind == "VAR_GLOBAL"
            for key in segment.keys - {segment.file.title} if of_list else segment.keys:
                declaring[key].append(segment)
        return declaring

    def needed(self, block: Segment) -> list[Segment]:
        """Whatever the block may name, and what that names, in the order of the files."""
        waiting = [block, *self._tasks(block)]
        waiting.extend(s for s in self._declaring[block.name.upper()] if s.kind in _WITH_BODY)
        found: set[Segment] = set()
        while waiting:
            segment = waiting.pop()
            if segment in found:
                continue
            found.add(segment)
            for key in segment.names & self._giving.keys():
                waiting.extend(other for other in self._giving[key] if segment.needs(other))
        return [segment for segment in self.segments if segment in found]

    def _tasks(self, block: Segment) -> list[Segment]:
        """The configurations, and the units through which their programs have the block."""
        configurations = [s for s in self.segments if s.kind == "CONFIGURATION"]
        if not configurations:
            return []
        above: dict[Segment, None] = {}
        waiting = [block]
        while waiting:
            segment = waiting.pop()
            for other in self.segments:
                if other.kind in BLOCKS and other not in above and other.needs(segment):
                    above[other] = None
                    waiting.append(other)
        return [*configurations, *above] if above else configurations

    def is_searched(self, file: FileIndex) -> bool:
        """Whether the file was found in a folder."""
        return file.source in self._searched

    def searched_segments(self) -> list[Segment]:
        """The parts of the files that were found in folders."""
        return [s for s in self.segments if s.file.source in self._searched]

    # --- parsing ----------------------------------------------------------------------------

    def parsed(self, segments: Sequence[Segment]) -> list[tree.SourceFile]:
        """The trees of those segments that can be read, without those members that cannot and that
        none of the segments names."""
        self._parts.settle(segments)
        files = (self._parts.readable(segment)[0] for segment in segments)
        return [file for file in files if isinstance(file, tree.SourceFile)]

    def named_trees(self, needed: Sequence[Segment]) -> list[tree.SourceFile]:
        """The trees of what is needed and of what else was named; none where nothing else was."""
        inside = frozenset(needed)
        if inside.issuperset(self.named()):
            return []
        parts = [s for s in self.named() if s not in inside]
        beside = (self._parts.whole(segment) for segment in parts)
        return [*self.parsed(needed), *(f for f in beside if isinstance(f, tree.SourceFile))]

    def readable(self, segments: Collection[Segment]) -> list[Segment]:
        """Those that can be read, parts that nothing names apart."""
        return [s for s in segments if not isinstance(self._parts.readable(s)[0], InputError)]

    def parsed_alone(self, segment: Segment) -> list[tree.SourceFile]:
        """Its tree, where all of it can be read."""
        parsed = self._parts.whole(segment)
        return [parsed] if isinstance(parsed, tree.SourceFile) else []

    def broken(self, segments: Sequence[Segment]) -> list[Segment]:
        """Those that cannot be read."""
        self._parts.settle(segments)
        return [s for s in segments if isinstance(self._parts.readable(s)[0], InputError)]

    def syntax_errors(self, segments: Iterable[Segment]) -> InputError:
        """Every syntax error in the files of ``segments``, which are broken."""
        return self._parts.syntax_errors(segments)

    def units_naming(self, names: set[str], known: set[str]) -> Iterator[tree.Unit]:
        """The units not ``known`` in which one of ``names`` (or addresses) occurs."""
        for segment in self._naming(names):
            parsed = self._parts.whole(segment)
            if isinstance(parsed, tree.SourceFile):
                yield from (unit for unit in parsed.units if unit.name.key not in known)

    def names_in_unread(self, names: set[str], needed: Collection[Segment]) -> set[str]:
        """Which of ``names`` are in units that cannot be read, or are those of types in what is
        not ``needed`` and so is not looked into."""
        read = set(self.readable(needed))
        naming = [segment for segment in self._naming(names) if segment not in read]
        broken = [s for s in naming if isinstance(self._parts.whole(s), InputError)]
        found = {name for name in names for segment in broken if _names(segment, name)}
        for segment in self.segments:
            if segment.kind in ("TYPE", "VAR_GLOBAL") and segment not in read:
                found |= names & segment.types
        return found

    def _naming(self, names: set[str]) -> list[Segment]:
        units = [s for s in self.segments if s.kind not in ("TYPE", "VAR_GLOBAL")]
        return [s for s in units if any(_names(s, name) for name in names)]

    def pragmas(self, segments: Collection[Segment]) -> list[LeftOut]:
        """What the report says of the pragmas in ``segments``, none of which has a meaning here."""
        places: list[Span] = []
        for file, inside in by_file(segments).items():
            starts = [place.start for place in file.pragmas]
            for segment in inside:
                first, last = (bisect_left(starts, end) for end in (segment.start, segment.end))
                places.extend(file.pragmas[first:last])
        if not places:
            return []
        what = "a pragma" if len(places) == 1 else f"{len(places)} pragmas, the first of them"
        return [LeftOut(what, located(places[0]))]

    def forms(self, segments: Collection[Segment]) -> Iterator[tuple[str, Span]]:
        """What is outside of the standard, and only names or describes, in the files of
        ``segments``."""
        for file in by_file(segments):
            yield from ((form, located(span)) for form, span in file.forms.items())

    def check_names(self, segments: Collection[Segment]) -> None:
        """InputError for names that are read as one and written as two: platforms differ in
        whether letters beyond A to Z are the same in both cases, and a blank is read as '_'."""
        if all(segment.is_plain for segment in segments):
            return
        seen: dict[str, Span] = {}
        for segment in segments:
            for name, span in segment.written():
                if name.upper() in KEYWORDS:
                    continue  # of a frame, which may be written in another word
                first = seen.setdefault(name.upper(), span)
                if _folded(first.text) != _folded(span.text):
                    message = f"'{first.text}' and '{span.text}' may be one name or two"
                    way = "write both alike, or give one of them another name"
                    related = ((located(first), f"'{first.text}'"),)
                    place = located(span)
                    raise InputError(
                        [Diagnostic("names-not-told-apart", message, place, way, related)]
                    )

    # --- what is said of them ---------------------------------------------------------------

    def explained(self, problems: Iterable[Diagnostic]) -> list[Diagnostic]:
        """The problems; those about a name that no file declares say which files there are."""
        return [self._explained(problem) for problem in problems]

    def _explained(self, problem: Diagnostic) -> Diagnostic:
        if problem.code not in _UNKNOWN or problem.span is None:
            return problem
        if not problem.help.startswith("did you mean"):
            units = [segment.name for segment in self.segments if segment.name]
            close = nearest(problem.span.text, units)
            if close is not None:
                return replace(problem, help=f"did you mean '{close}'?")
        if problem.help.startswith("did you mean") and len(self.sources) == 1:
            return problem
        return replace(problem, help=f"{problem.help}; files looked at: {self.shown()}")

    def notes(self, needed: Sequence[Segment]) -> list[Diagnostic]:
        """What cannot be read and was not needed."""
        using = {segment.file for segment in needed}
        notes = [_note(file) for file in self.files if file.problems or file.open]
        inside = frozenset(needed)
        told = (s for s in self.segments if s not in inside and self._is_told(s))
        unread = [s for s in told if isinstance(self._parts.whole(s), InputError)][:_MOST_TOLD]
        parts = (part for segment in needed for part in self._parts.readable(segment)[1])
        return [
            *(note for note, file in notes if file not in using and file.source in self._searched),
            *(note for segment in unread for note in self._refused(segment)),
            *map(_unread_part, parts),
        ]

    def _is_told(self, segment: Segment) -> bool:
        """Whether it is said of a part that nothing needs that it cannot be read: where it would
        have to be parsed for that, only if its file was named."""
        return segment.refused or segment.file.source not in self._searched

    def _refused(self, segment: Segment) -> Iterator[Diagnostic]:
        """The first reason why a part is not read."""
        parsed = self._parts.whole(segment)
        if isinstance(parsed, InputError):
            problem = parsed.diagnostics[0]
            name = f"'{segment.name}'" if segment.name else "a type"
            message = f"{name} cannot be read ({problem.message}); nothing that is checked needs it"
            way = "nothing needs to be done"
            yield Diagnostic("unread-unit", message, problem.span, way, severity=Severity.NOTE)


def _folded(name: str) -> str:
    """The name with A to Z for a to z."""
    return "".join(each.upper() if each.isascii() else each for each in name)


def _unread_part(part: UnreadPart) -> Diagnostic:
    problem = part.problems[0]
    shown = ", ".join(f"'{name}'" for name in part.names)
    message = f"{shown} cannot be read ({problem.message}); nothing that is checked names it"
    way = "nothing needs to be done"
    return Diagnostic("unread-unit", message, problem.span, way, severity=Severity.NOTE)


def _names(segment: Segment, name: str) -> bool:
    """Whether a name, or an address, occurs in a segment."""
    if name.startswith("%"):
        return name.upper() in segment.text.upper()
    return name in segment.names


def _note(file: FileIndex) -> tuple[Diagnostic, FileIndex]:
    problem = file.problems[0].message if file.problems else "a unit has no end"
    where = file.problems[0].span if file.problems else None
    note = Diagnostic(
        "unread-file",
        f"this file cannot be read ({problem}); nothing that is checked needs it",
        where,
        "mend it, or leave it out",
        severity=Severity.NOTE,
        path=file.source.path,
    )
    return note, file
