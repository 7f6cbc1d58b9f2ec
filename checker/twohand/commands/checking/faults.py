"""``twohand faults``: what each fault of contacts, feedback and supply costs."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from twohand.analyses.faults.exit_code import fault_code, traced_code
from twohand.analyses.faults.side_by_side import comparison_lines
from twohand.analyses.faults.text import fault_lines
from twohand.analyses.faults.words import trace_sentence
from twohand.commands.shared.document import (
    Targets,
    document_options,
    have_place,
    limits_of,
    write_answer,
)
from twohand.commands.shared.options import shared_options
from twohand.commands.shared.session import Session, say
from twohand.commands.shared.spec_files import (
    find_spec_files,
    part_option,
    parted,
    say_part,
)
from twohand.record.document import spent_on
from twohand.report.exit_code import ExitCode, worst
from twohand.report.summary import report_lines

if TYPE_CHECKING:
    from twohand.analyses.faults.cases import FaultAnalysis
    from twohand.analyses.faults.table import FaultTable
    from twohand.record.parts.part import PartChoice

EXIT_CODES = """\b
Exit codes, the first that applies:
  4  internal error
  2  an input cannot be used
  1  a requirement that may not be lost is lost, with a fault or without one
  3  something is undecided
  0  everything that may not be lost is proved
With --trace it is the one question that counts.
Also: 130 after an interrupt, 141 where the reader of the output left (| head).
"""
EXAMPLES = """\b
Examples:
  twohand faults press.spec
  twohand faults one_contact.spec two_contacts.spec --json faults.json
  twohand faults press.spec --trace leftNO-stuck-closed both_hands
  twohand faults press.spec --exclude leftNO-rightNO-short
  twohand faults press.spec --trace leftNO-stuck-closed+leftNC-stuck-open both_hands
"""


@click.command(epilog=f"{EXAMPLES}\n{EXIT_CODES}")
@click.argument("paths", nargs=-1, required=True, metavar="FILE...")
@document_options
@click.option(
    "--trace",
    nargs=2,
    metavar="FAULT REQUIREMENT",
    help="Only this question, with its run in full; FAULT+FAULT for two.",
)
@click.option(
    "--exclude",
    multiple=True,
    metavar="FAULT",
    help="Leave a fault out, which then you answer for; may be given more than once.",
)
@click.option("--single", is_flag=True, help="No second fault beside an unnoticed one.")
@part_option
@shared_options
def faults(
    session: Session,
    paths: tuple[str, ...],
    targets: Targets,
    trace: tuple[str, str] | None,
    exclude: tuple[str, ...],
    single: bool,
    part: PartChoice | None,
) -> int:
    """Check spec files under every fault of contacts, feedback inputs and supplies.

    A contact is stuck open or closed or shorted to another one or to an output, a feedback input
    is stuck, a supply is lost; from any scan on, for a time, or again and again. The table says
    which requirement is kept under which fault.
    """
    tables: list[FaultTable] = []
    quiet = targets.quiet
    if trace is not None and targets.wanted:
        raise click.UsageError("--trace answers one question; it writes no table (--json, --page)")

    def one(path: Path) -> ExitCode:
        codes = []
        for analysis in (each.without(exclude) for each in _analyses(session, path)):
            if trace is not None:
                codes.append(_trace(session, analysis, *trace))
                continue
            table = _table(session, analysis, not single)
            tables.append(table)
            session.reports.append(table.sound)
            codes.append(fault_code(table))
            if not quiet:
                say([*fault_lines(table, session.terminal), ""], session.terminal)
        return worst(codes)

    if not have_place(targets, session):
        return worst(session.codes)
    files, problems = find_spec_files(paths)
    for problem in problems:
        session.complain([problem])
    session.each(parted(session, files, part, targets.page), one)
    if targets.wanted:
        wishes = {"exclude": exclude, "single": single}
        session.guard(lambda: _written(session, tables, wishes, targets), targets.wanted)
    if not quiet:
        compared = comparison_lines(tables, session.terminal)
        if compared:
            say([*compared, ""], session.terminal)
        session.cautions()
        say_part(session, err=False)
    return worst(session.codes)


def _analyses(session: Session, path: Path) -> tuple[FaultAnalysis, ...]:
    from twohand.analyses.faults.cases import load_fault_analyses

    session.progress("reading")
    try:
        return load_fault_analyses(path, str(path))
    finally:
        session.progress.clear()


def _table(session: Session, analysis: FaultAnalysis, combine: bool) -> FaultTable:
    from twohand.analyses.faults.check import check_faults  # loads the solver

    options, pool = session.check_options(), session.workers()
    try:
        return check_faults(analysis, options, session.progress, pool, combine)
    finally:
        session.progress.clear()


def _written(
    session: Session, tables: list[FaultTable], wishes: dict[str, Any], targets: Targets
) -> ExitCode:
    from twohand.analyses.documents import FAULT_TABLE, FaultOptions
    from twohand.analyses.faults.record import faults_result

    sides = ((each.sound.specification, each.seconds) for each in tables)
    spent = spent_on((spec.source.path, spec.name, seconds) for spec, seconds in sides)
    options = FaultOptions(**limits_of(session), **wishes)
    return write_answer(FAULT_TABLE, options, faults_result(tables), spent, targets, session)


def _trace(session: Session, analysis: FaultAnalysis, fault: str, requirement: str) -> ExitCode:
    """One question, answered as ``twohand check`` does."""
    from twohand.analyses.check.check import check

    specification = analysis.with_one_question(fault, requirement)
    options, pool = session.check_options(), session.workers()
    try:
        # One question says nothing of what the other requirements need.
        alone = replace(options, needless=False, causes=False)
        report = check(specification, alone, session.progress, pool)
    finally:
        session.progress.clear()
    session.reports.append(report)
    assumed = specification.assumed_faults
    for each in assumed.faults if assumed else ():
        say(session.terminal.shown(f"fault assumed: {each.title}"), session.terminal)
    lines = report_lines(report, session.terminal)
    why = trace_sentence(report, analysis.kept)
    say(
        [*lines, "", *session.terminal.wrap(why, 2, 4), ""] if why else [*lines, ""],
        session.terminal,
    )
    return traced_code(report, analysis.kept)
