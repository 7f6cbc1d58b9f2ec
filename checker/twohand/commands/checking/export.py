"""``twohand export``: proofs and runs as files, for whoever believes neither."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from twohand.analyses.check.exit_code import report_code
from twohand.commands.shared.document import hindrances_of_folder, write_into_folder
from twohand.commands.shared.options import only_one, shared_options
from twohand.commands.shared.session import Session, say
from twohand.report.exit_code import ExitCode, worst
from twohand.report.summary import report_lines
from twohand.specification.phrases import count

if TYPE_CHECKING:
    from twohand.analyses.export.files import Exported

EPILOG = """\b
The folder gets, for each requirement that is proved, two questions in SMT-LIB 2 that any solver
answers with unsat, and with a fixed scan time one in bits (AIGER 1.9); for each violation its run;
and README.txt, which says what is what.

Exit codes are those of twohand check.
"""


@click.command(epilog=EPILOG)
@click.argument("file", nargs=-1, required=True, metavar="FILE", callback=only_one)
@click.option("--to", "target", required=True, metavar="FOLDER", help="A new or empty folder.")
@shared_options
def export(session: Session, file: str, target: str) -> int:
    """Check a spec file, and write its proofs for other solvers."""
    problems = list(hindrances_of_folder(target))
    if problems:
        session.complain(problems)
        return worst(session.codes)
    found: list[Exported] = []
    session.subject = Path(file)
    if session.guard(lambda: _checked(session, Path(file), found), file) and found:
        session.guard(lambda: _written(session, found, Path(target)), target)
    return worst(session.codes)


def _checked(session: Session, path: Path, found: list[Exported]) -> ExitCode:
    specifications = session.specifications(path, str(path))
    from twohand.analyses.check.check import check  # loads the solver
    from twohand.analyses.export.files import Exported
    from twohand.evidence.checks.requirement import ProvedRequirement
    from twohand.typecheck.reals.uncomputed import refuse_uncomputed

    try:
        for specification in specifications:
            refuse_uncomputed(specification.program, "a proof for other solvers")
            kept: list[ProvedRequirement] = []
            options, pool = session.check_options(), session.workers()
            report = check(specification, options, session.progress, pool, kept)
            found.append(Exported(report, tuple(kept)))
            session.progress.clear()
            say([*report_lines(report, session.terminal, brief=True), ""], session.terminal)
    finally:
        session.progress.clear()
    return worst(report_code(each.report) for each in found)


def _written(session: Session, found: list[Exported], folder: Path) -> ExitCode:
    from twohand.analyses.export.files import files_of

    files = list(files_of(found))
    for name, text in files:
        write_into_folder(folder / name, text)
    say(f"{count(len(files), 'file')} in {folder}", session.terminal)
    return ExitCode.ALL_PROVED
