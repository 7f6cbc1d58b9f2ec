"""What the command line answers to the shell."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from enum import IntEnum

from checker.evidence.fault_standing import traced_standing
from checker.evidence.fault_table import FaultTable, Standing
from checker.evidence.verdict import Outcome, Report
from checker.temporal.faults import Kept

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


def fault_code(table: FaultTable) -> ExitCode:
    """What a fault table answers: that a requirement that may not be lost is, with or without a
    fault; where category 4 is asked, that a second fault beside an unnoticed one costs it. What
    speaks of nothing without a fault may speak of one."""
    pairs = table.pairs if table.kept is Kept.KEPT_AND_NOTICED else ()
    standings = {cell.standing for row in (*table.rows, *pairs) for cell in row.cells}
    findings = {found.outcome for row in (*table.rows, *pairs) for found in row.findings}
    told = tuple(v for v in table.sound.verdicts if v.outcome is not Outcome.VACUOUS)
    without = report_code(replace(table.sound, verdicts=told)) if told else ExitCode.ALL_PROVED
    if Standing.VIOLATED in standings or Outcome.VIOLATED in findings:
        return ExitCode.VIOLATED
    if without is not ExitCode.ALL_PROVED:
        return without
    left = table.kept is Kept.KEPT_AND_NOTICED and not table.combined
    if left and not all(row.surely_noticed for row in table.rows):
        return ExitCode.UNDECIDED  # nobody has asked for second faults
    if Standing.UNDECIDED in standings or findings:
        return ExitCode.UNDECIDED
    return ExitCode.ALL_PROVED


def traced_code(report: Report, kept: Kept) -> ExitCode:
    """What one question under a fault answers: as the table with that word in it would."""
    standing = traced_standing(report, kept)
    findings = {found.outcome for found in report.findings}
    if standing is Standing.VIOLATED or Outcome.VIOLATED in findings:
        return ExitCode.VIOLATED
    if standing is Standing.UNDECIDED or findings:
        return ExitCode.UNDECIDED
    return ExitCode.ALL_PROVED


def worst(codes: Iterable[ExitCode]) -> ExitCode:
    """The one of most weight; ``UNUSABLE`` where there was nothing to check."""
    return min(codes, key=PRIORITY.index, default=ExitCode.UNUSABLE)
