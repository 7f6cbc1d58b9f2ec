"""Which spec files a command line speaks of."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from twohand.commands.shared.session import Session, say
from twohand.files.confinement import is_outside, refusal
from twohand.files.reading import content_hash
from twohand.files.suffixes import SPECIFICATION
from twohand.report.exit_code import ExitCode
from twohand.text.diagnostic import Diagnostic
from twohand.text.resources import is_folder

if TYPE_CHECKING:
    from twohand.record.parts.part import PartChoice

NO_NAME = f"name a {SPECIFICATION} file, or a folder with such files below it"


def find_spec_files(paths: Iterable[str]) -> tuple[list[Path], list[Diagnostic]]:
    """The files named, and every ``*.spec`` below the folders named (sorted), each once; and what
    is wrong with the paths. Files keep the path that the user gave."""
    found: dict[Path, Path] = {}
    problems = []
    for text in paths:
        if not text.strip():
            problems.append(_problem(text, "missing-file", "an empty path names no file", NO_NAME))
            continue
        path = Path(text)
        if is_outside(path):
            problems.append(refusal(text))
            continue
        try:
            files = sorted(_below(path)) if is_folder(path) else [path] * path.exists()
        except OSError as error:
            problems.append(
                _problem(
                    text,
                    "unreadable-path",
                    f"{error.filename or text} cannot be read: {error.strerror}",
                    "see that it exists and may be read",
                )
            )
            continue
        if not files:
            problems.append(_nothing_there(text, path))
        for file in files:
            found.setdefault(file.resolve(), file)
    return list(found.values()), problems


def _below(folder: Path) -> Iterator[Path]:
    """The spec files below a folder, links that lead nowhere and pipes too: what cannot be read is
    refused as it is read, never passed over. OSError where a folder in it cannot be listed."""
    for place, _, names in os.walk(folder, onerror=_refuse):
        yield from (Path(place, name) for name in names if name.endswith(SPECIFICATION))


def _refuse(error: OSError) -> None:
    raise error


def _nothing_there(text: str, path: Path) -> Diagnostic:
    if is_folder(path):
        ending = f"spec files end in {SPECIFICATION}"
        help_text = f"{ending}; a file with another ending is named by its own path"
        return _problem(text, "no-spec-files", "no spec file in this folder or below it", help_text)
    near = _beginning_with(path)
    help_text = f"nearby: {', '.join(near[:3])}" if near else NO_NAME
    return _problem(text, "missing-file", "there is no such file or folder", help_text)


def _beginning_with(path: Path) -> list[str]:
    """The spec files of its folder whose names begin with its own."""
    try:
        names = [file.name for file in path.parent.iterdir() if file.suffix == SPECIFICATION]
    except OSError:
        return []
    return sorted(name for name in names if name.startswith(path.stem))


def _problem(text: str, code: str, message: str, help_text: str = "") -> Diagnostic:
    return Diagnostic(code, message, path=text, help=help_text)


def _part(_: click.Context, __: click.Parameter, value: str | None) -> PartChoice | None:
    if value is None:
        return None
    from twohand.record.parts.part import PartChoice

    found = re.fullmatch(r"([1-9][0-9]{0,3})/([1-9][0-9]{0,3})", value)
    if found is None or int(found[1]) > int(found[2]):
        raise click.BadParameter(f"{value!r} is none of so many, as 2/8 is")
    return PartChoice(int(found[1]), int(found[2]))


part_option: Callable[[Callable[..., Any]], Callable[..., Any]] = click.option(
    "--part",
    callback=_part,
    metavar="K/N",
    help="Answer only the K-th of N parts of the spec files; 'twohand merge' puts them together.",
)


def parted(
    session: Session, files: Sequence[Path], choice: PartChoice | None, page: str | None = None
) -> list[Path]:
    """Those of the spec files that fall to this part; all of them where there is none."""
    if choice is None:
        return list(files)
    if page is not None:
        raise click.UsageError("--page shows a whole answer; with --part there is --json")
    from twohand.record.parts.part import PartOfFiles

    hashes = [content_hash(each) for each in files]
    mine = [files[place] for place in choice.chosen(hashes)]
    session.part = PartOfFiles(choice, tuple(files), tuple(hashes), len(mine))
    if files and not mine:
        session.codes.append(ExitCode.ALL_PROVED)
    return mine


def say_part(session: Session, err: bool) -> None:
    """Which part this was, so that nobody takes it for the whole."""
    if session.part is not None:
        say(session.terminal.wrap(str(session.part), 0, 2), session.terminal, err=err)
