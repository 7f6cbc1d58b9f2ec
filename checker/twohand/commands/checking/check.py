"""``twohand check``: spec files to verdicts."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from twohand.analyses.check.exit_code import expected_code, report_code
from twohand.commands.checking.other_tools import Exports, export_options
from twohand.commands.shared.document import (
    Targets,
    document_options,
    have_place,
    limits_of,
    write_answer,
)
from twohand.commands.shared.examples import EXAMPLES
from twohand.commands.shared.options import shared_options
from twohand.commands.shared.session import Session, say
from twohand.commands.shared.spec_files import (
    find_spec_files,
    part_option,
    parted,
    say_part,
)
from twohand.report.concise import concise_lines
from twohand.report.exit_code import ExitCode, worst
from twohand.report.summary import meant_line, report_lines

if TYPE_CHECKING:
    from twohand.analyses.check.record import CheckResult
    from twohand.record.parts.part import PartChoice

EXIT_CODES = """\b
Exit codes, the first that applies:
  4  internal error
  2  an input cannot be used, or there was nothing to check
  1  something is violated, vacuous, unreachable, never on, or a finding, or a tolerance is too wide
  3  something is undecided
  0  everything is proved (with --as-expected: came out as EXPECT names it)
Also: 130 after an interrupt, 141 where the reader of the output left (| head).
"""


def _explain(context: click.Context, code: str | None) -> None:
    if code is not None:
        from twohand.commands.lookup.explain import explain  # only where it is asked for

        context.exit(explain.main([code], standalone_mode=False))


@click.command(epilog=f"{EXAMPLES}\n{EXIT_CODES}")
@click.argument("paths", nargs=-1, required=True, metavar="PATH...")
@click.option("--brief", is_flag=True, help="Verdict lines, and one line of what they do not say.")
@click.option("--details", is_flag=True, help="Invariants of proofs, and every scan of a run.")
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "concise"]),
    default="text",
    help="concise: file:line:column: verdict: message, for editors.  [default: text]",
)
@click.option(
    "--explain",
    metavar="CODE",
    is_eager=True,
    expose_value=False,
    callback=lambda context, _, code: _explain(context, code),
    help="Explain the code of a message, and end.",
)
@click.option(
    "--beyond-findings",
    "beyond",
    is_flag=True,
    help="Where integers may overflow, say what holds if they wrap; no proof, no pass.",
)
@click.option(
    "--another",
    is_flag=True,
    help="Where a requirement is violated, look for a run that differs in kind.",
)
@click.option(
    "--as-expected",
    is_flag=True,
    help="Exit code 0 where every verdict is the one that EXPECT names, and nothing is open.",
)
@part_option
@document_options
@export_options
@shared_options
def check(
    session: Session,
    paths: tuple[str, ...],
    brief: bool,
    details: bool,
    form: str,
    beyond: bool,
    another: bool,
    as_expected: bool,
    part: PartChoice | None,
    targets: Targets,
    **others: str | None,
) -> int:
    """Check spec files, or all spec files below folders."""
    session.limits.update(beyond=beyond, another=another)
    quiet = targets.quiet
    session.concise = form == "concise" and not quiet
    exports = Exports(**others)
    if not all([have_place(targets, session, exports.places), exports.have_place(session)]):
        return worst(session.codes)
    terminal = session.terminal
    files, problems = find_spec_files(paths)
    for problem in problems:
        session.complain([problem])

    def one(path: Path) -> ExitCode:
        codes = []
        for report in session.check(path, str(path)):
            session.reports.append(report)
            codes.append(expected_code(report) if as_expected else report_code(report))
            session.progress.clear()
            if session.concise:
                say(concise_lines(report, terminal), terminal)
            elif not quiet:
                say([*report_lines(report, terminal, brief, details), ""], terminal)
        return worst(codes)

    session.each(parted(session, files, part, targets.page), one)
    if targets.wanted or exports.wanted:
        from twohand.analyses.check.record import check_result

        answer = check_result(session.reports)
        if targets.wanted:
            session.guard(lambda: _written(session, answer, as_expected, targets), targets.wanted)
        exports.write(answer.specs, session, as_expected)
    if not quiet:
        session.cautions(err=session.concise, brief=brief)
        if not session.concise:
            session.total()
        say_part(session, err=session.concise)
    meant = meant_line(session.reports) if as_expected else ""
    if meant:
        say(terminal.wrap(meant, 0, 2), terminal, err=session.concise or quiet)
    return worst(session.codes)


def _written(
    session: Session, answer: CheckResult, as_expected: bool, targets: Targets
) -> ExitCode:
    from twohand.analyses.documents import CHECK, CheckOptions, spent_on_checks

    asked = session.check_options()
    options = CheckOptions(
        **limits_of(session),
        beyond_findings=asked.beyond,
        another=asked.another,
        as_expected=as_expected,
    )
    spent = spent_on_checks(session.reports)
    return write_answer(CHECK, options, answer, spent, targets, session)
