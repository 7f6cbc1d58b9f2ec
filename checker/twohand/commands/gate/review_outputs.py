"""Where a review is written: as JSON, JUnit XML and SARIF."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from twohand.commands.gate.project_review import ProjectReview
from twohand.commands.gate.snapshot import WorkingFiles
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
from twohand.commands.shared.session import Session
from twohand.record.message import messages_of
from twohand.report.exit_code import ExitCode, worst

if TYPE_CHECKING:
    from twohand.gate.project.project_file import ProjectFile


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

    def absolute(self) -> ReviewTargets:
        """The same from any folder."""

        def whole(given: str | None) -> str | None:
            return given if given in (None, OUTPUT) else str(Path(given or "").absolute())

        return ReviewTargets(whole(self.json), whole(self.junit), whole(self.sarif))

    def with_those_of(self, project: ProjectFile, files: WorkingFiles | None) -> ReviewTargets:
        """What the project file wants where the command line says nothing."""
        own = project.outputs

        def chosen(given: str | None, stated: Path | None) -> str | None:
            if given is not None or stated is None:
                return given
            return str(stated if files is None else files.outside(stated))

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
    options = ReviewOptions(
        **limits_of(session),
        today=found.day.isoformat(),
        staged=found.staged,
        since=None if found.former is None else found.former.commit,
    )
    spent = spent_on_checks([each.answered.report for each in found.judged])
    return write_answer(REVIEW, options, answer, spent, Targets(target, None), session)
