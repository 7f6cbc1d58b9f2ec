"""What an audit answers to the shell."""

from __future__ import annotations

from twohand.analyses.audit.results import Audit, Noticing
from twohand.report.exit_code import ExitCode


def audit_code(found: Audit) -> ExitCode:
    """A change that is not noticed weighs most, then what is open. Without a change that could be
    noticed nothing is said. A finding that only a change has is told by every check, and so is no
    lack of the spec."""
    if found.of(Noticing.UNNOTICED):
        return ExitCode.VIOLATED
    if found.of(Noticing.UNSURE, Noticing.OPEN):
        return ExitCode.UNDECIDED
    return ExitCode.ALL_PROVED if found.counted else ExitCode.UNUSABLE
