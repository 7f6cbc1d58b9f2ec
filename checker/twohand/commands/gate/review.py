"""``twohand review``: all that a project asks, with what somebody answers for."""

from __future__ import annotations

import time
from collections.abc import Sequence
from contextlib import ExitStack
from typing import TYPE_CHECKING

import click

from twohand.commands.gate.asking import asked_specs
from twohand.commands.gate.former import FormerFiles, former_files
from twohand.commands.gate.project_review import ProjectReview, review_project
from twohand.commands.gate.review_outputs import ReviewTargets
from twohand.commands.gate.snapshot import WorkingFiles, staged_files
from twohand.commands.shared.options import shared_options
from twohand.commands.shared.session import Session, say
from twohand.commands.shared.spec_files import part_option, say_part
from twohand.gate.today import today
from twohand.report.exit_code import worst
from twohand.text.diagnostic import InputError, wrong

if TYPE_CHECKING:
    from twohand.commands.gate.asking import AskedSpecs
    from twohand.record.parts.part import PartChoice

EPILOG = """\b
Examples:
  twohand review
  twohand review logic press.spec --brief
  twohand review --json review.json --junit review.xml
  twohand review --staged --brief
  twohand review --since origin/main

\b
Exit codes, the first that applies:
  4  internal error
  2  an input cannot be used, or there was nothing to review
  1  something is violated, vacuous, never on, a finding, a fault of an inspection, lost under a
     fault or beyond its limit, and not waived; or a waiver is expired, unused, unreadable, or
     fits no more
  3  something is undecided, and not waived
  0  everything is proved or waived
EXPECT changes none of them. Also: 130 after an interrupt, 141 where the reader of the output left.
"""


@click.command("review", epilog=EPILOG)
@click.argument("paths", nargs=-1, metavar="[PATH]...")
@click.option("--brief", is_flag=True, help="One line for each thing that does not hold.")
@click.option(
    "--json", metavar="FILE", help="Write everything as JSON ('-': on the output, alone)."
)
@click.option("--junit", metavar="FILE", help="Write JUnit XML: a suite for each spec.")
@click.option("--sarif", metavar="FILE", help="Write SARIF 2.1.0: what fails, is open or waived.")
@click.option(
    "--staged", is_flag=True, help="Ask the index of git, and no file that is not staged."
)
@click.option(
    "--since",
    metavar="REV",
    help="Compare with where this commit and REV went apart; what changed comes first.",
)
@part_option
@shared_options
def review(
    session: Session,
    paths: tuple[str, ...],
    brief: bool,
    json: str | None,
    junit: str | None,
    sarif: str | None,
    staged: bool,
    since: str | None,
    part: PartChoice | None,
) -> int:
    """Ask all that a project asks of its specs, and pass what is proved or waived.

    PATHs are specs, or folders with them; without any, all specs of the project. The project file
    of each spec is the one next above it.
    """
    if click.get_current_context().params.get("confined") and (staged or since is not None):
        message = "with --staged and --since, reading is confined as the project file says"
        raise click.UsageError(f"{message}; leave --confined out")
    targets = ReviewTargets(json, junit, sarif)
    if not targets.have_place(session):
        return worst(session.codes)
    targets = targets.absolute() if staged else targets
    with ExitStack() as open_:
        try:
            former = None if since is None else open_.enter_context(former_files(since))
            files = open_.enter_context(staged_files()) if staged else None
            if files is not None:
                session.caches.moved = files.outside
            named = paths if files is None else [files.inside(each) for each in paths]
            _review(session, named, targets, brief, files, former, part)
        except InputError as error:
            session.complain(error.diagnostics)
    return worst(session.codes)


def _review(
    session: Session,
    paths: Sequence[str],
    targets: ReviewTargets,
    brief: bool,
    files: WorkingFiles | None,
    former: FormerFiles | None,
    part: PartChoice | None,
) -> None:
    asked = asked_specs(session, paths)
    if (targets.any or part is not None) and len(asked.projects) > 1:
        message = "these specs are of several projects"
        way = "review one at a time, or leave --json, --junit, --sarif and --part out"
        raise wrong("several-projects", message, None, way, path=", ".join(paths))
    reviews = [
        ProjectReview(project, today(), staged=files is not None, former=former)
        for project, _ in asked.projects
    ]
    for found, (_, specs) in zip(reviews, asked.projects, strict=True):
        review_project(session, found, specs, brief, targets.quiet, part)
    for found in reviews:
        targets.with_those_of(found.project, files).write(session, found)
    if not targets.quiet:
        _close(session, reviews, asked, brief)


def _close(
    session: Session, reviews: Sequence[ProjectReview], asked: AskedSpecs, brief: bool
) -> None:
    """The cautions and the last line."""
    from twohand.gate.text import review_total

    session.cautions(brief=brief)
    judged = [spec for found in reviews for spec in found.judged]
    standings = [each for found in reviews for each in found.standings()]
    spent = time.monotonic() - session.began
    total = review_total(judged, standings, asked.left_out, session.problems, spent)
    say(["", *session.terminal.wrap(total, 0, 2)], session.terminal)
    say_part(session, err=False)
