"""``twohand lesson``: to learn with small blocks that have one fault each."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from twohand.commands.learning.new_files import write_new_files
from twohand.commands.shared.document import write_file
from twohand.commands.shared.interrupt import INTERRUPT
from twohand.commands.shared.options import shared_options
from twohand.commands.shared.session import Session, say
from twohand.report.exit_code import ExitCode, worst
from twohand.text.suggestions import nearest

if TYPE_CHECKING:
    from twohand.lessons.begun import Begun

ACTIONS = ("begin", "look", "hint", "again")
EPILOG = """\b
Examples:
  twohand lesson
  twohand lesson begin series --to series
  twohand lesson look series
  twohand lesson hint series
  twohand lesson again series

\b
Exit codes of 'look', the first that applies (the others: 2, or 0 where all went well):
  4  internal error
  2  no lesson was begun in FOLDER, or the block or the spec cannot be read
  1  not done: something is violated or vacuous, the output stays off, or the spec was changed
  3  not done: something is undecided
  0  done: everything that the lesson asks is proved
"""


@click.command("lesson", epilog=EPILOG)
@click.argument("action", required=False, metavar="[begin|look|hint|again]")
@click.argument("what", required=False, metavar="[NAME|FOLDER]")
@click.option("--to", metavar="FOLDER", help="Where 'begin' puts the lesson.  [default: its name]")
@click.option("--yes", is_flag=True, help="Let 'again' put the files back without asking.")
@shared_options
def lesson(
    session: Session, action: str | None, what: str | None, to: str | None, yes: bool
) -> int:
    """Learn with small blocks of one fault each: list the lessons, or go on with one.

    \b
    begin NAME    put a question, a faulty block and its spec into a folder of yours
    look FOLDER   prove the block, or show the run that is wrong and say what it means
    hint FOLDER   give the next hint
    again FOLDER  put block and spec back as they were at first

    FOLDER is the working folder where none is named.
    """
    if to is not None and action != "begin":
        raise click.UsageError("--to belongs to 'begin': twohand lesson begin NAME --to FOLDER")
    if yes and action != "again":
        raise click.UsageError("--yes belongs to 'again': twohand lesson again FOLDER --yes")
    if action is None:
        session.guard(lambda: _listed(session), "the lessons")
        return worst(session.codes)
    if action == "begin":
        name = _known(what)
        session.guard(lambda: _begun(session, name, name if to is None else to), to or name)
        return worst(session.codes)
    works: dict[str, Callable[[Session, Path], ExitCode]] = {
        "look": _looked,
        "hint": _hinted,
        "again": lambda session, folder: _again(session, folder, yes),
    }
    if action not in works:
        raise click.UsageError(_no_action(action))
    shown = "." if what is None else what
    session.guard(lambda: works[action](session, Path(shown)), shown)
    return worst(session.codes)


def _no_action(action: str) -> str:
    from twohand.lessons.course import lessons

    if action.casefold() in lessons():
        return f"to begin this lesson, type: twohand lesson begin {action.casefold()}"
    near = nearest(action, ACTIONS)
    hint = f"did you mean '{near}'?" if near else f"known is {', '.join(ACTIONS)}"
    return f"there is no 'twohand lesson {action}'; {hint}"


def _known(name: str | None) -> str:
    """The name of a lesson, by its name or its number; UsageError with the nearest one."""
    from twohand.lessons.course import lessons

    if name is None:
        raise click.UsageError("name the lesson; 'twohand lesson' lists them")
    wanted = name.casefold().replace("-", "_")
    for each in lessons().values():
        if wanted in (each.name, str(each.number)):
            return each.name
    near = nearest(wanted, lessons())
    hint = f"did you mean '{near}'?" if near else "'twohand lesson' lists them"
    raise click.UsageError(f"there is no lesson '{name}'; {hint}")


def _listed(session: Session) -> ExitCode:
    from twohand.lessons.begun import lessons_in
    from twohand.lessons.text import list_lines

    found, problems = lessons_in(Path())
    say(list_lines(found, session.terminal), session.terminal)
    if problems:
        session.complain(problems)
    return ExitCode.ALL_PROVED


def _begun(session: Session, name: str, to: str) -> ExitCode:
    from twohand.lessons.begun import Begun, begun_text
    from twohand.lessons.course import ABOUT, lessons
    from twohand.lessons.text import begun_lines

    chosen = lessons()[name]
    write_new_files(to, {**chosen.texts, ABOUT: begun_text(Begun(chosen))})
    say(begun_lines(chosen, Path(to), session.terminal), session.terminal)
    return ExitCode.ALL_PROVED


def _noted(begun: Begun, folder: Path) -> None:
    from twohand.lessons.begun import begun_text
    from twohand.lessons.course import ABOUT

    write_file(folder / ABOUT, begun_text(begun))


def _looked(session: Session, folder: Path) -> ExitCode:
    from twohand.files.reading import read_source
    from twohand.lessons.answer import answer
    from twohand.lessons.begun import digest, read_begun
    from twohand.lessons.changed_spec import spec_changes
    from twohand.lessons.text import answer_lines

    begun = read_begun(folder)
    chosen = begun.lesson
    spec = folder / chosen.spec
    changes = spec_changes(chosen.spec_text, read_source(spec, str(spec)))
    proved = digest(begun, folder)
    codes = []
    for report in session.check(spec, str(spec)):
        session.reports.append(report)
        found = answer(report, changes, chosen, folder)
        codes.append(found.exit_code)
        session.progress.clear()
        say([*answer_lines(found, report, chosen, folder, session.terminal), ""], session.terminal)
    session.cautions(brief=True)
    code = worst(codes)
    proved = proved if code is ExitCode.ALL_PROVED and digest(begun, folder) == proved else ""
    if proved != begun.proved:
        _noted(replace(begun, proved=proved), folder)
    return code


def _hinted(session: Session, folder: Path) -> ExitCode:
    from twohand.lessons.begun import MOST_HINTS, read_begun
    from twohand.lessons.text import hint_lines

    begun = read_begun(folder)
    number = min(begun.hints + 1, MOST_HINTS)
    say(hint_lines(begun.lesson, number, session.terminal), session.terminal)
    _noted(replace(begun, hints=number), folder)
    return ExitCode.ALL_PROVED


def _again(session: Session, folder: Path, yes: bool) -> ExitCode:
    from twohand.lessons.begun import Begun, read_begun

    terminal = session.terminal
    chosen = read_begun(folder).lesson
    names = f"{folder / chosen.block} and {folder / chosen.spec}"
    if not yes and not _confirmed(f"{names} are lost as they are now. Put the first ones back?"):
        say("nothing was changed; --yes puts them back without asking", terminal)
        return ExitCode.ALL_PROVED
    for name in (chosen.block, chosen.spec):
        write_file(folder / name, chosen.texts[name])
    _noted(Begun(chosen), folder)
    say(terminal.wrap(f"{names} are as they were at first", 0, 2), terminal)
    return ExitCode.ALL_PROVED


def _confirmed(question: str) -> bool:
    """No answer is no."""
    try:
        return click.confirm(question, default=False)
    except click.Abort:
        if INTERRUPT.came:
            raise
        return False
