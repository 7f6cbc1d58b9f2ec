"""What the command line answers to the shell."""

from __future__ import annotations

from collections.abc import Iterable
from enum import IntEnum

from twohand.evidence.verdict import Outcome, Report

OUTPUT_UNDECIDED = "output-undecided"
"""The warning that it is open whether an output can be on: one that cannot is no pass."""


class ExitCode(IntEnum):
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


def report_code(report: Report) -> ExitCode:
    """What one report answers; an expected violation is one all the same."""
    outcomes = {verdict.outcome for verdict in report.verdicts}
    outcomes |= {found.outcome for found in report.findings}
    if report.never_on or outcomes & {Outcome.VIOLATED, Outcome.VACUOUS}:
        return ExitCode.VIOLATED
    if Outcome.UNDECIDED in outcomes or _unsettled(report):
        return ExitCode.UNDECIDED
    return ExitCode.ALL_PROVED if report.verdicts else ExitCode.UNUSABLE


def _unsettled(report: Report) -> bool:
    """Whether it is open that the verdicts say anything: the assumptions may contradict each other,
    an output may never be on, or what a proved requirement speaks of may never happen."""
    return bool(
        report.doubt
        or any(each.code == OUTPUT_UNDECIDED for each in report.warnings)
        or any(v.outcome is Outcome.PROVED and v.reason for v in report.verdicts)
    )


def worst(codes: Iterable[ExitCode]) -> ExitCode:
    """The one of most weight; ``UNUSABLE`` where there was nothing to check."""
    return min(codes, key=PRIORITY.index, default=ExitCode.UNUSABLE)
