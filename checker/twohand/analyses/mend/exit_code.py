"""What a search for mending changes answers to the shell."""

from __future__ import annotations

from twohand.analyses.mend.results import MendSearch
from twohand.report.exit_code import ExitCode


def mend_code(found: MendSearch) -> ExitCode:
    """The block is as it was: finding a change is what was asked, and mends nothing."""
    if found.mendings:
        return ExitCode.ALL_PROVED
    return ExitCode.UNDECIDED if found.still_open else ExitCode.VIOLATED
