"""``twohand init``: a project file for the specs that are there."""

from __future__ import annotations

from pathlib import Path

import click

from twohand.commands.shared.document import write_file
from twohand.commands.shared.options import shared_options
from twohand.commands.shared.session import Session, say
from twohand.commands.shared.spec_files import NO_NAME
from twohand.report.exit_code import ExitCode, worst
from twohand.specification.phrases import count
from twohand.text.diagnostic import wrong
from twohand.text.resources import is_folder

EPILOG = """\b
Examples:
  twohand init
  twohand init controls

\b
Exit codes, the first that applies:
  4  internal error
  2  there is no spec below FOLDER, or the file cannot be written or, where one is there, read
  0  a project file is there
"""


@click.command("init", epilog=EPILOG)
@click.argument("folder", default=".")
@shared_options
def init(session: Session, folder: str) -> int:
    """Write a project file, twohand.toml, for the specs below FOLDER.

    FOLDER is the working folder where none is named. Where a project file is there, it is read and
    left as it is.
    """
    session.guard(lambda: _begun(session, Path(folder), folder), folder or "the folder")
    return worst(session.codes)


def _begun(session: Session, folder: Path, shown: str) -> ExitCode:
    from twohand.gate.project.new_project import project_text, spec_files_below
    from twohand.gate.project.project_file import OWN_FILE, find_project_file

    terminal = session.terminal
    if not shown.strip() or not is_folder(folder):
        raise wrong("missing-file", "there is no such folder", None, NO_NAME, path=shown)
    there = find_project_file(folder)
    try:
        specs = list(spec_files_below(folder))
    except OSError as error:
        message = f"the folder cannot be read: {error.strerror}"
        way = "see that it may be read"
        raise wrong("unreadable-path", message, None, way, path=str(error.filename)) from None
    if there is not None:
        asked = sum(there.asks(each) for each in specs)
        say(
            terminal.shown(
                f"{there.source.path} is there already, and asks {count(asked, 'spec')} of the "
                f"{len(specs)} below {shown}"
            ),
            terminal,
        )
        return ExitCode.ALL_PROVED
    if not specs:
        message = "no spec file in this folder or below it"
        raise wrong("no-spec-files", message, None, "write a spec first", path=shown)
    target = folder / OWN_FILE
    write_file(target, project_text(folder, specs))
    say(
        terminal.shown(
            f"{target} is written, for {count(len(specs), 'spec')}; 'twohand review' asks them"
        ),
        terminal,
    )
    return ExitCode.ALL_PROVED
