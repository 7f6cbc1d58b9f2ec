"""The specs that a project asks, and the answers to all that it asks of one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from twohand.commands.checking.inspect import EFFORT as INSPECTION_EFFORT
from twohand.commands.shared.session import Session
from twohand.commands.shared.spec_files import find_spec_files
from twohand.files.confinement import confined_to, is_outside
from twohand.gate.identifiers import spec_of
from twohand.gate.project.project_file import ProjectFile, find_project_file, is_passed_over
from twohand.text.diagnostic import Diagnostic, InputError, wrong
from twohand.text.resources import is_folder
from twohand.text.suggestions import nearest

if TYPE_CHECKING:
    from twohand.gate.answers import AnsweredSpec

WAY = "write one for the specs that are there: twohand init"


@dataclass
class AskedSpecs:
    """The specs that are asked, by their project, in the order of their paths. ``left_out`` counts
    those below the folders that were named, but not asked by their project."""

    projects: list[tuple[ProjectFile, list[Path]]] = field(default_factory=list)
    left_out: int = 0


def asked_specs(session: Session, paths: Iterable[str]) -> AskedSpecs:
    """What these paths are asked for; without any, the project of the working folder. Complains of
    what cannot be used."""
    wanted = list(paths)
    found = AskedSpecs()
    if not wanted:
        project = _project(session, Path())
        if project is None:
            return found
        wanted = [str(Path(project.source.path).parent)]
    files, problems = find_spec_files(wanted)
    for problem in problems:
        session.complain([problem])
    named = {Path(each) for each in wanted if not is_folder(Path(each))}
    projects: dict[Path, ProjectFile | None] = {}
    by_file: dict[Path, list[Path]] = {}
    for file in sorted(files, key=lambda path: path.as_posix()):
        if file not in named and _is_foreign(file, wanted):
            continue
        if file.parent not in projects:
            projects[file.parent] = _project(session, file)
        project = projects[file.parent]
        if project is None:
            continue
        if project.asks(file):
            by_file.setdefault(project.folder, []).append(file)
        elif file in named:
            session.complain([_not_asked(file, project)])
        else:
            found.left_out += 1
    first = {each.folder: each for each in projects.values() if each is not None}
    found.projects = [(first[folder], specs) for folder, specs in by_file.items()]
    if not found.projects and not session.codes:
        message = "no spec here is asked by its project"
        way = "see 'specs' and 'exclude' of the project file"
        session.complain([Diagnostic("no-spec-files", message, path=wanted[0], help=way)])
    return found


def _is_foreign(file: Path, wanted: Iterable[str]) -> bool:
    """Whether a hidden folder or an installed environment lies between a folder that was named and
    the file."""
    roots = [root for each in wanted if file.is_relative_to(root := Path(each))]
    root = max(roots, key=lambda each: len(each.parts), default=Path())
    return any(
        is_passed_over(each) for each in file.parents if each != root and each.is_relative_to(root)
    )


def _project(session: Session, place: Path) -> ProjectFile | None:
    """The project file of a spec; complains where there is none, or none that can be used."""
    try:
        found = find_project_file(place)
    except InputError as error:
        session.complain(error.diagnostics)
        return None
    if found is None:
        message = "there is no project file here or above"
        session.complain([Diagnostic("no-project-file", message, path=str(place), help=WAY)])
    return found


def _not_asked(file: Path, project: ProjectFile) -> Diagnostic:
    message = f"the project file {project.source.path} does not ask this spec"
    way = "see its 'specs' and 'exclude', or check the spec alone: twohand check"
    return Diagnostic("not-asked", message, path=str(file), help=way)


@contextmanager
def as_project_says(session: Session, project: ProjectFile) -> Iterator[None]:
    """Within, the effort and the confinement are those of the project file; what the command line
    says goes before, and the confinement is never made wider."""
    source = click.get_current_context().get_parameter_source("effort")
    if project.effort is not None and source is click.core.ParameterSource.DEFAULT:
        session.limits["effort"] = project.effort
    folder = project.confined
    if folder is None or is_outside(folder):
        yield
        return
    with confined_to(folder):
        yield


def answers(
    session: Session, path: Path, project: ProjectFile, former: tuple[Path, str] | None = None
) -> list[AnsweredSpec]:
    """All that the project asks of the specs of one file; InputError where it is unusable.
    ``former``: the same of a former one at this path, which is shown so."""
    from twohand.gate.answers import AnsweredSpec

    try:
        if former is None:
            _check_limits(session, project, path)
        file, shown = (path, str(path)) if former is None else former
        reports = list(session.check(file, shown))
        found = [AnsweredSpec(report) for report in reports]
        if project.asks_faults(path):
            found = list(_with_tables(session, file, shown, found))
        if project.inspects(path):
            found = list(_with_inspections(session, file, shown, found))
        return [_measured(session, each, project, path) for each in found]
    finally:
        session.progress.clear()


def _with_tables(
    session: Session, path: Path, shown: str, found: list[AnsweredSpec]
) -> Iterator[AnsweredSpec]:
    from twohand.analyses.faults.cases import load_fault_analyses
    from twohand.analyses.faults.check import check_faults

    options, pool = session.check_options(), session.workers()
    for each, analysis in zip(found, load_fault_analyses(path, shown), strict=True):
        table = check_faults(analysis, options, session.progress, pool, True)
        yield replace(each, table=table)


def _with_inspections(
    session: Session, path: Path, shown: str, found: list[AnsweredSpec]
) -> Iterator[AnsweredSpec]:
    from twohand.analyses.inspect.check import inspect
    from twohand.analyses.inspect.points import InspectionKind
    from twohand.analyses.inspect.subject import subjects_of_spec

    options, pool = session.check_options(), session.workers()
    options = replace(options, effort=min(options.effort, INSPECTION_EFFORT))
    for each, subject in zip(found, subjects_of_spec(path, shown), strict=True):
        kinds = list(InspectionKind)
        yield replace(each, inspection=inspect(subject, options, session.progress, pool, kinds))


def _check_limits(session: Session, project: ProjectFile, path: Path) -> None:
    """InputError for a limit of a figure that no spec of the file has: nobody would ask it."""
    limits = project.limits_of(path)
    if not limits:
        return
    from twohand.analyses.measure.figures import check_measurable, figures_of

    known = []
    for specification in session.specifications(path, str(path)):
        if any(spec_of(each.figure) == specification.name for each in limits):
            check_measurable(specification)
        known += [each.name_in(specification) for each in figures_of(specification)]
    for limit in limits:
        if limit.figure not in known:
            close = nearest(limit.figure, known)
            way = f"did you mean '{close}'?" if close else f"there is {', '.join(known)}"
            message = f"'{limit.figure}' is no figure of {limit.spec.path.name}"
            raise wrong("unknown-figure", message, limit.span, way)


def _measured(
    session: Session, each: AnsweredSpec, project: ProjectFile, path: Path
) -> AnsweredSpec:
    """With the figures, where one of them has a limit."""
    specification = each.report.specification
    name = specification.name
    limits = tuple(each for each in project.limits_of(path) if spec_of(each.figure) == name)
    if not limits:
        return each
    from twohand.analyses.measure.figures import figures_of

    known = {each.name_in(specification) for each in figures_of(specification)}
    limits = tuple(each for each in limits if each.figure in known)  # a former spec lacks some
    from twohand.analyses.measure.measure import measure

    options, pool = session.check_options(), session.workers()
    measured = measure(specification, options, session.progress, pool)
    return replace(each, measured=measured, limits=limits)
