"""``twohand sheet``: what to try by hand at the machine, to be printed."""

from __future__ import annotations

import os
from pathlib import Path

import click

from twohand.commands.shared.document import hindrance, not_written, write_file
from twohand.commands.shared.options import shared_options, stated
from twohand.commands.shared.session import Session, say
from twohand.report.exit_code import ExitCode, worst
from twohand.specification.phrases import count
from twohand.text.diagnostic import InputError, wrong

EPILOG = """\b
FILE ends in .html, or in .txt for plain text. Every requirement is checked first; every line is
then played, and written only where it comes out as printed under every open reading. The sheet is
for competent persons; local codes decide.

\b
Exit codes, the first that applies:
  4  internal error
  2  an input cannot be used, or no sheet is derived for it
  1  the sheet is written, but a requirement is violated or says nothing
  3  it is written, but something is undecided, or a requirement has no line that provokes
  0  it is written, everything is proved, and each requirement has a line that provokes
"""
PAGE, TEXT = ".html", ".txt"
_NEW = f"name a new file in {PAGE} or {TEXT}; none is overwritten"


@click.command(epilog=EPILOG)
@click.argument("file", metavar="SPEC", callback=stated)
@click.option("--to", "target", required=True, metavar="FILE", help="A new file for the sheet.")
@shared_options
def sheet(session: Session, file: str, target: str) -> int:
    """Write a sheet to print: what to try by hand at the machine."""
    why = hindrance(target) or ("there is such a file" if os.path.lexists(target) else "")
    if not why and Path(target).suffix.lower() not in (PAGE, TEXT):
        why = f"it ends neither in {PAGE} nor in {TEXT}"
    if why:
        session.complain([not_written(target, why, _NEW)])
    else:
        session.guard(lambda: _written(session, Path(file), Path(target)), file)
    return worst(session.codes)


def _written(session: Session, path: Path, target: Path) -> ExitCode:
    specifications = session.specifications(path, str(path))
    if len(specifications) != 1:
        message = f"the file has {count(len(specifications), 'spec')}, and a sheet is of one"
        raise wrong("no-sheet", message, None, "put the spec into a file alone", path=str(path))
    (specification,) = specifications
    from twohand.analyses.check.check import check  # loads the solver
    from twohand.analyses.sheet.derive import why_none
    from twohand.analyses.sheet.sheet import sheet_code, sheet_of

    why = why_none(specification)
    if why:
        message = f"no sheet is derived for '{specification.name}': {why}"
        way = "plan the trials of this one by hand; 'twohand play' plays each as a scenario"
        raise wrong("no-sheet", message, None, way, path=str(path))
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
    if os.path.lexists(target):  # meanwhile
        raise InputError(not_written(str(target), "there is such a file", _NEW))
    write_file(target, drawn(found))
    lines = len(found.still) + len(found.contacts) + len(found.moving)
    said = f"{target}: {count(lines, 'line')} to try, each played before it was written"
    if found.not_before:
        said += "; do not run the machine before what stands first on it is settled"
    say(session.terminal.wrap(session.terminal.shown(said), 0, 2), session.terminal)
    return sheet_code(report, found)
