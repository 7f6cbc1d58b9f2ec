"""``twohand compare``: whether two versions of a block show the same."""

from __future__ import annotations

import time
from collections.abc import Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from twohand.analyses.compare.options import USUAL_SCAN, ComparisonOptions, Version
from twohand.commands.shared.document import (
    Targets,
    document_options,
    have_place,
    limits_of,
    write_answer,
)
from twohand.commands.shared.options import platform_option, shared_options, stated
from twohand.commands.shared.session import Session, say
from twohand.gate.revisions import file_at_revision, split_revision
from twohand.record.document import spent_on
from twohand.report.cautions import below_heading
from twohand.report.exit_code import ExitCode, worst
from twohand.specification.phrases import wall_time

if TYPE_CHECKING:
    from twohand.analyses.compare.check import ComparisonReport

EPILOG = """\b
Compared are outputs, in-out parameters, the global variables that are written and what OUTSIDE
names, each under its name, at the end of every scan: for all inputs, all time and every way in
which platforms read the standard. An input or output that only one version has, or has with
another type, is an error, as nobody can say what it should be compared with; --common leaves it
out.

\b
Outcomes:
  NO SCAN    every run ends in a finding in its first scan: nothing is compared
  SAME       proved for every scan of every run
  DIFFERS    a replayed run whose last scan shows the first difference
  UNDECIDED  neither

\b
Examples:
  twohand compare old/press.st new/press.st
  twohand compare HEAD~3:logic/press.st logic/press.st
  twohand compare press.st press.xml --block Press --scan T#10ms
  twohand compare press.st press.st --blocks PressOld PressNew --assume 'NOT (shut AND open)'

\b
Exit codes, the first that applies:
  4  internal error
  2  an input cannot be used, or there was nothing to compare
  1  an output differs, or only one version can have a finding (an overflow ...) in some scan
  3  something is undecided
  0  everything is the same
Also: 130 after an interrupt, 141 where the reader of the output left (| head).
"""


@dataclass(frozen=True)
class AskedComparison:
    """The paths of both versions and the names of their blocks, as the command line has them."""

    paths: tuple[str, str]
    names: tuple[str | None, str | None]
    options: ComparisonOptions


@click.command(epilog=EPILOG)
@click.argument("first", metavar="FIRST", callback=stated)
@click.argument("second", metavar="SECOND", callback=stated)
@click.option("--block", metavar="NAME", help="The block, where a file has several.")
@click.option("--blocks", nargs=2, metavar="NAME NAME", help="The block of each, if names differ.")
@click.option(
    "--scan",
    metavar="TIME",
    help="As in a spec: T#10ms or T#5ms..T#20ms.  [default: the INTERVAL of the tasks where both "
    f"versions have the same one, else {USUAL_SCAN}]",
)
@click.option(
    "--assume",
    multiple=True,
    metavar="FORMULA",
    help="What is taken for granted of the inputs, as behind ASSUME in a spec.",
)
@platform_option
@click.option("--power-cycles", is_flag=True, help="The supply may go and come back at any scan.")
@click.option("--common", is_flag=True, help="Compare what both have; other inputs are free.")
@click.option("--details", is_flag=True, help="Invariants of proofs, and every scan of a run.")
@document_options
@shared_options
def compare(
    session: Session,
    first: str,
    second: str,
    block: str | None,
    blocks: tuple[str, str] | None,
    scan: str | None,
    assume: tuple[str, ...],
    platform: tuple[str, ...],
    power_cycles: bool,
    common: bool,
    details: bool,
    targets: Targets,
) -> int:
    """Compare two versions of a block: do they show the same in every scan?

    FIRST and SECOND are source files, or folders with them. In a git repository REV:FILE is a file
    as it was at a revision; it begins in the top folder, with './' in the working folder.
    """
    if block is not None and blocks:
        raise click.UsageError("--block and --blocks exclude each other")
    names = blocks or (block, block)
    options = ComparisonOptions(scan, assume, platform, common, power_cycles)
    answers: list[ComparisonReport] = []
    if have_place(targets, session):
        asked = AskedComparison((first, second), names, options)
        what, quiet = "the comparison", targets.quiet
        session.subject = Path(second)
        session.guard(lambda: _compared(session, asked, details, quiet, answers), what)
        if targets.wanted:
            session.guard(
                lambda: _written(session, names, options, answers, targets), targets.wanted
            )
    return worst(session.codes)


def _versions(paths: Sequence[str], names: Sequence[str | None], open_: ExitStack) -> list[Version]:
    """Both versions; the files of a revision are there until ``open_`` is closed."""
    found = []
    for path, name in zip(paths, names, strict=True):
        parts = split_revision(path)
        if parts is None:
            found.append(Version(path, name))
        else:
            file = open_.enter_context(file_at_revision(*parts))
            found.append(Version(str(file), name, path))
    return found


def _compared(
    session: Session,
    asked: AskedComparison,
    details: bool,
    quiet: bool,
    answers: list[ComparisonReport],
) -> ExitCode:
    """``answers`` get what came out."""
    terminal = session.terminal
    session.progress("reading")
    from twohand.analyses.compare.load import load_comparison  # loads the parser

    with ExitStack() as open_:
        first, second = _versions(asked.paths, asked.names, open_)
        comparison = load_comparison(first, second, asked.options)
    from twohand.analyses.compare.check import compare as compared  # loads the solver
    from twohand.analyses.compare.text import (
        comparison_cautions,
        comparison_code,
        comparison_lines,
        comparison_total,
    )

    try:
        found = compared(comparison, session.check_options(), session.progress, session.workers())
    finally:
        session.progress.clear()
    answers.append(found)
    if not quiet:
        say([*comparison_lines(found, terminal, details), ""], terminal)
        say([*below_heading(comparison_cautions(found), terminal), ""], terminal)
        total = f"{comparison_total(found)}, {wall_time(time.monotonic() - session.began)}"
        say(terminal.wrap(total, 0, 2), terminal)
    return comparison_code(found)


def _written(
    session: Session,
    blocks: tuple[str | None, str | None],
    wishes: ComparisonOptions,
    answers: list[ComparisonReport],
    targets: Targets,
) -> ExitCode:
    from twohand.analyses.compare.record import compare_result
    from twohand.analyses.documents import COMPARISON, Compared, CompareOptions

    first, second = blocks
    options = CompareOptions(
        **limits_of(session),
        blocks=None if first is None or second is None else (first, second),
        scan=wishes.scan,
        assume=wishes.assume,
        platform=wishes.platform,
        power_cycles=wishes.power,
        common=wishes.common,
    )
    found = [(each, compare_result(each)) for each in answers]
    answer = Compared(ExitCode.UNUSABLE, None)
    for _, result in found:
        answer = Compared(result.exit_code, result)
    spent = spent_on((r.first.path, r.first.block, each.report.seconds) for each, r in found)
    return write_answer(COMPARISON, options, answer, spent, targets, session)
