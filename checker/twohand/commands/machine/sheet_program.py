"""``twohand sheet --program``: the trials of a sheet as a program that judges them itself."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from twohand.commands.shared.session import Session
from twohand.report.drawing.terminal import Terminal
from twohand.report.exit_code import ExitCode
from twohand.specification.model.specification import Specification
from twohand.specification.phrases import count
from twohand.text.diagnostic import InputError, wrong

if TYPE_CHECKING:
    from twohand.analyses.sheet.bench.bench import BenchProgram

One = TypeVar("One")
BENCH_ONLY = (
    "It is for a controller on the bench, with energy isolated and without outputs wired. Never "
    "load it into a controller that drives a machine. Save that controller's project before, and "
    "remove the program afterwards."
)
_MOST_NAMED = 8


def one_of(found: Sequence[One], path: Path) -> One:
    """The only spec of a file; InputError where that has several."""
    if len(found) == 1:
        return found[0]
    message = f"the file has {count(len(found), 'spec')}, and a sheet is of one"
    raise wrong("no-sheet", message, None, "put the spec into a file alone", path=str(path))


def refuse(specification: Specification, path: Path) -> None:
    """InputError where no line would be true of the machine."""
    from twohand.analyses.sheet.derive import why_none

    why = why_none(specification)
    if why:
        message = f"no sheet is derived for '{specification.name}': {why}"
        way = "plan the trials of this one by hand; 'twohand play' plays each as a scenario"
        raise wrong("no-sheet", message, None, way, path=str(path))


def program_text(session: Session, path: Path, target: Path) -> tuple[str, list[str], ExitCode]:
    """The program, what is said of it, and the exit code."""
    from twohand.analyses.audit.changes.subject import load_changeable_specs
    from twohand.analyses.sheet.bench.bench import bench_program
    from twohand.analyses.sheet.bench.copied_block import CODE, refusals

    session.specifications(path, str(path))  # with the warnings
    subject = one_of(load_changeable_specs(path, str(path)), path)
    refuse(subject.specification, path)
    problems = list(refusals(subject.specification))
    if problems:
        raise InputError(problems)
    try:
        found = bench_program(subject, session.progress)
    finally:
        session.progress.clear()
    if found is None:
        message = f"in no sequence for '{subject.specification.name}' is anything the same on all "
        message += "platforms and with all scan times"
        way = "fix a READING in the spec, where the platform is known; see 'twohand manual probe'"
        raise wrong(CODE, message, None, way, path=str(path))
    return found.written.text, list(_said(found, target, session.terminal)), ExitCode.ALL_PROVED


def _said(found: BenchProgram, target: Path, terminal: Terminal) -> Iterator[str]:
    trials = found.of_sheet + found.finer
    yield from terminal.wrap(
        f"{target}: {count(trials, 'trial')}, {found.of_sheet} of the sheet and {found.finer} "
        f"finer than hands. Read back and executed under every open reading, with the shortest, "
        f"the longest and random scan times ({count(found.runs, 'run')}): no difference.",
        0, 2,
    )  # fmt: skip
    if found.left_out:
        titles = "; ".join(found.left_out)
        yield from terminal.wrap(f"Left out, as they hang on scan times: {titles}.", 0, 2)
    changes = len(found.reported) + len(found.unreported)
    yield from terminal.wrap(
        f"Of {count(changes, 'small change')} of the block (those of 'twohand audit') it reports "
        f"{len(found.reported)}.{' Not:' if found.unreported else ''}",
        0, 2,
    )  # fmt: skip
    for change in found.unreported[:_MOST_NAMED]:
        place = f"{change.span.source.path}:{change.span.line}:{change.span.column}"
        yield from terminal.wrap(f"{place}: {change.words}", 2, 4)
    if len(found.unreported) > _MOST_NAMED:
        yield f"  and {len(found.unreported) - _MOST_NAMED} more"
    yield from terminal.wrap(f"It tries the text with SHA-256 {found.block.sha256}", 0, 2)
    yield from terminal.wrap(BENCH_ONLY, 0)
