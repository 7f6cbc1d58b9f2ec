"""The table requirement x fault: what ``report`` renders of a fault analysis."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from functools import cached_property
from typing import TYPE_CHECKING

from twohand.evidence.runs.same_runs import firsts_of_violations
from twohand.evidence.verdict import FindingVerdict, Outcome, Report, Verdict
from twohand.scan.finding import same
from twohand.specification.model.fault import Fault, Kept
from twohand.specification.model.specification import Requirement, Specification

if TYPE_CHECKING:
    from twohand.analyses.faults.cases import FaultAnalysis


class Standing(Enum):
    """What became of a requirement under a fault; the values are the words of the table."""

    PROVED = "proved"
    VIOLATED = "violated"
    UNDECIDED = "undecided"
    LOST_ALLOWED = "lost, allowed for this type"
    NOT_AVAILABLE = "not available"
    """Lost is only that the output goes on."""
    WITHOUT_FAULT = "violated without a fault"


@dataclass(frozen=True)
class Cell:
    """``verdict`` is None where the one without a fault decides. ``asks_for_output`` says that
    losing the requirement only means that the output does not go on."""

    requirement: Requirement
    standing: Standing
    verdict: Verdict | None = None
    asks_for_output: bool = False


@dataclass(frozen=True)
class FaultRow:
    """One fault, or two at once, and everything that was asked under it.

    ``specification`` has the fault in it. ``shows`` is PROVED where a run was found in which an
    input reads otherwise than it would, VACUOUS where there is none. ``stays_off`` and ``noticed``
    are None where the spec names no output, ``noticed`` for two faults as well.

    ``ending`` has a row each for the same single fault where it is there for a time, and again and
    again: a requirement that only asks for the output has no cell there, and what a fault violates
    that stays (or ends once) has no run of its own.
    """

    faults: tuple[Fault, ...]
    specification: Specification
    cells: tuple[Cell, ...]
    shows: Verdict | None = None
    stays_off: Verdict | None = None
    noticed: Verdict | None = None
    findings: tuple[FindingVerdict, ...] = ()
    ending: tuple[FaultRow, ...] = ()

    @property
    def identifier(self) -> str:
        return " + ".join(fault.identifier for fault in self.faults)

    @property
    def title(self) -> str:
        return " and ".join(fault.title for fault in self.faults)

    @cached_property
    def same_runs(self) -> dict[str, str]:
        """For each requirement lost by the very run by which another was lost: the first one."""
        return firsts_of_violations(cell.verdict for cell in self.cells if cell.verdict)

    @property
    def keeps(self) -> bool:
        """Whether everything is proved but what only asks for the output."""
        proved = (c.asks_for_output or c.standing is Standing.PROVED for c in self.cells)
        return not self.findings and all(proved)

    def other_cells(self, row: FaultRow) -> dict[str, Cell]:
        """The cells that say something else than those of ``row`` of the same requirement."""
        there = {cell.requirement.identifier: cell.standing for cell in row.cells}
        cells = ((cell.requirement.identifier, cell) for cell in self.cells)
        return {name: cell for name, cell in cells if cell.standing is not there[name]}

    def other_findings(self, row: FaultRow) -> list[FindingVerdict]:
        """What can happen that cannot with ``row``."""
        there = [(each.finding, each.outcome) for each in row.findings]
        return [
            each
            for each in self.findings
            if not any(same(each.finding, one) and each.outcome is what for one, what in there)
        ]

    @cached_property
    def differing(self) -> tuple[tuple[FaultRow, FaultRow], ...]:
        """What a fault that ends does otherwise to a requirement, or by a finding: each such row,
        behind the narrower one from which it differs."""
        pairs = zip((self, *self.ending), self.ending, strict=False)
        return tuple(
            (before, row)
            for before, row in pairs
            if row.other_cells(before) or row.other_findings(before)
        )

    @property
    def surely_noticed(self) -> bool:
        return self.noticed is not None and self.noticed.outcome is Outcome.PROVED


@dataclass(frozen=True)
class FaultTable:
    """``sound`` is the report without any fault. ``pairs`` are faults that are not surely noticed,
    each with a second one; ``combined`` says whether there was a reason to ask for them."""

    analysis: FaultAnalysis
    sound: Report
    rows: tuple[FaultRow, ...]
    pairs: tuple[FaultRow, ...] = ()
    combined: bool = False
    seconds: float = 0.0

    @property
    def kept(self) -> Kept:
        return self.analysis.kept

    @property
    def requirements(self) -> tuple[Requirement, ...]:
        """The columns."""
        return tuple(cell.requirement for cell in self.rows[0].cells)
