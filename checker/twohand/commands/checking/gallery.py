"""``twohand gallery``: the example blocks, right ones and wrong ones."""

from __future__ import annotations

from pathlib import Path

import click

from twohand.analyses.check.gallery_text import (
    showcase_lines,
    table_heading,
    table_row,
    unexpected,
    unusable_row,
)
from twohand.commands.shared.gallery_files import gallery_specs, opening
from twohand.commands.shared.options import options_to_check
from twohand.commands.shared.session import Session, say
from twohand.report.cautions import below_heading, gallery_caution
from twohand.report.exit_code import ExitCode, worst
from twohand.text.diagnostic import InputError


@click.command("gallery", epilog="Exit code 0 only where every verdict is the expected one.")
@options_to_check
def gallery(session: Session) -> int:
    """Check the gallery of example blocks, right ones and wrong ones."""
    terminal = session.terminal
    specs: list[Path] = []

    def find() -> ExitCode:
        specs.extend(gallery_specs())
        return ExitCode.ALL_PROVED

    def one(path: Path) -> ExitCode:
        codes = []
        try:
            for report in session.check(path, path.name):
                session.reports.append(report)
                session.progress.clear()
                say(table_row(path.stem, report, opening(path), terminal), terminal)
                codes.append(ExitCode.VIOLATED if unexpected(report) else ExitCode.ALL_PROVED)
        except InputError:
            say(unusable_row(path.stem, terminal), terminal)
            raise
        return worst(codes)

    if session.guard(find, "the gallery"):
        say(table_heading(terminal), terminal)
    session.each(specs, one, lambda path: path.name)
    if session.reports:
        say([*showcase_lines(session.reports, terminal), ""], terminal)
        said = gallery_caution([report.specification for report in session.reports])
        say(below_heading([said], terminal), terminal)
        session.total()
    return worst(session.codes)
