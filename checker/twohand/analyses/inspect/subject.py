"""What is inspected: blocks of source files with free inputs, or the block of a spec as it is
there, with its surroundings."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from twohand.analyses.compare.options import NO_SCAN_STATED, USUAL_SCAN
from twohand.evidence.calls.block_call import block_call
from twohand.exchange.file import structured_text_of
from twohand.files.index import UNITS
from twohand.files.project import Project
from twohand.files.reading import read_source, readable, source_files
from twohand.program import CallBlock, Program, Routine, Variable
from twohand.specification.load import load_specifications, stated_specification
from twohand.specification.model.specification import Specification
from twohand.specification.problems import Problems
from twohand.specification.reading.command_line import PLATFORM, Limits, stated_parts
from twohand.specification.reading.never_set import never_set
from twohand.specification.reading.outside import resolve_scan_start
from twohand.specification.reading.task_times import written_time
from twohand.specification.surroundings.composition import Composition
from twohand.specification.syntax import nodes as spec
from twohand.text.diagnostic import Diagnostic
from twohand.text.resources import is_folder
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

_STATED = Limits(
    (*PLATFORM, spec.OutsideStatement),
    "not-in-an-inspection",
    "this says nothing in an inspection",
    "state READING, INTEGERS, LOOPS, UNIT or OUTSIDE; write a spec for anything else",
)


@dataclass(frozen=True, eq=False)
class Subject:
    """``block`` is the call of the inspected block where there is something around it, ``around``
    begins the names of what that is. ``scan_origin`` says where the scan time is from; ``kind`` is
    the first word of the unit, '' where a spec names it. ``outside`` are variables of the block
    that others write, ``freed`` the names of --free that it has; ``again`` gives the same with such
    names besides."""

    specification: Specification
    scan_origin: str
    block: CallBlock | None = None
    around: tuple[str, ...] = field(default=(), repr=False)
    kind: str = ""
    outside: frozenset[Variable] = field(default=frozenset(), repr=False)
    freed: frozenset[str] = frozenset()
    again: Callable[[Sequence[str]], Subject] | None = field(default=None, repr=False)

    @property
    def name(self) -> str:
        return self.specification.program.name

    @property
    def routine(self) -> Routine:
        """What the block does in a scan."""
        return self.specification.program.routine if self.block is None else self.block.routine


def subjects_of_spec(path: Path, shown: str) -> Iterator[Subject]:
    """The block of each spec of a file, with the scan time, readings, assumptions and surroundings
    that are there; InputError where the file is unusable."""
    for specification in load_specifications(path, shown):
        plain = replace(specification, requirements=(), lags=())
        block, around = block_call(specification)
        yield Subject(plain, f"SCAN of {specification.name}", block, around)


@dataclass(frozen=True)
class SourceUnit:
    """A block or function of source files; ``kind`` is its first word, ``users`` are the names of
    those that have or call it, within which it is inspected."""

    name: str
    kind: str
    path: str
    users: tuple[str, ...] = ()


@dataclass(frozen=True, eq=False)
class Library:
    """The source texts of a file or folder, ``searched`` where it is a folder, and their units in
    the order of the files (or the one that is ``named``)."""

    sources: Sequence[SourceText]
    searched: bool
    units: tuple[SourceUnit, ...]
    named: bool


def library_of(
    path: Path, shown: str, block: str | None, notes: list[Diagnostic] | None = None
) -> Library:
    """The units of a file or folder; InputError where there are none. Files of a folder that cannot
    be read go to ``notes``."""
    folder = is_folder(path)
    if not folder:
        sources = [_text(path, shown)]
    else:
        sources = readable(source_files(path), _text, [] if notes is None else notes)
    project = Project(sources, sources if folder else ())
    found = {s.name.upper(): s for s in reversed(project.segments) if s.kind in UNITS and s.name}
    units = list(reversed(found.values()))
    if block is not None:
        named = [s for s in units if s.name.upper() == block.upper()]
        kind, where = (named[0].kind, named[0].file.source.path) if named else ("", shown)
        return Library(sources, folder, (SourceUnit(block, kind, where),), True)
    if not units:
        load_program(sources, None, searched=sources if folder else ())  # says why
    read = [s for s in units if not s.refused]
    return Library(
        sources,
        folder,
        tuple(
            SourceUnit(
                s.name,
                s.kind,
                s.file.source.path,
                tuple(sorted({user.name for user in project.users(s, read)})),
            )
            for s in units
        ),
        False,
    )


def in_turn(
    units: Sequence[SourceUnit], refused: Collection[SourceUnit]
) -> Iterator[tuple[SourceUnit, bool]]:
    """The units, and whether each is to be inspected by itself: one is not that is within another.
    ``refused`` is what the caller could not inspect: what only such have is inspected by itself."""
    waiting = list(units)
    while waiting:
        away = {unit.name for unit in refused}
        ready = [unit for unit in waiting if away.issuperset(unit.users)]
        if not ready and len(waiting) < len(units):
            break
        for unit in ready or waiting:  # where each is within another, all are inspected
            yield unit, True
        taken = set(ready or waiting)
        waiting = [unit for unit in waiting if unit not in taken]
    for unit in waiting:
        yield unit, False


def _text(path: Path, shown: str | None = None) -> SourceText:
    return structured_text_of(read_source(path, shown))


def subject_of_block(
    sources: Sequence[SourceText],
    block: str,
    scan: str | None,
    platform: tuple[str, ...],
    searched: bool,
    kind: str = "",
    free: Sequence[str] = (),
) -> Subject:
    """One block or function with free inputs; what it has of the variables ``free`` others write
    between scans. InputError with everything wrong in what it needs."""
    notes: list[Diagnostic] = []
    among = sources if searched else ()
    program = load_program(sources, block, notes=notes, searched=among, kinds=UNITS)
    text, origin = _scan(program, scan)
    problems = Problems()
    freed, lines = _freed(program, free)
    parts = stated_parts("inspection", [f"SCAN {text}", *platform, *lines], _STATED, problems)
    start = resolve_scan_start(parts, program, problems)
    whole = Composition(program, parts.tree.name.span, start=start).program
    stated = stated_specification(whole, parts, problems)
    warnings = (*dict.fromkeys(notes), *never_set(program, start.outside), *stated.warnings)
    stated = replace(stated, outputs=program.outputs, warnings=warnings)

    def again(names: Sequence[str]) -> Subject:
        more = (*free, *names)
        return subject_of_block(sources, block, scan, platform, searched, kind, more)

    surroundings = block_call(stated)
    return Subject(stated, origin, *surroundings, kind, start.outside, freed, again)


def _freed(program: Program, free: Sequence[str]) -> tuple[frozenset[str], list[str]]:
    """Which of the names the program has, and what says so of those that are no inputs."""
    inputs = {variable.name.casefold() for variable in program.inputs}
    known = {variable.name.casefold() for variable in program.variables}
    found = [name for name in free if name.casefold() in known | program.aliases.keys()]
    moved = dict.fromkeys(name for name in found if name.casefold() not in inputs)
    return frozenset(found), [f"OUTSIDE {name}" for name in moved]


def _scan(program: Program, wished: str | None) -> tuple[str, str]:
    """The scan time as text, and where it is from."""
    if wished is not None:
        return wished, "as --scan says"
    intervals = {task.interval for task in program.tasks if task.interval is not None}
    if len(intervals) == 1:
        (interval,) = intervals
        return written_time(interval), "the INTERVAL of its task"
    why = "its tasks have several INTERVALs" if intervals else "no task with an INTERVAL"
    return USUAL_SCAN, f"{NO_SCAN_STATED}{why}"
