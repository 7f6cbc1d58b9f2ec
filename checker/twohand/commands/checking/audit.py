"""``twohand audit``: whether a spec notices small changes of its block."""

from __future__ import annotations

import time
from pathlib import Path
from typing import TYPE_CHECKING

import click

from twohand.commands.shared.options import only_one, shared_options
from twohand.commands.shared.session import Session, say
from twohand.report.cautions import below_heading
from twohand.report.exit_code import ExitCode, worst
from twohand.specification.phrases import wall_time

if TYPE_CHECKING:
    from twohand.analyses.audit.changes.subject import ChangeableSpec
    from twohand.analyses.audit.results import Audit

EPILOG = """\b
Changed are the block and the units that it calls, one place at a time: conditions, constants,
timers, edges, statements, initial values, RETAIN. Every requirement is asked of every changed
block. It notices a change that violates it, or after which it says nothing any more.

\b
Outcomes of a change:
  noticed      by one requirement at least
  NOT noticed  with a run that shows the block and the changed block side by side
  undecided    noticed by none, as far as was decided
  finding      it or the block can overflow, divide by 0 ..., which every check tells
  the same     proved equal in all that can be seen; it does not count

\b
Exit codes, the first that applies:
  4  internal error
  2  an input cannot be used, or there was nothing to notice
  1  a change is not noticed
  3  something is undecided
  0  every change is noticed
Also: 130 after an interrupt, 141 where the reader of the output left (| head).
"""


@click.command(epilog=EPILOG)
@click.argument("file", nargs=-1, required=True, metavar="SPEC", callback=only_one)
@click.option(
    "--most",
    type=click.IntRange(min=1),
    metavar="N",
    help="Try at most so many changes, at even distances in their order (file, place, kind).",
)
@click.option("--details", is_flag=True, help="Every scan of a run.")
@shared_options
def audit(session: Session, file: str, most: int | None, details: bool) -> int:
    """Change the block of a spec in small ways: does the spec notice?"""
    found: list[Audit] = []
    session.guard(lambda: _audited(session, Path(file), most, details, found), file)
    return worst(session.codes)


def _audited(
    session: Session, path: Path, most: int | None, details: bool, found: list[Audit]
) -> ExitCode:
    """``found`` gets what came out, even where the last specs of the file come to no end."""
    terminal = session.terminal
    session.progress("reading")
    from twohand.analyses.audit.changes.subject import load_changeable_specs  # loads the parser

    try:
        subjects = load_changeable_specs(path, str(path))
        from twohand.analyses.audit.exit_code import audit_code
        from twohand.analyses.audit.text import audit_cautions, audit_lines, audit_total

        for subject in subjects:
            found.append(_one(session, subject, most))
            session.progress.clear()
            say([*audit_lines(found[-1], terminal, details), ""], terminal)
    finally:
        session.progress.clear()
    say([*below_heading(audit_cautions(found), terminal), ""], terminal)
    total = f"{audit_total(found)}, {wall_time(time.monotonic() - session.began)}"
    say(terminal.wrap(total, 0, 2), terminal)
    return worst(audit_code(each) for each in found)


def _one(session: Session, subject: ChangeableSpec, most: int | None) -> Audit:
    from twohand.analyses.audit.check import audit as audited  # loads the solver

    return audited(subject, session.check_options(), session.progress, session.workers(), most)
