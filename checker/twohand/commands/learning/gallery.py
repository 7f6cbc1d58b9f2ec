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
from twohand.commands.learning.gallery_entry import copy_entry, show_entry
from twohand.commands.shared.gallery_files import opening, specs_by_topic
from twohand.commands.shared.options import options_to_check
from twohand.commands.shared.session import Session, say
from twohand.report.cautions import below_heading, gallery_caution
from twohand.report.exit_code import ExitCode, worst
from twohand.text.diagnostic import InputError
from twohand.text.suggestions import nearest

EPILOG = """\b
Examples:
  twohand gallery
  twohand gallery window_fed_by_both
  twohand gallery window_fed_by_both --to examples

Exit code 0 only where every verdict is the expected one (with --to: where all is written).
"""


@click.command("gallery", epilog=EPILOG)
@click.argument("name", required=False)
@click.option("--to", metavar="FOLDER", help="Copy the files of NAME there; nothing is replaced.")
@options_to_check
def gallery(session: Session, name: str | None, to: str | None) -> int:
    """Check the gallery of example blocks, right ones and wrong ones.

    They come in the order of the lessons ('twohand lesson'). With NAME: show this one whole.
    """
    if name is not None:
        return _one(session, name, to)
    if to is not None:
        raise click.UsageError("--to copies one entry; name it: twohand gallery NAME --to FOLDER")
    terminal = session.terminal
    specs: dict[Path, str] = {}
    titles: list[str] = []

    def find() -> ExitCode:
        specs.update(specs_by_topic())
        return ExitCode.ALL_PROVED

    def one(path: Path) -> ExitCode:
        codes = []
        if specs[path] and specs[path] not in titles:
            titles.append(specs[path])
            session.progress.clear()
            say(["", terminal.heading(specs[path])], terminal)
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
    session.each(list(specs), one, lambda path: path.name)
    if session.reports:
        say([*showcase_lines(session.reports, terminal), ""], terminal)
        said = gallery_caution([report.specification for report in session.reports])
        say(below_heading([said], terminal), terminal)
        session.total()
    return worst(session.codes)


def _one(session: Session, name: str, to: str | None) -> int:
    """One entry, shown or copied; UsageError with the nearest name."""
    named = {path.stem: (path, title) for path, title in specs_by_topic().items()}
    wanted = name.casefold().replace("-", "_").removesuffix(".spec")
    if wanted not in named:
        near = nearest(wanted, named)
        hint = f"did you mean '{near}'?" if near else "'twohand gallery' lists them"
        raise click.UsageError(f"the gallery has no entry '{name}'; {hint}")
    path, title = named[wanted]
    if to is None:
        session.guard(lambda: show_entry(session, path, title), path.name)
    else:
        session.guard(lambda: copy_entry(session, path, to), to)
    return worst(session.codes)
