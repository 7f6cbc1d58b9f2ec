"""``--json`` and ``--page``: everything that a command found, as a document and as a page."""

from __future__ import annotations

import json
import os
import platform
import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import wraps
from pathlib import Path
from typing import Any

import click

from twohand import __version__
from twohand.commands.shared.session import Session, say
from twohand.files.writing import replace_file
from twohand.record.document import (
    DocumentKind,
    Made,
    Spent,
    WholeAnswer,
    document,
)
from twohand.record.judged import Judged
from twohand.record.message import messages_of
from twohand.record.plain import Data, relative_path
from twohand.record.sources import HashedFile
from twohand.report.drawing.terminal import Terminal, can_encode
from twohand.report.exit_code import ExitCode, worst
from twohand.text.diagnostic import Diagnostic, InputError
from twohand.text.resources import is_folder

OUTPUT = "-"
"""The target that means the output, which then has nothing else."""
ONLY_DOCUMENT = "only the JSON document goes there"

SOLVERS = {"z3": "z3-solver", "cvc5": "cvc5"}
"""By name: the package that brings it."""


@dataclass(frozen=True)
class Targets:
    """Where the document and the page are wanted, if they are."""

    json: str | None
    page: str | None

    @property
    def quiet(self) -> bool:
        """Whether the output has nothing but the document."""
        return self.json == OUTPUT

    @property
    def wanted(self) -> str:
        """The first of them, '' for none."""
        return self.json or self.page or ""

    def files(self) -> list[str]:
        given = [each for each in (self.json, self.page) if each is not None]
        return given[1:] if self.quiet else given


def document_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """The command gets them as ``targets``."""

    @click.option(
        "--json", metavar="FILE", help="Write everything as JSON ('-': on the output, alone)."
    )
    @click.option(
        "--page",
        metavar="FILE",
        help="Write everything as one page (HTML) to read, print and sign.",
    )
    @wraps(command)
    def with_targets(*arguments: Any, json: str | None, page: str | None, **options: Any) -> Any:
        return command(*arguments, targets=Targets(json, page), **options)

    return with_targets


def have_place(targets: Targets, session: Session, others: Iterable[str] = ()) -> bool:
    """Whether document and page can lie where they are wanted, beside ``others``; asked before the
    work. Complains if not."""
    problems = [not_written(each, why) for each in targets.files() if (why := hindrance(each))]
    if targets.page == OUTPUT:
        problems = [not_written(OUTPUT, ONLY_DOCUMENT)]
    problems += lying_together([*targets.files(), *others])
    if problems:
        session.complain(problems)
    return not problems


def lying_together(wanted: Iterable[str]) -> list[Diagnostic]:
    """What is asked for at a place where something else is asked for as well."""
    places: dict[Path, list[str]] = {}
    for each in wanted:
        places.setdefault(Path(each).absolute(), []).append(each)
    return [
        not_written(same[0], "two of what is asked for would lie there")
        for same in places.values()
        if len(same) > 1
    ]


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
    options: object,
    answer: Judged,
    spent: Iterable[Spent],
    targets: Targets,
    session: Session,
) -> ExitCode:
    """The document and the page of an answer, with everything that could not be used or came to no
    end: an older one is not left where it could be taken for the answer. What cannot be written is
    noted, and the other is."""
    read = [HashedFile(relative_path(path), sha256) for path, sha256 in session.read]
    whole = WholeAnswer(
        kind,
        options,
        tuple(dict.fromkeys(read)),
        answer,
        worst(session.codes),
        messages_of(session.problems),
        made_now(tuple(spent), session),
    )
    if targets.json is not None:
        target = targets.json
        content = document(whole) if session.part is None else _document_of_part(whole, session)
        session.guard(lambda: write_document(content, target, session.terminal), target)
    if targets.page is not None:
        session.guard(lambda: _write_page(whole, targets.page or ""), targets.page)
    return ExitCode.ALL_PROVED


def _document_of_part(whole: WholeAnswer, session: Session) -> Data:
    from twohand.record.parts.part import SegmentMark, part_document, part_of
    from twohand.report.cautions import said_of

    part = session.part
    assert part is not None
    pairs = zip(part.files, part.hashes, strict=True)
    session.mark("")
    found = part_of(
        part.choice,
        [HashedFile(str(path), sha256) for path, sha256 in pairs],
        [SegmentMark(*each) for each in session.marks],
        [HashedFile(relative_path(path), sha256) for path, sha256 in session.read],
        session.problems,
        [said_of(report.specification) for report in session.reports],
    )
    return part_document(whole, found)


def _write_page(whole: WholeAnswer, target: str) -> ExitCode:
    from twohand.formats.page.page import page_text  # loads the templates

    write_file(Path(target), page_text(whole))
    return ExitCode.ALL_PROVED


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
    from importlib import metadata  # takes long, and only a document needs it

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
