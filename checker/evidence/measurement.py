"""Figures and their evidence: what ``report`` renders of a measuring."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from checker.evidence.verdict import Certificate, Counterexample, FindingVerdict
from checker.source.diagnostic import Diagnostic
from checker.temporal.figure import TRUE_BOUNDS, Figure
from checker.temporal.requirement import Specification


class Decision(Enum):
    EXACT = "exact"
    """A replayed run reaches the value, and it is proved that nothing goes beyond it."""
    NO_LIMIT = "no limit"
    """A replayed run can be prolonged at will, and the value with it."""
    NEVER = "never"
    """It is proved that what the figure is read from never happens."""
    UNDECIDED = "undecided"
    """Both bounds are kept, so far as they are known."""


@dataclass(frozen=True)
class Stay:
    """Scan ``scan`` of a run (from 0) can be repeated as often as one likes. ``added`` are the
    numbers of repetitions that were executed."""

    scan: int
    added: tuple[int, ...]


@dataclass(frozen=True)
class Measurement:
    """The extreme of one quantity, in units of time or in scans.

    ``reached`` by the replayed ``run``; proved never to go beyond ``bound`` (``certificate``).
    ``stay`` with NO_LIMIT: where the run can be prolonged; without one the run itself counts as
    without limit. ``otherwise`` is the exact value under the other choice of the one reading that
    the run depends on. ``reason`` says what stopped an undecided search; ``seconds`` of wall time.
    """

    decision: Decision
    reached: int | None = None
    bound: int | None = None
    run: Counterexample | None = None
    certificate: Certificate | None = None
    stay: Stay | None = None
    otherwise: int | None = None
    reason: str = ""
    seconds: float = 0.0


@dataclass(frozen=True)
class FigureResult:
    """``time`` in units; ``scans`` where the scan time is a range and both count, else None."""

    figure: Figure
    time: Measurement
    scans: Measurement | None = None

    @property
    def decided(self) -> bool:
        measured = [self.time] if self.scans is None else [self.time, self.scans]
        return all(each.decision is not Decision.UNDECIDED for each in measured)

    def true_bound(self, specification: Specification) -> int | None:
        """Units that the true time is below (for the least time: above), never attained; None
        where none is proved."""
        proved = self.time.bound
        if proved is None or self.time.decision is Decision.NEVER:
            return None
        longest = specification.clocking.longest
        return max(0, proved + TRUE_BOUNDS[self.figure.kind].scans * longest)


@dataclass(frozen=True)
class MeasureReport:
    """Everything that was measured of one spec. The figures hold until one of the ``findings``
    happens. ``warnings`` say why nothing is proved, where that is so."""

    specification: Specification
    figures: tuple[FigureResult, ...]
    findings: tuple[FindingVerdict, ...] = ()
    warnings: tuple[Diagnostic, ...] = ()
    seconds: float = 0.0
