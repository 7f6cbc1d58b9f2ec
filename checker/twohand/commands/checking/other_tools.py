"""What a check writes for other tools: JUnit XML, SARIF, value change dumps."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from twohand.commands.shared.document import (
    ONLY_DOCUMENT,
    OUTPUT,
    hindrance,
    hindrances_of_folder,
    not_written,
    write_into_folder,
)
from twohand.commands.shared.session import Session
from twohand.record.message import messages_of
from twohand.report.exit_code import ExitCode, worst
from twohand.text.diagnostic import Diagnostic

if TYPE_CHECKING:
    from twohand.analyses.check.record import CheckedSpec

_OPTIONS = (
    click.option("--junit", metavar="FILE", help="Write JUnit XML: a suite for each spec."),
    click.option("--sarif", metavar="FILE", help="Write SARIF 2.1.0: what fails or is open."),
    click.option(
        "--waves",
        metavar="FOLDER",
        help="Write each run as a value change dump (VCD); needs the extra 'waves'.",
    ),
)


def export_options(command: Callable[..., Any]) -> Callable[..., Any]:
    for option in reversed(_OPTIONS):
        command = option(command)
    return command


@dataclass(frozen=True)
class Exports:
    """Where each format is wanted, if it is."""

    junit: str | None
    sarif: str | None
    waves: str | None

    @property
    def places(self) -> list[str]:
        """All files and folders that are wanted."""
        return [each for each in (self.junit, self.sarif, self.waves) if each]

    def have_place(self, session: Session) -> bool:
        """Whether each of them can lie where it is wanted; asked before the work. Complains where
        not."""
        problems = list(self._hindrances())
        if problems:
            session.complain(problems)
        return not problems

    def _hindrances(self) -> Iterator[Diagnostic]:
        files = [each for each in (self.junit, self.sarif) if each is not None]
        for target in files:
            why = ONLY_DOCUMENT if target == OUTPUT else hindrance(target)
            if why:
                yield not_written(target, why)
        if self.waves is not None:
            yield from hindrances_of_folder(self.waves)
            if find_spec("vcd") is None:
                why = "the package pyvcd is not installed"
                yield not_written(self.waves, why, "python -m pip install 'twohand[waves]'")

    @property
    def wanted(self) -> bool:
        return any((self.junit, self.sarif, self.waves))

    def write(self, specs: Sequence[CheckedSpec], session: Session, as_expected: bool) -> None:
        """Each of them, whatever becomes of the others."""
        problems, code = messages_of(session.problems), worst(session.codes)
        if self.junit is not None or self.sarif is not None:
            from twohand.formats.items import spec_items

            items = [spec_items(each) for each in specs]
        if self.junit is not None:
            from twohand.formats.junit import junit_text

            _write(session, self.junit, lambda: junit_text(items, problems, as_expected))
        if self.sarif is not None:
            from twohand.formats.sarif import sarif_text

            _write(session, self.sarif, lambda: sarif_text(items, problems, code, as_expected))
        if self.waves is not None:
            from twohand.formats.waveform import waveforms

            folder = Path(self.waves)
            for name, text in waveforms(specs):
                _write(session, str(folder / name), partial(str, text))


def _write(session: Session, target: str, text: Callable[[], str]) -> None:
    def work() -> ExitCode:
        write_into_folder(Path(target), text())
        return ExitCode.ALL_PROVED

    session.guard(work, target)
