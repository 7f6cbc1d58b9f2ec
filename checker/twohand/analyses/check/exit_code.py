"""What the report of a check answers to the shell."""

from __future__ import annotations

from dataclasses import replace

from twohand.evidence.verdict import Outcome, Report
from twohand.report.exit_code import ExitCode

OUTPUT_UNDECIDED = "output-undecided"
"""The warning that it is open whether an output can be on: one that cannot is no pass."""

HANDS_UNDECIDED = "hands-undecided"
"""The warning that it is open whether two hands can differ: two that cannot are one hand."""


def report_code(report: Report) -> ExitCode:
    """What one report answers; an expected violation is one all the same, and so is a
    tolerance that leaves little of what is asked, unless the spec accepts it. A finding that can
    happen counts where nothing is asked as well: a fault table asks nothing that is vacuous."""
    outcomes = {verdict.outcome for verdict in report.verdicts}
    outcomes |= {found.outcome for found in report.findings}
    if report.never_on or outcomes & {Outcome.VIOLATED, Outcome.VACUOUS}:
        return ExitCode.VIOLATED
    if report.specification.wide:
        return ExitCode.VIOLATED
    if Outcome.UNDECIDED in outcomes or _unsettled(report):
        return ExitCode.UNDECIDED
    return ExitCode.ALL_PROVED if report.verdicts else ExitCode.UNUSABLE


def expected_code(report: Report) -> ExitCode:
    """The same where every requirement is held against what EXPECT names. Nothing may be open, and
    what EXPECT cannot name (findings, outputs that are never on, tolerances) counts as always."""
    verdicts = report.verdicts
    if any(not each.as_expected and each.outcome is not Outcome.UNDECIDED for each in verdicts):
        return ExitCode.VIOLATED
    meant = (Outcome.VIOLATED, Outcome.VACUOUS)
    left = tuple(each for each in verdicts if each.outcome not in meant)
    code = report_code(replace(report, verdicts=left))
    nothing_left = code is ExitCode.UNUSABLE and bool(verdicts)
    return ExitCode.ALL_PROVED if nothing_left else code


def _unsettled(report: Report) -> bool:
    """Whether it is open that the verdicts say anything: the assumptions may contradict each other,
    two hands may be one, an output may never be on, or what a proved requirement speaks of may
    never happen."""
    return bool(
        report.doubt
        or any(each.code in (OUTPUT_UNDECIDED, HANDS_UNDECIDED) for each in report.warnings)
        or any(v.outcome is Outcome.PROVED and v.reason for v in report.verdicts)
    )
