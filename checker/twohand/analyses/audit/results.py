"""What an audit found: of each change, what every requirement says of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from enum import Enum
from fractions import Fraction

from twohand.analyses.audit.changes.change import BlockChange
from twohand.analyses.audit.changes.subject import ChangeableSpec
from twohand.analyses.audit.comparison import KEEPS_OFF, LETS_ON, SAME, BesideBlock
from twohand.evidence.verdict import Counterexample, Outcome, Report
from twohand.specification.model.specification import Aim, Requirement


class Noticing(Enum):
    """What became of a change; the values are the words of tables and documents."""

    NOTICED = "noticed"
    UNNOTICED = "not noticed"
    """No requirement notices it, and a run shows that it is not the same."""
    UNSURE = "not noticed, if not the same"
    """No requirement notices it; whether it is the same was not decided."""
    OPEN = "undecided"
    """No requirement notices it as far as is decided."""
    FINDING = "finding"
    """No requirement notices it, and one of the two has a finding where the other has none."""
    SAME = "the same"


class HowDifferent(Enum):
    """How a change differs that is not noticed, the worst first."""

    LETS_ON = "an output can be on that is off in the block"
    KEEPS_OFF = "an output can be off that is on in the block"
    OTHER = "only what the spec names as no output can differ"


ASKED = {HowDifferent.LETS_ON: LETS_ON, HowDifferent.KEEPS_OFF: KEEPS_OFF, HowDifferent.OTHER: SAME}
"""By what is asked of the two side by side."""


@dataclass(frozen=True)
class Difference:
    """A replayed ``run`` of the block and the changed block side by side, whose last scan is the
    first that shows a difference of this severity; ``names`` are what differs in it."""

    beside: BesideBlock = field(repr=False)
    severity: HowDifferent
    run: Counterexample = field(repr=False)
    names: tuple[str, ...]


@dataclass(frozen=True)
class AuditCell:
    """What a requirement says of a changed block. ``notices``: it is violated there, or was proved
    of the block and says nothing any more."""

    requirement: Requirement = field(repr=False)
    outcome: Outcome
    notices: bool


@dataclass(frozen=True)
class AuditRow:
    """``cells`` are those of the requirements that can notice something. ``reason`` says why
    something is open, '' where nothing is."""

    change: BlockChange
    cells: tuple[AuditCell, ...]
    standing: Noticing
    difference: Difference | None = None
    reason: str = ""

    @property
    def noticed_by(self) -> tuple[Requirement, ...]:
        return tuple(cell.requirement for cell in self.cells if cell.notices)


@dataclass(frozen=True, eq=False)
class Audit:
    """``block`` is the report of the block as it is. ``rows`` are of the changes that were tried,
    in their order; ``refused`` ones give no program that the spec can be asked of, ``left`` ones
    were not tried because fewer were asked for."""

    subject: ChangeableSpec = field(repr=False)
    block: Report
    rows: tuple[AuditRow, ...]
    refused: int
    left: int
    seconds: float = 0.0

    def of(self, *standings: Noticing) -> list[AuditRow]:
        return [row for row in self.rows if row.standing in standings]

    @property
    def counted(self) -> list[AuditRow]:
        """The changes that the spec might notice."""
        return self.of(Noticing.NOTICED, Noticing.UNNOTICED, Noticing.UNSURE, Noticing.OPEN)

    @property
    def share(self) -> tuple[Fraction, Fraction] | None:
        """The share of them that is noticed, at least and at most; None where there are none."""
        total = len(self.counted)
        if not total:
            return None
        noticed = len(self.of(Noticing.NOTICED))
        return Fraction(noticed, total), Fraction(noticed + len(self.of(Noticing.OPEN)), total)

    @property
    def unnoticed(self) -> list[AuditRow]:
        """The worst first, then by their order."""
        order = list(HowDifferent)
        rows = self.of(Noticing.UNNOTICED)
        return sorted(
            rows, key=lambda row: order.index(row.difference.severity) if row.difference else 0
        )

    @property
    def asked(self) -> tuple[Requirement, ...]:
        """The requirements that can notice something."""
        return tuple(able(self.block))

    @property
    def unable(self) -> tuple[Requirement, ...]:
        """Those that are violated or undecided of the block itself."""
        asked = set(self.asked)
        found = (verdict.requirement for verdict in self.block.verdicts)
        return tuple(requirement for requirement in found if requirement not in asked)

    @property
    def needless(self) -> tuple[Requirement, ...]:
        """Those that notice nothing that another one does not."""
        alone = {
            row.noticed_by[0]
            for row in self.rows
            if row.standing is Noticing.NOTICED and len(row.noticed_by) == 1
        }
        return tuple(requirement for requirement in self.asked if requirement not in alone)


def able(block: Report) -> Iterator[Requirement]:
    """The requirements that can notice a change of the block: what is violated or undecided
    already cannot, nor can what is never reached."""
    for verdict in block.verdicts:
        vacuous = verdict.outcome is Outcome.VACUOUS and verdict.requirement.aim is Aim.HOLDS
        if verdict.outcome is Outcome.PROVED or vacuous:
            yield verdict.requirement
