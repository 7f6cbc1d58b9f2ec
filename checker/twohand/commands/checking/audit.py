"""``twohand audit``: whether a spec notices small changes of its block."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from twohand.commands.checking.changed_specs import Telling, ask_each
from twohand.commands.shared.document import Targets, document_options
from twohand.commands.shared.options import only_one, shared_options
from twohand.commands.shared.session import Session

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
@document_options
@shared_options
def audit(session: Session, file: str, most: int | None, details: bool, targets: Targets) -> int:
    """Change the block of a spec in small ways: does the spec notice?"""
    return ask_each(session, file, details, targets, lambda: _telling(session, most))


def _telling(session: Session, most: int | None) -> Telling[Audit]:
    from twohand.analyses.audit.check import audit as audited  # loads the solver
    from twohand.analyses.audit.exit_code import audit_code
    from twohand.analyses.audit.record import audit_result
    from twohand.analyses.audit.text import audit_cautions, audit_lines, audit_total
    from twohand.analyses.documents import AUDIT

    def ask(subject: ChangeableSpec) -> Audit:
        options, pool = session.check_options(), session.workers()
        return audited(subject, options, session.progress, pool, most)

    return Telling(
        ask,
        audit_lines,
        audit_cautions,
        audit_total,
        audit_code,
        audit_result,
        AUDIT,
        {"most": most},
    )
