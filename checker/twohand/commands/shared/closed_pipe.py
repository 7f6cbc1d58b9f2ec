"""Output that cannot be shown: its reader has closed it (``| head``), which is no verdict and no
error of anybody's; whoever started the program has closed it; or it goes to a disk that is full."""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


class ReaderLeft(Exception):  # noqa: N818 - no error of anybody's
    """Nothing is left to say, since nobody reads it."""


class OutputLost(Exception):  # noqa: N818 - no error of ours
    """The system does not take the output; the text says why."""


LOST = {errno.ENOSPC, errno.EIO, errno.EFBIG, errno.EBADF, getattr(errno, "EDQUOT", errno.ENOSPC)}


@contextmanager
def written() -> Iterator[None]:
    """Around everything that writes: a reader that left is not taken for a pipe to another process
    that breaks. Windows reports a closed pipe as an invalid argument."""
    try:
        yield
    except OSError as error:
        closed = isinstance(error, BrokenPipeError)
        if closed or (sys.platform == "win32" and error.errno == errno.EINVAL):
            raise ReaderLeft from error
        if error.errno in LOST:
            raise OutputLost(error.strerror) from error
        raise


def open_closed_streams() -> None:
    """A stream that was closed before the start (``>&-``) leads nowhere. Its number is taken
    first: a file that is opened later would get it, and what is written to the stream."""
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        if getattr(sys, name) is None:
            setattr(sys, name, Path(os.devnull).open(mode, encoding="utf-8"))  # noqa: SIM115


def is_flushed() -> bool:
    """Whether nothing is left that Python would write, and complain of, at its end."""
    try:
        sys.stdout.flush()
        sys.stderr.flush()
    except OSError:
        return False
    return True


def discard_output() -> None:
    """Let what is still buffered go nowhere, so that the end of Python does not complain of it."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    for stream in (sys.stdout, sys.stderr):
        os.dup2(nowhere, stream.fileno())
