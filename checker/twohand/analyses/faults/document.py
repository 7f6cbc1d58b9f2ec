"""A fault analysis as data, for other programs: one object for each spec.

``standing`` and the words of ``off_after`` and ``noticed`` are those of the terminal's table,
written out.
"""

from __future__ import annotations

from collections.abc import Sequence

from twohand.analyses.faults.table import Cell, FaultRow, FaultTable
from twohand.analyses.faults.words import SOURCES, answer, asked_sentence
from twohand.evidence.verdict import Verdict
from twohand.report.cautions import caution_texts
from twohand.report.document import Data, finding, headed, tolerances
from twohand.specification.logic.property_text import property_text
from twohand.specification.model.specification import Aim


def fault_data(tables: Sequence[FaultTable]) -> Data:
    """The whole document."""
    cautions = caution_texts([table.sound.specification for table in tables])
    specs = [_table(table) for table in tables]
    return headed("fault-table", {"specs": specs, "cautions": cautions})


def _table(table: FaultTable) -> Data:
    specification = table.sound.specification
    analysis = table.analysis
    outcomes = {v.requirement.identifier: v.outcome.value for v in table.sound.verdicts}
    requirements = (r for r in specification.requirements if r.aim is Aim.HOLDS)
    return {
        "spec": specification.name,
        "file": specification.source.path,
        "block": specification.program.name,
        "type": analysis.logic_type.value if analysis.logic_type else None,
        "arrangement": specification.arrangement.value if specification.arrangement else None,
        "asked_under_faults": asked_sentence(table),
        "source": SOURCES,
        "requirements": [
            {
                "identifier": requirement.identifier,
                "sentence": requirement.sentence,
                "authority": requirement.authority,
                "leaves_out": requirement.leaves_out,
                "formula": property_text(requirement.property, specification.clocking),
                "without_fault": outcomes[requirement.identifier],
            }
            for requirement in requirements
        ],
        **tolerances(specification),
        "never_on": list(table.sound.never_on),
        "findings": [finding(found) for found in table.sound.findings],
        "faults": [_row(row) for row in table.rows],
        "pairs": [_row(pair) for pair in table.pairs] if table.combined else None,
        "excluded": [fault.identifier for fault in analysis.excluded],
        "no_fault_at": [variable.name for variable in analysis.lines.apart],
        "seconds": round(table.seconds, 3),
    }


def _row(row: FaultRow) -> Data:
    return {
        "identifier": row.identifier,
        "title": row.title,
        "faults": [
            {
                "kind": fault.kind.name.lower(),
                "at": list(fault.names),
                "course": fault.course.name.lower(),
            }
            for fault in row.faults
        ],
        "requirements": {cell.requirement.identifier: _cell(cell, row) for cell in row.cells},
        "shows": _word(row.shows),
        "off_after": _word(row.stays_off),
        "noticed": _word(row.noticed),
        "findings": [finding(found) for found in row.findings],
        "ending": [_row(each) for each in row.ending],
    }


def _cell(cell: Cell, row: FaultRow) -> Data:
    """A standing; where something is lost, what was seen and in how many scans, and the first
    requirement that is lost by the same run."""
    found: Data = {"standing": cell.standing.value}
    verdict = cell.verdict
    if verdict is None:
        return found
    if verdict.reason:
        found["reason"] = verdict.reason
    if verdict.seen:
        found["seen"] = verdict.seen
    if verdict.counterexample is not None:
        found["scans"] = verdict.counterexample.scans
        found["same_run_as"] = row.same_runs.get(cell.requirement.identifier)
    return found


def _word(verdict: Verdict | None) -> str | None:
    """yes, no or undecided; None where it was not asked."""
    return answer(verdict)[0] or None
