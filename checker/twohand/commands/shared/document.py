"""``--json``: everything that a command found, as one document in a file or on the output."""

from __future__ import annotations

import json
import os
import platform
import time
from collections.abc import Callable, Iterable, Iterator
from datetime import UTC, datetime
from importlib import metadata
from pathlib import Path
from typing import Any

import click

from twohand import __version__
from twohand.commands.shared.session import Session, say
from twohand.files.writing import replace_file
from twohand.record.document import DocumentKind, EffortLimits, Made, Spent, document
from twohand.record.judged import Judged
from twohand.record.plain import Data, relative_path
from twohand.record.sources import HashedFile
from twohand.report.drawing.terminal import Terminal, can_encode
from twohand.report.exit_code import ExitCode, worst
from twohand.text.diagnostic import Diagnostic, InputError
from twohand.text.resources import is_folder

OUTPUT = "-"
"""The target that means the output, which then has nothing else."""

SOLVERS = {"z3": "z3-solver", "cvc5": "cvc5"}
"""By name: the package that brings it."""

json_option: Callable[[Callable[..., Any]], Callable[..., Any]] = click.option(
    "--json", "target", metavar="FILE", help="Write everything as JSON ('-': on the output, alone)."
)


def has_place(target: str | None, session: Session) -> bool:
    """Whether the document can lie where it is wanted; asked before the work. Complains if not."""
    if target is None or target == OUTPUT:
        return True
    why = hindrance(target)
    if why:
        session.complain([not_written(target, why)])
    return not why


def hindrance(target: str) -> str:
    path = Path(target)
    if not target.strip():
        return "its name is empty"
    if is_folder(path):
        return "this is a folder"
    if not is_folder(path.parent):
        return "there is no such folder"
    return (
        ""
        if os.access(path if os.path.lexists(path) else path.parent, os.W_OK)
        else "it is protected"
    )


def write_answer(
    kind: DocumentKind,
    options: EffortLimits,
    answer: Judged,
    spent: Iterable[Spent],
    target: str,
    session: Session,
) -> ExitCode:
    """The document of an answer, with everything that could not be used or came to no end: an older
    one is not left where it could be taken for the answer. InputError where the file cannot be
    written."""
    code = worst(session.codes)
    made = made_now(tuple(spent), session)
    read = (HashedFile(relative_path(path), sha256) for path, sha256 in session.read)
    sources = tuple(dict.fromkeys(read))
    content = document(kind, options, sources, answer, code, session.problems, made)
    return write_document(content, target, session.terminal)


def write_document(content: Data, target: str, terminal: Terminal) -> ExitCode:
    if target == OUTPUT:
        say(_text(content, terminal.encoding), terminal)
        return ExitCode.ALL_PROVED
    write_file(Path(target), _text(content, "utf-8") + "\n")
    return ExitCode.ALL_PROVED


def write_file(path: Path, text: str) -> None:
    """InputError where that fails."""
    try:
        replace_file(path, text)
    except OSError as error:
        raise InputError(not_written(str(path), error.strerror or str(error))) from None


def write_into_folder(path: Path, text: str) -> None:
    """The same in a folder that is made where it is missing."""
    try:
        path.parent.mkdir(exist_ok=True)
    except OSError as error:
        raise InputError(not_written(str(path), error.strerror or str(error))) from None
    write_file(path, text)


def hindrances_of_folder(target: str) -> Iterator[Diagnostic]:
    """Why this can be no new folder, and is no empty one."""
    path = Path(target)
    if is_folder(path):
        why = "this folder is not empty" if any(path.iterdir()) else ""
    else:
        why = "this is no folder" if path.exists() else hindrance(target)
    if why:
        yield not_written(target, why, "name a new or an empty folder")


def limits_of(session: Session) -> dict[str, Any]:
    """Those of the command line that may decide."""
    limits = session.check_options()
    return {"effort": limits.effort, "seconds": limits.seconds, "total": limits.total}


def made_now(spent: tuple[Spent, ...], session: Session) -> Made:
    installed = {name: _version(package) for name, package in SOLVERS.items()}
    return Made(
        program=f"twohand {__version__}",
        python=platform.python_version(),
        solvers=tuple((name, version) for name, version in installed.items() if version),
        machine=f"{platform.system()} {platform.release()} {platform.machine()}",
        processes=session.check_options().processes,
        written=datetime.now(UTC).isoformat(timespec="seconds"),
        seconds=round(time.monotonic() - session.began, 3),
        spent=spent,
    )


def _version(package: str) -> str:
    try:
        return metadata.version(package)
    except metadata.PackageNotFoundError:
        return ""


def _text(content: Data, encoding: str) -> str:
    """Characters are escaped where the encoding lacks one, so that no name is changed: on a plain
    console, and in paths with bytes that are none of UTF-8."""
    text = json.dumps(content, indent=2, ensure_ascii=False)
    return text if can_encode(text, encoding) else json.dumps(content, indent=2)


def not_written(target: str, why: str, way: str = "name a file that may be written") -> Diagnostic:
    return Diagnostic("not-written", f"this cannot be written: {why}", path=target, help=way)
