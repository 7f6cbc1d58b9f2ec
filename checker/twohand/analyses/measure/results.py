"""Figures and their evidence: what ``report`` renders of a measuring."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Generic, TypeVar

from twohand.analyses.measure.figures import TRUE_BOUNDS, Figure
from twohand.evidence.verdict import Certificate, Counterexample, FindingVerdict
from twohand.program.durations import Scans, Units
from twohand.specification.model.specification import Specification
from twohand.text.diagnostic import Diagnostic

Amount = TypeVar("Amount", Units, Scans)


class Decision(Enum):
    """What was found out about a figure."""

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
    added: tuple[Scans, ...]


@dataclass(frozen=True)
class Measurement(Generic[Amount]):
    """The extreme of one quantity, of time or of scans.

    ``reached`` by the replayed ``run``; proved never to go beyond ``bound`` (``certificate``).
    ``stay`` with NO_LIMIT: where the run can be prolonged; without one the run itself counts as
    without limit. ``otherwise`` is the exact value under the other choice of the one reading that
    the run depends on. ``reason`` says what stopped an undecided search; ``seconds`` of wall time.
    """

    decision: Decision
    reached: Amount | None = None
    bound: Amount | None = None
    run: Counterexample | None = None
    certificate: Certificate | None = None
    stay: Stay | None = None
    otherwise: Amount | None = None
    reason: str = ""
    seconds: float = 0.0


@dataclass(frozen=True)
class FigureResult:
    """``scans`` where the scan time is a range and both count, else None: the
    number of scans is given as exactly as it was found, the figure rests on the time."""

    figure: Figure
    time: Measurement[Units]
    scans: Measurement[Scans] | None = None

    @property
    def decided(self) -> bool:
        return self.time.decision is not Decision.UNDECIDED

    def true_bound(self, specification: Specification) -> Units | None:
        """What the true time is below (for the least time: above), never attained; None
        where none is proved."""
        proved = self.time.bound
        if proved is None or self.time.decision is Decision.NEVER:
            return None
        longest = specification.clocking.longest
        return Units(max(0, proved + TRUE_BOUNDS[self.figure.kind] * longest))

    def scan_bounds(self, specification: Specification) -> tuple[Scans, Scans] | None:
        """The extreme number of scans lies between these, inclusive; None where it is not asked
        for. A time that is exact bounds the number of scans in it as well."""
        clocking = specification.clocking
        reached, bound = self.time.reached, self.time.bound
        if reached is None or bound is None or reached != bound:
            return None
        if clocking.fixed:
            scans = Scans(reached // clocking.longest)
            return scans, scans
        if self.scans is None:
            return None
        if self.figure.time.least:
            low, high = -(-bound // clocking.longest), reached // clocking.shortest
        else:
            low, high = -(-reached // clocking.longest), bound // clocking.shortest
        seen, proved = self.scans.reached, self.scans.bound
        if self.figure.time.least:
            seen, proved = proved, seen
        return Scans(max(low, seen or 0)), Scans(high if proved is None else min(high, proved))


@dataclass(frozen=True)
class MeasureReport:
    """Everything that was measured of one spec. The figures hold until one of the ``findings``
    happens. ``warnings`` say why nothing is proved, where that is so."""

    specification: Specification
    figures: tuple[FigureResult, ...]
    findings: tuple[FindingVerdict, ...] = ()
    warnings: tuple[Diagnostic, ...] = ()
    seconds: float = 0.0
