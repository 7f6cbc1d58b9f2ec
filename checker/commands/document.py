"""``--json``: everything that a command found, as one document in a file or on the output."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from checker.commands.session import Session, say
from checker.report.exit_code import ExitCode
from checker.source.diagnostic import Diagnostic, InputError

OUTPUT = "-"
"""The target that stands for the output, which then has nothing else."""

json_option: Callable[[Callable[..., Any]], Callable[..., Any]] = click.option(
    "--json", "target", metavar="FILE", help="Write everything as JSON ('-': on the output, alone)."
)


def has_folder(target: str | None, session: Session) -> bool:
    """Whether the document can lie where it is wanted; asked before the work. Complains if not."""
    if target in (None, OUTPUT) or Path(str(target)).parent.is_dir():
        return True
    session.complain([_not_written(str(target), "there is no such folder")])
    return False


def write_document(document: object, target: str, session: Session) -> ExitCode:
    """InputError where the file cannot be written."""
    text = json.dumps(document, indent=2, ensure_ascii=False)
    if target == OUTPUT:
        say(text, session.terminal)
        return ExitCode.ALL_PROVED
    try:
        Path(target).write_text(text + "\n", encoding="utf-8")
    except OSError as error:
        raise InputError(_not_written(target, error.strerror or str(error))) from None
    return ExitCode.ALL_PROVED


def _not_written(target: str, why: str) -> Diagnostic:
    return Diagnostic("not-written", f"the document cannot be written: {why}", path=target)
