"""What has come out of a review of one project, spec by spec."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from twohand.commands.gate.asking import answers, as_project_says
from twohand.commands.gate.former import FormerFiles, beside_former
from twohand.commands.shared.session import Session, say
from twohand.commands.shared.spec_files import parted
from twohand.report.drawing.diagnostics import diagnostic_lines
from twohand.report.exit_code import ExitCode, worst
from twohand.text.diagnostic import Diagnostic, InputError

if TYPE_CHECKING:
    from twohand.gate.answers import JudgedSpec
    from twohand.gate.project.project_file import ProjectFile
    from twohand.gate.waivers import WaiverStanding, WrittenWaiver
    from twohand.record.parts.part import PartChoice


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
    staged: bool = False
    former: FormerFiles | None = None

    def waivers_of(self, path: Path) -> list[WrittenWaiver]:
        file = path.resolve()
        folder = self.project.folder
        return [each for each in self.waivers if (folder / each.waiver.spec).resolve() == file]

    def standings(self) -> Iterator[tuple[WrittenWaiver, WaiverStanding]]:
        """Those of all waivers that can be judged: of specs that were answered, and of what is no
        spec that the project asks."""
        from twohand.gate.waivers import WaiverStanding

        answered = {file.resolve() for file in self.files}
        known = {id(written): found for spec in self.judged for written, found in spec.standings}
        for each in self.waivers:
            path = self.project.folder / each.waiver.spec
            if id(each) in known:
                yield each, known[id(each)]
            elif not path.is_file() or not self.project.asks(path):
                yield each, WaiverStanding.UNUSED
            elif path.resolve() in answered:
                yield each, WaiverStanding.UNUSED  # of no spec of the file


def failed(session: Session, diagnostics: Sequence[Diagnostic]) -> None:
    """Say why waivers fail the review: it is no input that could not be used."""
    for each in diagnostics:
        session.codes.append(ExitCode.VIOLATED)
        session.problems.append(each)
        say([*diagnostic_lines(each, session.complaints), ""], session.complaints, err=True)


def review_project(
    session: Session,
    found: ProjectReview,
    files: list[Path],
    brief: bool,
    quiet: bool,
    part: PartChoice | None = None,
) -> None:
    """Ask and show the specs of these files, then what is wrong with waivers."""
    from twohand.analyses.compare.record import compare_result
    from twohand.gate.answers import judged_spec
    from twohand.gate.identifiers import spec_of
    from twohand.gate.text import former_lines, spec_lines
    from twohand.gate.waivers import complaints, read_waivers

    project, terminal = found.project, session.terminal
    try:
        found.waivers = read_waivers(project.waivers, project.shown_waivers)
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
            beside = None
            if found.former is not None:
                beside = beside_former(session, found.former, path, project, spec)
                compared = None
                if beside.comparison is not None:
                    compared = compare_result(beside.comparison)
                spec = spec.beside(beside.items, compared)
            found.judged.append(spec)
            codes.append(spec.reviewed.exit_code)
            session.progress.clear()
            if not quiet:
                lines = spec_lines(spec, terminal, brief)
                if beside is not None:
                    lines += former_lines(
                        beside.items, beside.comparison, beside.why_not, terminal, brief
                    )
                say([*lines, ""], terminal)
        found.files.append(path)
        return worst(codes)

    with as_project_says(session, project):
        if found.former is not None:
            files = sorted(files, key=found.former.is_unchanged)
        session.each(parted(session, files, part), one)
    failed(session, list(complaints(list(found.standings()))))
