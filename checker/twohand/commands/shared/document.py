"""``--json``: everything that a command found, as one document in a file or on the output."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from twohand.commands.shared.session import Session, say
from twohand.files.writing import replace_file
from twohand.report.document import Data, problem
from twohand.report.drawing.terminal import can_encode
from twohand.report.exit_code import ExitCode
from twohand.text.diagnostic import Diagnostic, InputError
from twohand.text.resources import is_folder

OUTPUT = "-"
"""The target that means the output, which then has nothing else."""

json_option: Callable[[Callable[..., Any]], Callable[..., Any]] = click.option(
    "--json", "target", metavar="FILE", help="Write everything as JSON ('-': on the output, alone)."
)


def has_place(target: str | None, session: Session) -> bool:
    """Whether the document can lie where it is wanted; asked before the work. Complains if not."""
    if target is None or target == OUTPUT:
        return True
    why = _hindrance(target)
    if why:
        session.complain([_not_written(target, why)])
    return not why


def _hindrance(target: str) -> str:
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


def write_document(document: Data, target: str, session: Session) -> ExitCode:
    """The document, with everything that could not be used or came to no end: an older one is not
    left where it could be taken for the answer. InputError where the file cannot be written."""
    document = document | {"problems": [problem(each) for each in session.problems]}
    if target == OUTPUT:
        say(_text(document, session.terminal.encoding), session.terminal)
        return ExitCode.ALL_PROVED
    try:
        replace_file(Path(target), _text(document, "utf-8") + "\n")
    except OSError as error:
        raise InputError(_not_written(target, error.strerror or str(error))) from None
    return ExitCode.ALL_PROVED


def _text(document: Data, encoding: str) -> str:
    """Characters are escaped where the encoding lacks one, so that no name is changed: on a plain
    console, and in paths with bytes that are none of UTF-8."""
    text = json.dumps(document, indent=2, ensure_ascii=False)
    return text if can_encode(text, encoding) else json.dumps(document, indent=2)


def _not_written(target: str, why: str) -> Diagnostic:
    message = f"the document cannot be written: {why}"
    return Diagnostic("not-written", message, path=target, help="name a file that may be written")
