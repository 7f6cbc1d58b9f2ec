"""``twohand draft``: a first spec for a block that has none."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path, PurePath
from typing import TYPE_CHECKING

import click

from twohand.analyses.draft.machines import BY_WORD, MACHINES
from twohand.commands.shared.document import hindrance, not_written
from twohand.commands.shared.options import only_one, shared_options
from twohand.commands.shared.session import Session, say
from twohand.files.index import BLOCKS
from twohand.files.suffixes import SPECIFICATION
from twohand.files.writing import write_new_file
from twohand.report.drawing.diagnostics import diagnostic_lines
from twohand.report.exit_code import ExitCode, worst
from twohand.text.diagnostic import Diagnostic, InputError, wrong

if TYPE_CHECKING:
    from twohand.analyses.draft.lines import Line
    from twohand.analyses.inspect.subject import Library
    from twohand.evidence.verdict import Report
    from twohand.specification.model.specification import Specification

EFFORT = 5.0
"""For each question, where the command line states no time."""
_KINDS = "\n".join(f"  {each.word:8}{each.what}" for each in MACHINES)
EPILOG = f"""\b
Kinds of machine (--machine takes these words; what each asks: twohand manual draft):
{_KINDS}

\b
Each guess is a line that ends with GUESSED, and what could not be guessed one that begins with
MISSING. While one is left, no command asks anything of the spec: it exits with 2 and names them.

\b
Examples:
  twohand draft press.st
  twohand draft press.st --machine press --to press.spec
  twohand draft logic --block Press --machine clamp

\b
Exit codes, the first that applies:
  4  internal error
  2  an input cannot be used, several blocks could be meant, or the file is there already
  0  a draft is there, whatever came out of its requirements
Also: 130 after an interrupt, 141 where the reader of the output left (| head).
"""


@click.command("draft", epilog=EPILOG)
@click.argument("file", nargs=-1, required=True, metavar="FILE", callback=only_one)
@click.option("--block", metavar="NAME", help="This block, where several could be meant.")
@click.option(
    "--machine",
    type=click.Choice(list(BY_WORD), case_sensitive=False),
    help="What is required follows from this kind of machine, never from what the block does.",
)
@click.option("--to", metavar="SPEC", help="Write into this new file. A file is never overwritten.")
@shared_options
def draft(
    session: Session, file: str, block: str | None, machine: str | None, to: str | None
) -> int:
    """Write a first spec for a block, with every guess marked as one.

    FILE is a source file, an exchange file, or a folder with source files.
    """
    context = click.get_current_context()
    if context.get_parameter_source("effort") is click.core.ParameterSource.DEFAULT:
        session.limits["effort"] = EFFORT
    if to is not None and not to.lower().endswith(SPECIFICATION):
        raise click.BadParameter(f"a spec file ends in {SPECIFICATION}", param_hint="'--to'")
    session.guard(lambda: _drafted(session, file, block, machine, to), file)
    return worst(session.codes)


def _drafted(
    session: Session, file: str, block: str | None, machine: str | None, to: str | None
) -> ExitCode:
    _check_place(to)
    from twohand.analyses.draft.asked import with_answers
    from twohand.analyses.draft.draft import drafted
    from twohand.analyses.draft.lines import draft_lines, spec_name
    from twohand.analyses.draft.text import spec_text

    path = Path(file)
    if path.suffix.lower() == SPECIFICATION:
        way = f"to ask it, type: twohand check {file}"
        message = "this is a spec already; a draft is made of source files"
        raise wrong("spec-for-source", message, None, way, path=file)
    session.progress("reading")
    library, notes, others = _library(path, file, block)
    searched = library.sources if library.searched else ()
    try:
        found = drafted(library.sources, block, searched, notes, others)
    except InputError as error:
        raise InputError(_with_blocks(each, library) for each in error.diagnostics) from None
    _told(session, notes)
    kind = BY_WORD.get((machine or "").lower())
    folder = Path(to or ".").parent
    lines = draft_lines(found, _from(folder, path), kind)
    name = spec_name(found.program.name)
    try:
        lines = with_answers(name, lines, folder, to or "draft", {}, _check(session))
    finally:
        session.progress.clear()
    text = spec_text(name, lines, kind.what if kind else "")
    if to is None:
        say([session.terminal.shown(line) for line in text.splitlines()], session.terminal)
        return ExitCode.ALL_PROVED
    _write(Path(to), text)
    _summary(session, to, lines)
    return ExitCode.ALL_PROVED


def _check_place(to: str | None) -> None:
    """InputError where the file is there, or cannot be written: before anything is asked."""
    if to is None:
        return
    why = "it is there already" if os.path.lexists(to) else hindrance(to)
    if why:
        raise InputError(not_written(to, why, "name a new file: a draft overwrites none"))


def _library(
    path: Path, file: str, block: str | None
) -> tuple[Library, list[Diagnostic], Sequence[str]]:
    """The sources with what is said of them, and the blocks that no other one has."""
    from twohand.analyses.inspect.subject import library_of

    notes: list[Diagnostic] = []
    library = library_of(path, file, None, notes)
    others = [unit.name for unit in library.units if unit.kind == "FUNCTION_BLOCK"]
    alone = [unit.name for unit in library.units if not unit.users and unit.name in others]
    return library, notes, [name for name in alone if name.upper() != (block or "").upper()]


def _with_blocks(problem: Diagnostic, library: Library) -> Diagnostic:
    """Which blocks could be meant: all of them, and how one is named here."""
    if problem.code != "several-blocks":
        return problem
    names = [each.name for each in library.units if not each.users and each.kind in BLOCKS]
    return replace(problem, help=f"name one with --block: {', '.join(names)}")


def _check(session: Session) -> Callable[[Specification], Report]:
    from twohand.analyses.check.check import check  # loads the solver

    return lambda specification: check(
        specification, session.check_options(), session.progress, session.workers()
    )


def _told(session: Session, notes: Sequence[Diagnostic]) -> None:
    for note in dict.fromkeys(notes):
        session.progress.clear()
        say([*diagnostic_lines(note, session.complaints), ""], session.complaints, err=True)


def _from(folder: Path, path: Path) -> str:
    """The path of a source from the folder of the spec on, with '/'; as it is where there is no
    way from one to the other."""
    try:
        return PurePath(os.path.relpath(path, folder)).as_posix()
    except ValueError:  # on another drive
        return path.resolve().as_posix()


def _write(path: Path, text: str) -> None:
    try:
        write_new_file(path, text)
    except FileExistsError:
        raise InputError(not_written(str(path), "it is there already", "name a new file")) from None
    except OSError as error:
        raise InputError(not_written(str(path), error.strerror or str(error))) from None


def _summary(session: Session, to: str, lines: Sequence[Line]) -> None:
    from twohand.analyses.draft.text import asked_lines, marks_line

    terminal = session.terminal
    text = (
        f"{to} is written, with {marks_line(lines)}. Nothing is asked of it before they are "
        "looked at; what comes out now if all guesses are right:"
    )
    told = list(asked_lines(lines))
    shown = terminal.wrap(text if told else f"{text.split(';')[0]}.", 0, 2)
    for demand, answer in told:
        shown += [*terminal.wrap(demand, 2, 6), *terminal.wrap(answer, 6)]
    say(shown, terminal)
