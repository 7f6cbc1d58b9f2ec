"""Reading below one folder only: what somebody whom one does not trust has written may name files
of the reader's own, and a report quotes what it reads."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from pathlib import Path
from typing import BinaryIO

from twohand.text.diagnostic import Diagnostic

_folder: ContextVar[str | None] = ContextVar("folder", default=None)


@contextmanager
def confined_to(folder: Path | None) -> Iterator[None]:
    """Within, nothing outside of ``folder`` is read (None: everything may be)."""
    before = _folder.set(None if folder is None else os.path.realpath(folder))
    try:
        yield
    finally:
        _folder.reset(before)


def is_outside(path: Path) -> bool:
    """Whether reading is confined and this lies elsewhere, there or not; links, also those of the
    folders on the way, count as what they lead to."""
    folder = _folder.get()
    if folder is None:
        return False
    try:
        real = os.path.realpath(path)
        common = os.path.commonpath([os.path.normcase(folder), os.path.normcase(real)])
    except ValueError:  # a name that is none, or another drive
        return True
    return common != os.path.normcase(folder)


def refusal(shown: str) -> Diagnostic:
    """Why a path that is outside is not read; whether anything is there is not said."""
    message = "this lies outside of the folder to which reading is confined (--confined)"
    way = "copy what is needed into that folder, or name a larger one"
    return Diagnostic("outside-folder", message, path=shown, help=way)


def opened(path: Path) -> BinaryIO:
    """A file for reading. Where reading is confined, it is the file that was looked at: a link that
    was put in its place meanwhile is not followed. OSError where it cannot be opened."""
    if _folder.get() is None:
        return path.open("rb")
    flags = os.O_RDONLY | getattr(os, "O_BINARY", 0)
    flags |= getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
    return os.fdopen(os.open(os.path.realpath(path), flags), "rb")
