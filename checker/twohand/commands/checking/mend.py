"""``twohand mend``: small changes after which a violated spec is proved."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from twohand.commands.checking.changed_specs import Telling, ask_each
from twohand.commands.shared.document import Targets, document_options
from twohand.commands.shared.options import only_one, shared_options
from twohand.commands.shared.session import Session

if TYPE_CHECKING:
    from twohand.analyses.audit.changes.subject import ChangeableSpec
    from twohand.analyses.mend.results import MendSearch

EPILOG = """\b
Tried are the small changes of 'twohand audit', one and then two at a time. One is shown, as a
difference of source lines, where every requirement is proved of the changed block and says
something, no finding can happen, and no output is on that is off in the block, in any run that
has broken nothing so far. Nothing is written into a file.

\b
Exit codes, the first that applies:
  4  internal error
  2  an input cannot be used, or nothing is violated
  1  no change among those that were tried mends the block
  3  none is known to, and something is undecided
  0  one is shown
Also: 130 after an interrupt, 141 where the reader of the output left (| head).
"""


@click.command(epilog=EPILOG)
@click.argument("file", nargs=-1, required=True, metavar="SPEC", callback=only_one)
@click.option(
    "--most-pairs",
    type=click.IntRange(min=0),
    metavar="N",
    default=1500,
    show_default=True,
    help="Try at most so many pairs, those first that repair the runs that are known.",
)
@click.option("--details", is_flag=True, help="Every scan of a run.")
@document_options
@shared_options
def mend(session: Session, file: str, most_pairs: int, details: bool, targets: Targets) -> int:
    """Look for small changes of a block after which a violated spec is proved."""
    return ask_each(session, file, details, targets, lambda: _telling(session, most_pairs))


def _telling(session: Session, most_pairs: int) -> Telling[MendSearch]:
    from twohand.analyses.documents import MENDING
    from twohand.analyses.mend.exit_code import mend_code
    from twohand.analyses.mend.mend import mend as searched  # loads the solver
    from twohand.analyses.mend.record import mend_result
    from twohand.analyses.mend.text import mend_cautions, mend_lines, mend_total

    def ask(subject: ChangeableSpec) -> MendSearch:
        options, pool = session.check_options(), session.workers()
        return searched(subject, options, session.progress, pool, most_pairs)

    return Telling(
        ask,
        mend_lines,
        mend_cautions,
        mend_total,
        mend_code,
        mend_result,
        MENDING,
        {"most_pairs": most_pairs},
    )
