"""The documents that there are: of each kind the options that decide, and the answer."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from twohand.analyses.audit.record import AuditResult
from twohand.analyses.check.record import CheckResult
from twohand.analyses.compare.record import CompareResult
from twohand.analyses.faults.record import FaultsResult
from twohand.analyses.inspect.points import InspectionKind
from twohand.analyses.inspect.record import InspectResult
from twohand.analyses.measure.record import MeasureResult
from twohand.analyses.mend.record import MendResult
from twohand.analyses.play.record import PLAY
from twohand.evidence.verdict import Report
from twohand.record.document import DocumentKind, EffortLimits, Spent, spent_on
from twohand.record.judged import Judged


@dataclass(frozen=True)
class CheckOptions(EffortLimits):
    """The options of a check that decide."""

    beyond_findings: bool
    another: bool
    as_expected: bool


@dataclass(frozen=True)
class CompareOptions(EffortLimits):
    """The options of a comparison that decide; null where one is not given. ``blocks`` name the
    block of each version."""

    blocks: tuple[str, str] | None
    scan: str | None
    assume: tuple[str, ...]
    platform: tuple[str, ...]
    power_cycles: bool
    common: bool


@dataclass(frozen=True)
class Compared(Judged):
    """What was ``compared``; null where that could not be."""

    compared: CompareResult | None


@dataclass(frozen=True)
class FaultOptions(EffortLimits):
    """The options of a fault analysis that decide: ``exclude`` names faults that are left out;
    with ``single`` no second one is assumed."""

    exclude: tuple[str, ...]
    single: bool


@dataclass(frozen=True)
class InspectionOptions(EffortLimits):
    """The options of an inspection that decide; null where one is not given. ``free`` names
    variables that others write; ``kinds`` are looked for."""

    block: str | None
    scan: str | None
    platform: tuple[str, ...]
    free: tuple[str, ...]
    kinds: tuple[InspectionKind, ...]


@dataclass(frozen=True)
class AuditOptions(EffortLimits):
    """The options of an audit that decide: ``most`` so many changes are tried (null: all)."""

    most: int | None


@dataclass(frozen=True)
class MendOptions(EffortLimits):
    """The options of a search for mending changes that decide: at most ``most_pairs`` pairs of
    changes are looked at."""

    most_pairs: int


AUDIT = DocumentKind("audit", "audit", AuditOptions, AuditResult)
CHECK = DocumentKind("check", "check", CheckOptions, CheckResult)
COMPARISON = DocumentKind("comparison", "compare", CompareOptions, Compared)
FAULT_TABLE = DocumentKind("fault-table", "faults", FaultOptions, FaultsResult)
INSPECTION = DocumentKind("inspection", "inspect", InspectionOptions, InspectResult)
MEASUREMENT = DocumentKind("measurement", "measure", EffortLimits, MeasureResult)
MENDING = DocumentKind("mending", "mend", MendOptions, MendResult)
KINDS = {
    each.name: each
    for each in (AUDIT, CHECK, COMPARISON, FAULT_TABLE, INSPECTION, MEASUREMENT, MENDING, PLAY)
}


def spent_on_checks(reports: Sequence[Report]) -> tuple[Spent, ...]:
    """Of each spec, and of each of its requirements."""
    return spent_on(each for report in reports for each in _times(report))


def _times(report: Report) -> Iterator[tuple[str, str, float]]:
    spec = report.specification
    yield spec.source.path, spec.name, report.seconds
    for each in report.verdicts:
        yield spec.source.path, f"{spec.name}/{each.requirement.identifier}", each.seconds
