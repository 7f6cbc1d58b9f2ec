"""What a search for mending changes found."""

from __future__ import annotations

from dataclasses import dataclass, field

from twohand.analyses.audit.changes.change import BlockChange
from twohand.analyses.audit.changes.subject import ChangeableSpec
from twohand.analyses.audit.results import Difference
from twohand.evidence.verdict import Outcome, Report, Verdict


@dataclass(frozen=True)
class Mending:
    """Changes after which every requirement is proved and says something, with the ``report`` of
    the changed block. For as long as a run of the block has broken no requirement, it is proved to
    show the same; or, with ``off_where_on``, only that no output of the spec is on that is off in
    the block: the replayed run ends where something else shows."""

    changes: tuple[BlockChange, ...]
    report: Report = field(repr=False)
    off_where_on: Difference | None = field(default=None, repr=False)


@dataclass(frozen=True, eq=False)
class MendSearch:
    """``block`` is the report of the block as it is. ``mendings`` are all single changes that mend
    it (those that show the same first), or else the first pair. ``singles`` and ``pairs`` count the
    changes, and pairs of them, that were looked at; of ``left`` more pairs none was. ``still_open``
    may mend it: that was not decided."""

    subject: ChangeableSpec = field(repr=False)
    block: Report
    mendings: tuple[Mending, ...]
    singles: int
    pairs: int
    left: int
    still_open: tuple[tuple[BlockChange, ...], ...] = ()
    seconds: float = 0.0

    @property
    def violated(self) -> tuple[Verdict, ...]:
        return tuple(v for v in self.block.verdicts if v.outcome is Outcome.VIOLATED)
