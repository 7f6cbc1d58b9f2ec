"""A library of source files and the block in it to check: the typed program."""

from __future__ import annotations

from collections.abc import Sequence

from checker.source.program import Program
from checker.source.text import SourceText


def load_program(
    sources: Sequence[SourceText], block: str | None = None, prefix: str = ""
) -> Program:
    """The typed program of ``block`` (any letter case; None: the only block that no other one
    instantiates). ``prefix`` is put before every variable and instance name (``rod.``).
    InputError with everything wrong in the files and the block."""
    raise NotImplementedError
