"""What a fault table answers to the shell."""

from __future__ import annotations

from dataclasses import replace

from twohand.analyses.check.exit_code import report_code
from twohand.analyses.faults.judgement import traced_standing
from twohand.analyses.faults.table import FaultTable, Standing
from twohand.evidence.verdict import Outcome, Report, Vacuity
from twohand.report.exit_code import ExitCode
from twohand.specification.model.fault import Kept


def fault_code(table: FaultTable) -> ExitCode:
    """What a fault table answers: that a requirement that may not be lost is, with or without a
    fault, whether that stays or ends; where category 4 is asked, that a second fault beside an
    unnoticed one costs it. What speaks of nothing without a fault may speak of one, unless every
    block does it."""
    pairs = table.pairs if table.kept is Kept.KEPT_AND_NOTICED else ()
    rows = [each for row in (*table.rows, *pairs) for each in (row, *row.ending)]
    standings = {cell.standing for row in rows for cell in row.cells}
    findings = {found.outcome for row in rows for found in row.findings}
    counted = tuple(
        v
        for v in table.sound.verdicts
        if v.outcome is not Outcome.VACUOUS or v.vacuity is not Vacuity.NEVER_HAPPENS
    )
    without = report_code(replace(table.sound, verdicts=counted))
    if Standing.VIOLATED in standings or Outcome.VIOLATED in findings:
        return ExitCode.VIOLATED
    if without in (ExitCode.VIOLATED, ExitCode.UNDECIDED):
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
    if standing is Standing.UNDECIDED or findings or report.doubt:
        return ExitCode.UNDECIDED
    return ExitCode.ALL_PROVED
