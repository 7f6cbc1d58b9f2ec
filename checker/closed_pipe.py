"""Output whose reader has closed it (``| head``): no verdict, and no error of anybody's."""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager


class ReaderLeft(Exception):  # noqa: N818 - no error of anybody's
    """Nothing is left to say, since nobody reads it."""


@contextmanager
def written() -> Iterator[None]:
    """Around everything that writes: a reader that left is told from a pipe to another process
    that breaks. Windows reports a closed pipe as an invalid argument."""
    try:
        yield
    except OSError as error:
        closed = isinstance(error, BrokenPipeError)
        if closed or (sys.platform == "win32" and error.errno == errno.EINVAL):
            raise ReaderLeft from error
        raise


def discard_output() -> None:
    """Let what is still buffered go nowhere, so that the end of Python does not complain of it."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    for stream in (sys.stdout, sys.stderr):
        os.dup2(nowhere, stream.fileno())
