"""For pytest: the specs that a project file asks are collected, one item for each requirement.

Registered as the entry point ``twohand``. A file that ends in .spec and that no project file asks
is none of ours, and left alone. Nothing of the rest is loaded before such a file is found.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from twohand.commands.shared.session import Session
    from twohand.gate.answers import AnsweredSpec, JudgedSpec
    from twohand.gate.project.project_file import ProjectFile
    from twohand.gate.waivers import BoundItem

ALL_ELSE = "all_else"
"""The item of a spec for what is no requirement: findings, outputs, tolerances, what else the
project asks, and waivers."""
SUFFIX = ".spec"
_GROUP = "xdist_group(name): items that one process runs (--dist loadgroup, or loadfile)"


def pytest_configure(config: pytest.Config) -> None:
    config.addinivalue_line("markers", _GROUP)


def pytest_collect_file(file_path: Path, parent: pytest.Collector) -> pytest.Collector | None:
    if file_path.suffix != SUFFIX:
        return None
    from twohand.gate.project.project_file import find_project_file
    from twohand.text.diagnostic import InputError

    try:
        project = find_project_file(Path(_shown(file_path)))
    except InputError as error:
        return SpecFile.from_parent(parent, path=file_path, project=None, wrong=error)
    if project is None or not project.asks(file_path):
        return None
    return SpecFile.from_parent(parent, path=file_path, project=project, wrong=None)


def pytest_sessionfinish(session: pytest.Session) -> None:
    """Ends the workers, which served one spec after the other."""
    own = session.config.stash.get(_SESSION, None)
    if own is not None:
        own.open.close()


_SESSION: pytest.StashKey[Session] = pytest.StashKey()


def _session(config: pytest.Config) -> Session:
    """One for all specs of this process."""
    if _SESSION not in config.stash:
        from twohand.commands.shared.console import terminal_for
        from twohand.commands.shared.session import Progress, Session

        terminal = terminal_for(getattr(sys.stdout, "encoding", None), False, os.environ)
        progress = Progress(terminal, False)
        config.stash[_SESSION] = Session(terminal, terminal, {}, progress, None)
    return config.stash[_SESSION]


def _shown(path: Path) -> str:
    try:
        return os.path.relpath(path)
    except ValueError:  # another drive
        return str(path)


class SpecFile(pytest.File):
    """A spec file; its items share one check, of what is chosen of them."""

    def __init__(self, *, project: ProjectFile | None, wrong: Exception | None, **more: Any):
        super().__init__(**more)
        self.project = project
        self.wrong = wrong
        self.judged: dict[str, JudgedSpec] | None = None

    @property
    def shown(self) -> str:
        return _shown(self.path)

    def collect(self) -> Iterator[pytest.Item]:
        if self.wrong is not None or self.project is None:
            raise self.wrong or ValueError(self.path)
        specs = _session(self.config).specifications(self.path, self.shown)
        for spec in specs:
            begin = f"{spec.name}/" if len(specs) > 1 else ""
            for name in (*(each.identifier for each in spec.requirements), ALL_ELSE):
                item = AskedItem.from_parent(self, name=begin + name, spec=spec.name, asked=name)
                item.add_marker(pytest.mark.xdist_group(self.shown))
                yield item

    def repr_failure(self, excinfo: pytest.ExceptionInfo[BaseException], style: Any = None) -> Any:
        """What is wrong with a file that cannot be read, as the command line tells it."""
        from twohand.report.drawing.diagnostics import diagnostic_lines
        from twohand.text.diagnostic import InputError

        if isinstance(excinfo.value, InputError):
            terminal = _session(self.config).terminal
            told = (diagnostic_lines(each, terminal) for each in excinfo.value.diagnostics)
            return "\n".join(line for lines in told for line in lines)
        return super().repr_failure(excinfo)

    def answer(self, spec: str) -> JudgedSpec:
        """The check of a spec of the file, made once for all items that are chosen."""
        if self.judged is None:
            self.judged = dict(self._judged())
        return self.judged[spec]

    def _judged(self) -> Iterator[tuple[str, JudgedSpec]]:
        from twohand.gate.answers import judged_spec
        from twohand.gate.identifiers import spec_of
        from twohand.gate.today import today
        from twohand.gate.waivers import read_waivers

        project = self.project
        assert project is not None
        waivers = [
            each
            for each in read_waivers(project.waivers, _shown(project.waivers))
            if (project.folder / each.waiver.spec).resolve() == self.path.resolve()
        ]
        for answered in self._answers(project):
            name = answered.report.specification.name
            own = [each for each in waivers if spec_of(each.waiver.requirement) == name]
            yield name, judged_spec(answered, own, today())

    def _answers(self, project: ProjectFile) -> list[AnsweredSpec]:
        """All that the project asks where ``ALL_ELSE`` is chosen, else the requirements that are:
        each is asked alone in any case, so that its answer does not hang on the others."""
        from twohand.analyses.check.check import check
        from twohand.commands.gate.asking import answers
        from twohand.files.confinement import confined_to
        from twohand.gate.answers import AnsweredSpec

        session = _session(self.config)
        session.limits.pop("effort", None)
        if project.effort is not None:
            session.limits["effort"] = project.effort
        items = [each for each in self.session.items if isinstance(each, AskedItem)]
        chosen = {(each.spec, each.asked) for each in items if each.parent is self}
        with confined_to(project.confined):
            if any(name == ALL_ELSE for _, name in chosen):
                return answers(session, Path(self.shown), project)
            options = replace(session.check_options(), needless=False)
            found = []
            for spec in session.specifications(self.path, self.shown):
                kept = [e for e in spec.requirements if (spec.name, e.identifier) in chosen]
                if kept:
                    asked = replace(spec, requirements=tuple(kept))
                    report = check(asked, options, session.progress, session.workers())
                    found.append(AnsweredSpec(report))
            return found


class NotProved(Exception):  # noqa: N818 - an answer, no error of the program
    """What does not hold, as lines to show."""


class AskedItem(pytest.Item):
    """One requirement of a spec, or all else that is asked of it."""

    parent: SpecFile

    def __init__(self, *, spec: str, asked: str, **more: Any) -> None:
        super().__init__(**more)
        self.spec = spec
        self.asked = asked

    def runtest(self) -> None:
        judged = self.parent.answer(self.spec)
        names = {each.identifier for each in judged.answered.report.specification.requirements}
        waived, lines = [], []
        for bound, waiver in judged.waived.items:
            name = bound.item.identifier.removeprefix(f"{self.spec}/")
            own = name if name in names else ALL_ELSE
            if own != self.asked or bound.item.outcome.value == "holds":
                continue
            if waiver is None:
                lines += [*self._lines(judged, bound), ""]
            else:
                waived.append(f"{bound.item.text}; {waiver.decided_by}, until {waiver.until}")
        if self.asked == ALL_ELSE:
            lines += self._complaints(judged)
        if lines:
            raise NotProved("\n".join(lines))
        if waived:
            pytest.skip(f"WAIVED: {'; '.join(waived)}")

    def _lines(self, judged: JudgedSpec, bound: BoundItem) -> list[str]:
        """An item that does not hold, with the diagram of its run."""
        from twohand.report.run import violation_lines

        report, terminal = judged.answered.report, _session(self.config).terminal
        place = bound.item.place
        where = f"{place.path}:{place.line}:{place.column}" if place.line else place.path
        lines = terminal.wrap(f"{where}: {bound.item.text} ({bound.item.identifier})", 0, 2)
        for verdict in report.verdicts:
            if f"{self.spec}/{verdict.requirement.identifier}" == bound.item.identifier:
                lines += ["", *violation_lines(verdict, report, terminal)]
        return [terminal.shown(line) for line in lines]

    def _complaints(self, judged: JudgedSpec) -> list[str]:
        from twohand.gate.waivers import complaints
        from twohand.report.drawing.diagnostics import diagnostic_lines

        terminal = _session(self.config).terminal
        return [
            line
            for each in complaints(judged.standings)
            for line in diagnostic_lines(each, terminal)
        ]

    def repr_failure(self, excinfo: pytest.ExceptionInfo[BaseException], style: Any = None) -> Any:
        """What was found, without the way through this program."""
        from twohand.text.diagnostic import InputError

        if isinstance(excinfo.value, NotProved | InputError):
            return str(excinfo.value)
        return super().repr_failure(excinfo, style)

    def reportinfo(self) -> tuple[Path, int, str]:
        return self.path, 0, self.name
