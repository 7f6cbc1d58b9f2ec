"""What the command line answers to the shell."""

from __future__ import annotations

from collections.abc import Iterable
from enum import IntEnum


class ExitCode(IntEnum):
    """How a command ends; only ALL_PROVED is a pass."""

    ALL_PROVED = 0
    VIOLATED = 1
    UNUSABLE = 2
    UNDECIDED = 3
    INTERNAL = 4
    INTERRUPTED = 130
    UNREAD = 141
    """The reader of the output left before its end (``| head``): what a shell answers for a
    program that a closed pipe ended (128 + SIGPIPE). It is no verdict."""


PRIORITY = (
    ExitCode.INTERRUPTED,
    ExitCode.INTERNAL,
    ExitCode.UNUSABLE,
    ExitCode.VIOLATED,
    ExitCode.UNDECIDED,
    ExitCode.ALL_PROVED,
)


def worst(codes: Iterable[ExitCode]) -> ExitCode:
    """The one of most weight; ``UNUSABLE`` where there was nothing to check."""
    return min(codes, key=PRIORITY.index, default=ExitCode.UNUSABLE)
