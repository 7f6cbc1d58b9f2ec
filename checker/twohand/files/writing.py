"""Writing files whole or not at all."""

from __future__ import annotations

import os
import secrets
import shutil
from contextlib import suppress
from pathlib import Path


def replace_file(path: Path, text: str) -> None:
    """Write ``text`` (UTF-8) beside ``path`` and rename it: a full disk costs no older file.

    A link is followed, rights are kept. A device, or a file in a folder that takes no new one, is
    written as it is. OSError where that fails.
    """
    target = Path(os.path.realpath(path))
    if (target.exists() and not target.is_file()) or not os.access(target.parent, os.W_OK):
        target.write_text(text, encoding="utf-8")
        return
    beside = target.with_name(f".{target.name[:40]}.{secrets.token_hex(6)}")
    try:
        with beside.open("x", encoding="utf-8") as stream:
            stream.write(text)
            stream.flush()
            os.fsync(stream.fileno())
        if target.exists():
            shutil.copymode(target, beside)
        beside.replace(target)
    except BaseException:
        with suppress(OSError):
            beside.unlink(missing_ok=True)
        raise


def write_new_file(path: Path, text: str) -> None:
    """Write ``text`` (UTF-8) into a file that is not there yet; FileExistsError where it is, and
    OSError where it cannot be written, which leaves none."""
    stream = path.open("x", encoding="utf-8")
    try:
        with stream:
            stream.write(text)
    except BaseException:
        with suppress(OSError):
            path.unlink(missing_ok=True)
        raise
