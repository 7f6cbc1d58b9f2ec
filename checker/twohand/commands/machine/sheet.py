"""``twohand sheet``: what to try by hand at the machine, to be printed."""

from __future__ import annotations

import os
from pathlib import Path

import click

from twohand.commands.machine.sheet_program import one_of, program_text, refuse
from twohand.commands.shared.document import hindrance, not_written, write_file
from twohand.commands.shared.options import shared_options, stated
from twohand.commands.shared.session import Session, say
from twohand.report.exit_code import ExitCode, worst
from twohand.specification.phrases import count
from twohand.text.diagnostic import InputError

EPILOG = """\b
FILE ends in .html, or in .txt for plain text. Every requirement is checked first; every line is
then played, and written only where it comes out as printed under every open reading. The sheet is
for competent persons; local codes decide.
With --program FILE ends in .st. No requirement is asked then: the program applies the trials to a
copy of the block, in a controller on the bench, and counts what differs from the model.

\b
Exit codes, the first that applies:
  4  internal error
  2  an input cannot be used, or no sheet is derived for it
  1  the sheet is written, but a requirement is violated or says nothing
  3  it is written, but something is undecided, or a requirement has no line that provokes
  0  it is written, everything is proved, and each requirement has a line that provokes
With --program: 4; 2, also where no program is written of it; 0, the program is written.
"""
PAGE, TEXT, PROGRAM = ".html", ".txt", ".st"


@click.command(epilog=EPILOG)
@click.argument("file", metavar="SPEC", callback=stated)
@click.option("--to", "target", required=True, metavar="FILE", help="A new file for the sheet.")
@click.option(
    "--program", is_flag=True, help="Its trials as a program for a controller on the bench."
)
@shared_options
def sheet(session: Session, file: str, target: str, program: bool) -> int:
    """Write a sheet to print: what to try by hand at the machine."""
    endings = (PROGRAM,) if program else (PAGE, TEXT)
    way = f"name a new file in {' or '.join(endings)}; none is overwritten"
    why = hindrance(target) or _there(target)
    if not why and Path(target).suffix.lower() not in endings:
        neither = "it ends neither in " if len(endings) > 1 else "it does not end in "
        why = neither + " nor in ".join(endings)
    if why:
        session.complain([not_written(target, why, way)])
        return worst(session.codes)

    def one() -> ExitCode:
        write = program_text if program else _sheet_text
        text, said, code = write(session, Path(file), Path(target))
        why = _there(target)  # meanwhile
        if why:
            raise InputError(not_written(target, why, way))
        write_file(Path(target), text)
        say(said, session.terminal)
        return code

    session.guard(one, file)
    return worst(session.codes)


def _there(target: str) -> str:
    return "there is such a file" if os.path.lexists(target) else ""


def _sheet_text(session: Session, path: Path, target: Path) -> tuple[str, list[str], ExitCode]:
    specification = one_of(session.specifications(path, str(path)), path)
    from twohand.analyses.check.check import check  # loads the solver
    from twohand.analyses.sheet.sheet import sheet_code, sheet_of

    refuse(specification, path)
    options = session.check_options()
    try:
        report = check(specification, options, session.progress, session.workers())
        found = sheet_of(report, options, session.workers(), session.progress)
    finally:
        session.progress.clear()
    if target.suffix.lower() == PAGE:
        from twohand.formats.page.sheet import sheet_page as drawn
    else:
        from twohand.analyses.sheet.text import sheet_text as drawn
    lines = len(found.still) + len(found.contacts) + len(found.moving)
    said = f"{target}: {count(lines, 'line')} to try, each played before it was written"
    if found.not_before:
        said += "; do not run the machine before what stands first on it is settled"
    shown = session.terminal.wrap(session.terminal.shown(said), 0, 2)
    return drawn(found), shown, sheet_code(report, found)
