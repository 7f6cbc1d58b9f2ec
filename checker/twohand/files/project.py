"""The source files of a spec, of which only what the checked block needs is parsed and typed."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import replace
from functools import cached_property

from twohand.files.index import BLOCKS, FileIndex, Segment, index_of
from twohand.program import LeftOut
from twohand.syntax import tree
from twohand.syntax.lexing.keywords import KEYWORDS
from twohand.syntax.parsing.parse import parse_part, parse_source
from twohand.text.diagnostic import (
    Diagnostic,
    InputError,
    Severity,
    collected,
    position_in_file,
    wrong,
)
from twohand.text.source_text import SourceText, Span
from twohand.text.split_units import located
from twohand.text.suggestions import nearest

_MOST_SHOWN = 4
_UNKNOWN = frozenset({"unknown-type", "unknown-function"})


class Project:
    """Every unit, type and global variable of some files, by an index; parsed when needed.

    Of a file that is ``searched`` (found in a folder) only the needed parts are parsed; any other
    one was named for what is in it, and is parsed as a whole, but for what represents something
    that is not read."""

    def __init__(
        self, sources: Sequence[SourceText], searched: Collection[SourceText] = ()
    ) -> None:
        self.sources = tuple(sources)
        self._searched = frozenset(searched)
        self.files = [index_of(source) for source in sources]
        self.segments = [segment for file in self.files for segment in file.segments]
        self._parsed: dict[Segment, tree.SourceFile | InputError] = {}

    def named(self) -> list[Segment]:
        """The parts of the files that were named."""
        named = (s for s in self.segments if s.file.source not in self._searched)
        return [segment for segment in named if not segment.refused]

    def indispensable(self, start: Segment) -> set[Segment]:
        """What must be readable: the block, what was named, and configurations, in which global
        variables are."""
        refused = (s for s in self.segments if s.refused and s.kind == "CONFIGURATION")
        return {start, *self.named(), *refused}

    def check_named(self) -> None:
        """InputError for named files that are too large, or have nothing but text outside of any
        unit."""
        problems: list[Diagnostic] = []
        for file in self.files:
            if file.source in self._searched:
                continue
            problems.extend(p for p in file.problems if p.code == "text-too-large")
            if not file.segments:
                problems.extend(_syntax_errors(file))
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
                problems.extend(_syntax_errors(file))
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
        parsed = self._file(candidates[1])
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

    def needed(self, block: Segment) -> list[Segment]:
        """Whatever the block may name, and what that names, in the order of the files; and all of
        the files that were named."""
        waiting = [block, *self._tasks(block)]
        waiting.extend(self.named())
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

    # --- parsing ----------------------------------------------------------------------------

    def _file(self, segment: Segment) -> tree.SourceFile | InputError:
        parsed = self._parsed.get(segment)
        if parsed is None:
            try:
                parsed = _parsed_part(segment)
            except InputError as error:
                parsed = error
            self._parsed[segment] = parsed
        return parsed

    def parsed(self, segments: Iterable[Segment]) -> list[tree.SourceFile]:
        """The trees of those segments that have no syntax error."""
        files = (self._file(segment) for segment in segments)
        return [file for file in files if isinstance(file, tree.SourceFile)]

    def broken(self, segments: Iterable[Segment]) -> list[Segment]:
        """Those that have one."""
        return [s for s in segments if not isinstance(self._file(s), tree.SourceFile)]

    def syntax_errors(self, segments: Iterable[Segment]) -> InputError:
        """Every syntax error in the files of ``segments``, which are broken."""
        problems: list[Diagnostic] = []
        for file, inside in _by_file(segments).items():
            found = _syntax_errors(file)
            for segment in inside:
                parsed = self._file(segment)
                if isinstance(parsed, InputError) and (segment.refused or not found):
                    found.extend(parsed.diagnostics)
            problems.extend(found)
        return InputError(sorted(problems, key=position_in_file))

    def units_naming(self, names: set[str], known: set[str]) -> Iterator[tree.Unit]:
        """The units not ``known`` in which one of ``names`` (or addresses) occurs."""
        for segment in self._naming(names):
            parsed = self._file(segment)
            if isinstance(parsed, tree.SourceFile):
                yield from (unit for unit in parsed.units if unit.name.key not in known)

    def names_in_broken(self, names: set[str]) -> set[str]:
        """Which of ``names`` are in units that cannot be read."""
        broken = self.broken(self._naming(names))
        return {name for name in names for segment in broken if _names(segment, name)}

    def _naming(self, names: set[str]) -> list[Segment]:
        units = [s for s in self.segments if s.kind not in ("TYPE", "VAR_GLOBAL")]
        return [s for s in units if any(_names(s, name) for name in names)]

    def pragmas(self, segments: Collection[Segment]) -> list[LeftOut]:
        """What the report says of the pragmas in ``segments``, none of which has a meaning here."""
        places: list[Span] = []
        for file, inside in _by_file(segments).items():
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
        for file in _by_file(segments):
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
        refused = [s for s in self.segments if s.refused]  # none of which was needed
        return [
            *(note for note, file in notes if file not in using),
            *(note for segment in refused for note in self._refused(segment)),
        ]

    def _refused(self, segment: Segment) -> Iterator[Diagnostic]:
        """The first reason why a part is not read."""
        parsed = self._file(segment)
        if isinstance(parsed, InputError):
            problem = parsed.diagnostics[0]
            name = f"'{segment.name}'" if segment.name else "a type"
            message = f"{name} cannot be read ({problem.message}); nothing that is checked needs it"
            way = "nothing needs to be done"
            yield Diagnostic("unread-unit", message, problem.span, way, severity=Severity.NOTE)


def _folded(name: str) -> str:
    """The name with A to Z for a to z."""
    return "".join(each.upper() if each.isascii() else each for each in name)


def _by_file(segments: Iterable[Segment]) -> dict[FileIndex, list[Segment]]:
    files: dict[FileIndex, list[Segment]] = defaultdict(list)
    for segment in segments:
        files[segment.file].append(segment)
    return files


def _syntax_errors(file: FileIndex) -> list[Diagnostic]:
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
