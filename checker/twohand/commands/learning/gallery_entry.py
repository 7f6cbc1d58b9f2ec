"""One entry of the gallery: shown whole, or copied out."""

from __future__ import annotations

from pathlib import Path

from twohand.analyses.check.gallery_text import unexpected
from twohand.commands.learning.new_files import write_new_files
from twohand.commands.shared.gallery_files import said_of
from twohand.commands.shared.session import Session, say
from twohand.files.suffixes import SPECIFICATION
from twohand.report.drawing.terminal import Terminal
from twohand.report.exit_code import ExitCode, worst
from twohand.report.summary import report_lines


def show_entry(session: Session, path: Path, title: str) -> ExitCode:
    """What is said of it, its files, and what comes out."""
    from twohand.exchange.file import structured_text_of  # loads the parser
    from twohand.files.reading import read_source

    terminal = session.terminal
    files = entry_files(session, path)
    sentences, spec = said_of(path.read_text(encoding="utf-8-sig"))
    say([terminal.heading(path.stem), *terminal.wrap(title, 2)], terminal)
    say([line for each in sentences for line in terminal.wrap(each, 2, 4)], terminal)
    for file in files:
        text = spec if file == path else structured_text_of(read_source(file, file.name)).text
        say(["", f"{file.name}:", "", *_indented(text, terminal)], terminal)
    say("", terminal)
    codes = []
    for report in session.check(path, path.name):
        session.reports.append(report)
        session.progress.clear()
        say([*report_lines(report, terminal), ""], terminal)
        codes.append(ExitCode.VIOLATED if unexpected(report) else ExitCode.ALL_PROVED)
    session.cautions()
    session.total()
    return worst(codes)


def _indented(text: str, terminal: Terminal) -> list[str]:
    lines = text.expandtabs(4).strip("\n").split("\n")
    return [f"    {terminal.shown(line)}".rstrip() for line in lines]


def copy_entry(session: Session, path: Path, to: str) -> ExitCode:
    """Its files into a folder of the user's, which is made where it is missing."""
    files = entry_files(session, path)
    write_new_files(to, {each.name: each.read_text(encoding="utf-8") for each in files})
    spec = Path(to, path.name)
    text = f"{', '.join(each.name for each in files)}: copied; type: twohand check {spec}"
    say(session.terminal.wrap(text, 0, 2), session.terminal)
    return ExitCode.ALL_PROVED


def entry_files(session: Session, path: Path) -> list[Path]:
    """The files that an entry is made of, its spec last."""
    before = len(session.read)
    session.specifications(path, path.name)
    session.progress.clear()
    names = {Path(shown).name for shown, _ in session.read[before:]}
    found = sorted(path.parent / name for name in names)
    return sorted(found, key=lambda each: each.suffix == SPECIFICATION)
