"""The specs as they were at a former revision: which of them changed, and what was proved then."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from twohand.commands.gate.asking import answers
from twohand.commands.shared.session import Session
from twohand.files.confinement import confined_to
from twohand.gate.revisions import Repository
from twohand.text.diagnostic import InputError

if TYPE_CHECKING:
    from twohand.analyses.compare.check import ComparisonReport
    from twohand.formats.items import ItemOutcome
    from twohand.gate.answers import JudgedSpec
    from twohand.gate.former_self import FormerItems
    from twohand.gate.project.project_file import ProjectFile
    from twohand.specification.model.specification import Specification


@dataclass(frozen=True)
class FormerFiles:
    """All files of a ``commit`` lie below ``root``; ``here`` is the working folder from the top
    folder of the repository on, ``revision`` what the user called it."""

    revision: str
    commit: str
    root: Path
    top: Path
    here: Path
    read: dict[Path, tuple[Specification, ...] | None] = field(default_factory=dict)

    def path(self, path: Path) -> Path:
        """Where the former one of a file lies, that is there from the working folder on."""
        inside = path.resolve().relative_to(self.top) if path.is_absolute() else self.here / path
        return self.root / os.path.normpath(inside)

    def shown(self, path: Path) -> str:
        inside = self.path(path).relative_to(self.root).as_posix()
        return f"{self.revision}:{inside if '/' in inside else f'./{inside}'}"

    def specification(self, path: Path, name: str) -> Specification | None:
        """The former spec of this name; None where there is none that can be read."""
        found = (each for each in self.specifications(path) or () if each.name == name)
        return next(found, None)

    def is_unchanged(self, path: Path) -> bool:
        """Whether every spec of a file means what it meant; FALSE where it cannot be read."""
        from twohand.gate.former_self import SinceState, state_of
        from twohand.specification.load import load_specifications

        try:
            now = load_specifications(path)
        except InputError:
            return False
        states = {state_of(each, self.specification(path, each.name)) for each in now}
        return states == {SinceState.UNCHANGED}

    def specifications(self, path: Path) -> tuple[Specification, ...] | None:
        """The former specs of a file; None where there are none that can be read."""
        if path not in self.read:
            from twohand.specification.load import load_specifications

            former = self.path(path)
            try:
                with confined_to(self.root):
                    there = former.is_file()
                    found = load_specifications(former, self.shown(path)) if there else None
            except InputError:
                found = None
            self.read[path] = found
        return self.read[path]


@contextmanager
def former_files(revision: str) -> Iterator[FormerFiles]:
    """Those of the commit from which HEAD and the revision went apart. InputError where git does
    not have them."""
    here = Path().resolve()
    repository = Repository.around(here)
    commit = repository.merge_base(revision)
    inside = here.relative_to(repository.top)
    with repository.files(commit) as root:
        yield FormerFiles(revision, commit, root, repository.top, inside)


@dataclass(frozen=True)
class WithFormer:
    """A spec beside its former self; ``comparison`` of the blocks, or ``why_not``."""

    items: FormerItems
    comparison: ComparisonReport | None = None
    why_not: str = ""


def beside_former(
    session: Session, files: FormerFiles, path: Path, project: ProjectFile, spec: JudgedSpec
) -> WithFormer:
    """What was proved of a changed spec where not all of it holds now, and what its block shows
    otherwise."""
    from twohand.gate.former_self import FormerItems, SinceState, block_comparison, state_of

    now = spec.answered.report.specification
    then = files.specification(path, now.name)
    state = state_of(now, then)
    if then is None or state is SinceState.UNCHANGED:
        return WithFormer(FormerItems(files.revision, state))
    outcomes = {} if spec.holds else _former_outcomes(session, files, path, project, now.name)
    items = FormerItems(files.revision, state, outcomes)
    try:
        question = block_comparison(now, then)
    except InputError as error:
        return WithFormer(items, why_not=str(error))
    if question is None:
        return WithFormer(items)
    from twohand.analyses.compare.check import compare

    options, pool = session.check_options(), session.workers()
    return WithFormer(items, compare(question, options, session.progress, pool))


def _former_outcomes(
    session: Session, files: FormerFiles, path: Path, project: ProjectFile, name: str
) -> dict[str, ItemOutcome]:
    """How the items of the former spec of this name came out; none where it cannot be used."""
    from twohand.gate.answers import judged_spec

    former = (files.path(path), files.shown(path))
    try:
        with confined_to(files.root):
            found = answers(session, path, project, former)
    except InputError:
        return {}
    return {
        bound.item.identifier: bound.item.outcome
        for each in found
        if each.report.specification.name == name
        for bound, _ in judged_spec(each, (), date.max).waived.items
    }
