"""``twohand review``: all that a project asks, with what somebody answers for."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from twohand.commands.gate.asking import answers, as_project_says, asked_specs
from twohand.commands.shared.document import (
    OUTPUT,
    Targets,
    have_place,
    hindrance,
    limits_of,
    not_written,
    write_answer,
    write_into_folder,
)
from twohand.commands.shared.options import shared_options
from twohand.commands.shared.session import Session, say
from twohand.record.message import messages_of
from twohand.report.drawing.diagnostics import diagnostic_lines
from twohand.report.exit_code import ExitCode, worst
from twohand.text.diagnostic import Diagnostic, InputError

if TYPE_CHECKING:
    from twohand.gate.answers import JudgedSpec
    from twohand.gate.project_file import ProjectFile
    from twohand.gate.waivers import WaiverStanding, WrittenWaiver

EPILOG = """\b
Examples:
  twohand review
  twohand review logic press.spec --brief
  twohand review --json review.json --junit review.xml

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


def today() -> date:
    """The day by which waivers end, everywhere the same one."""
    return datetime.now(UTC).date()


@dataclass
class ProjectReview:
    """What has come out of a project so far. ``waivers`` None: they cannot be read, and none
    counts."""

    project: ProjectFile
    day: date
    waivers: tuple[WrittenWaiver, ...] = ()
    judged: list[JudgedSpec] = field(default_factory=list)
    files: list[Path] = field(default_factory=list)
    """The spec files that were answered."""

    def waivers_of(self, path: Path) -> list[WrittenWaiver]:
        file = path.resolve()
        folder = self.project.folder
        return [each for each in self.waivers if (folder / each.waiver.spec).resolve() == file]

    def standings(self) -> Iterator[tuple[WrittenWaiver, WaiverStanding]]:
        """Those of all waivers that can be judged: of specs that were answered, and of what is no
        spec that the project asks."""
        from twohand.gate.waivers import WaiverStanding

        known = {id(written): found for spec in self.judged for written, found in spec.standings}
        for each in self.waivers:
            path = self.project.folder / each.waiver.spec
            if id(each) in known:
                yield each, known[id(each)]
            elif not path.is_file() or not self.project.asks(path):
                yield each, WaiverStanding.UNUSED
            elif path.resolve() in [file.resolve() for file in self.files]:
                yield each, WaiverStanding.UNUSED  # of no spec of the file


@click.command("review", epilog=EPILOG)
@click.argument("paths", nargs=-1, metavar="[PATH]...")
@click.option("--brief", is_flag=True, help="One line for each thing that does not hold.")
@click.option(
    "--json", metavar="FILE", help="Write everything as JSON ('-': on the output, alone)."
)
@click.option("--junit", metavar="FILE", help="Write JUnit XML: a suite for each spec.")
@click.option("--sarif", metavar="FILE", help="Write SARIF 2.1.0: what fails, is open or waived.")
@shared_options
def review(
    session: Session,
    paths: tuple[str, ...],
    brief: bool,
    json: str | None,
    junit: str | None,
    sarif: str | None,
) -> int:
    """Ask all that a project asks of its specs, and pass what is proved or waived.

    PATHs are specs, or folders with them; without any, all specs of the project. The project file
    of each spec is the one next above it.
    """
    wanted = ReviewTargets(json, junit, sarif)
    if not wanted.have_place(session):
        return worst(session.codes)
    asked = asked_specs(session, paths)
    if wanted.any and len(asked.projects) > 1:
        raise click.UsageError("these specs are of several projects; review one at a time")
    reviews = [ProjectReview(project, today()) for project, _ in asked.projects]
    for found, (_, files) in zip(reviews, asked.projects, strict=True):
        _reviewed(session, found, files, brief, wanted.quiet)
    for found in reviews:
        wanted.with_those_of(found.project).write(session, found)
    if not wanted.quiet:
        session.cautions(brief=brief)
        from twohand.gate.text import review_total

        judged = [spec for found in reviews for spec in found.judged]
        standings = [each for found in reviews for each in found.standings()]
        spent = time.monotonic() - session.began
        total = review_total(judged, standings, asked.left_out, session.problems, spent)
        say(["", *session.terminal.wrap(total, 0, 2)], session.terminal)
    return worst(session.codes)


@dataclass(frozen=True)
class ReviewTargets:
    """Where a review is wanted as JSON, JUnit XML and SARIF, if it is."""

    json: str | None
    junit: str | None
    sarif: str | None

    @property
    def any(self) -> bool:
        return any((self.json, self.junit, self.sarif))

    @property
    def quiet(self) -> bool:
        """Whether the output has nothing but the document."""
        return self.json == OUTPUT

    def have_place(self, session: Session) -> bool:
        """Whether each can lie where it is wanted; asked before the work. Complains if not."""
        others = [each for each in (self.junit, self.sarif) if each is not None]
        problems = [not_written(each, why) for each in others if (why := hindrance(each))]
        if problems:
            session.complain(problems)
        return have_place(Targets(self.json, None), session, others) and not problems

    def with_those_of(self, project: ProjectFile) -> ReviewTargets:
        """What the project file wants where the command line says nothing."""
        own = project.outputs

        def chosen(given: str | None, stated: Path | None) -> str | None:
            return str(stated) if given is None and stated is not None else given

        return ReviewTargets(
            chosen(self.json, own.json),
            chosen(self.junit, own.junit),
            chosen(self.sarif, own.sarif),
        )

    def write(self, session: Session, found: ProjectReview) -> None:
        """Each of them, whatever becomes of the others."""
        from twohand.formats.junit import junit_text
        from twohand.formats.sarif import sarif_text

        problems, code = messages_of(session.problems), worst(session.codes)
        items = [each.listed for each in found.judged]
        texts = (
            (self.junit, lambda: junit_text(items, problems)),
            (self.sarif, lambda: sarif_text(items, problems, code)),
        )
        for target, text in texts:
            if target is not None:
                session.guard(partial(_written, target, text), target)
        if self.json is not None:
            session.guard(lambda: _document(session, found, self.json or ""), self.json)


def _written(target: str, text: Callable[[], str]) -> ExitCode:
    write_into_folder(Path(target), text())
    return ExitCode.ALL_PROVED


def _document(session: Session, found: ProjectReview, target: str) -> ExitCode:
    from twohand.analyses.documents import spent_on_checks
    from twohand.gate.documents import REVIEW, ReviewOptions
    from twohand.gate.record import review_result

    answer = review_result(
        found.project.source.path,
        [each.reviewed for each in found.judged],
        list(found.standings()),
        worst(session.codes),
        [each.answered.report.specification for each in found.judged],
    )
    options = ReviewOptions(**limits_of(session), today=found.day.isoformat())
    spent = spent_on_checks([each.answered.report for each in found.judged])
    return write_answer(REVIEW, options, answer, spent, Targets(target, None), session)


def failed(session: Session, diagnostics: Sequence[Diagnostic]) -> None:
    """Say why waivers fail the review: it is no input that could not be used."""
    for each in diagnostics:
        session.codes.append(ExitCode.VIOLATED)
        session.problems.append(each)
        say([*diagnostic_lines(each, session.complaints), ""], session.complaints, err=True)


def _reviewed(
    session: Session, found: ProjectReview, files: list[Path], brief: bool, quiet: bool
) -> None:
    from twohand.gate.answers import judged_spec
    from twohand.gate.identifiers import spec_of
    from twohand.gate.text import spec_lines
    from twohand.gate.waivers import complaints, read_waivers

    project, terminal = found.project, session.terminal
    shown = str(Path(project.source.path).parent / project.waivers.relative_to(project.folder))
    try:
        found.waivers = read_waivers(project.waivers, shown)
    except InputError as error:
        failed(session, error.diagnostics)

    def one(path: Path) -> ExitCode:
        codes = []
        for answered in answers(session, path, project):
            session.reports.append(answered.report)
            own = [
                each
                for each in found.waivers_of(path)
                if spec_of(each.waiver.requirement) == answered.report.specification.name
            ]
            spec = judged_spec(answered, own, found.day)
            found.judged.append(spec)
            codes.append(spec.reviewed.exit_code)
            session.progress.clear()
            if not quiet:
                say([*spec_lines(spec, terminal, brief), ""], terminal)
        found.files.append(path)
        return worst(codes)

    with as_project_says(session, project):
        session.each(files, one)
    failed(session, list(complaints(list(found.standings()))))
