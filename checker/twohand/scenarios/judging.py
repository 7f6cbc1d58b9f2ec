"""What a played run shows: where the spec's requirements and what is expected fail, by definition.

No monitor and no solver: the direct evaluator reads the run."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from twohand.program.durations import Units
from twohand.scan.finding import Finding
from twohand.scan.scan_record import ScanRecord, scans_before
from twohand.scenarios.model import Expected, Scenario
from twohand.specification.logic import evaluate
from twohand.specification.logic.formula import Named
from twohand.specification.model.specification import Aim, Requirement


@dataclass(frozen=True)
class Failure:
    """What fails in the record at ``position``: a requirement of the spec, something that the
    scenario expects, or a scan that does not complete (``finding``)."""

    position: int
    about: Requirement | Expected | Finding = field(repr=False)


@dataclass(frozen=True)
class Outside:
    """The run breaks an assumption of the spec in the record at ``position``: from there on it says
    nothing of requirements."""

    position: int
    assumption: Named


@dataclass(frozen=True)
class Judgement:
    """Failures in the order of their places; ``outside`` is None where every assumption is met."""

    failures: tuple[Failure, ...]
    outside: Outside | None


def judged(scenario: Scenario, records: Sequence[ScanRecord]) -> Judgement:
    """Everything that the run says. ``records`` are at least one scan."""
    outside = _outside(scenario, records)
    end = len(records) if outside is None else outside.position
    found = [
        *_findings(records),
        *_requirements(scenario, records, end),
        *_expected(scenario, records),
    ]
    return Judgement(tuple(sorted(found, key=lambda failure: failure.position)), outside)


def _findings(records: Sequence[ScanRecord]) -> Iterator[Failure]:
    finding = records[-1].finding
    if finding is not None:
        yield Failure(len(records) - 1, finding)


# --- requirements -----------------------------------------------------------------------------


def _requirements(scenario: Scenario, records: Sequence[ScanRecord], end: int) -> Iterator[Failure]:
    """Those that fail before the record at ``end``. That something can be reached is said of all
    runs together, so that no run fails it."""
    spec = scenario.specification
    for each in spec.requirements:
        if each.aim is Aim.HOLDS:
            position = evaluate.refuted_at(each.property, records, spec.clocking)
            if position is not None and position < end:
                yield Failure(position, each)


def _outside(scenario: Scenario, records: Sequence[ScanRecord]) -> Outside | None:
    """In a scan that a finding cut short assumptions are judged by the inputs, of which they
    speak."""
    spec = scenario.specification
    whole = [replace(record, finding=None) for record in records]
    first: Outside | None = None
    for each in spec.assumptions:
        lengths = range(1, len(whole) + 1)
        kept = bisect_left(
            lengths,
            True,
            key=lambda length: not evaluate.assumed(each.formula, whole[:length], spec.clocking),
        )
        if kept < len(whole) and (first is None or kept < first.position):
            first = Outside(kept, each)
    return first


# --- what is expected -------------------------------------------------------------------------


def _expected(scenario: Scenario, records: Sequence[ScanRecord]) -> Iterator[Failure]:
    clocking = scenario.specification.clocking
    times = [record.time for record in records]
    for each in scenario.expected:
        truths = evaluate.holds(each.formula, records, clocking)
        chosen = _scans(each, times, scans_before(records))
        if not chosen:  # a finding ended the run before
            yield Failure(len(records) - 1, each)
        elif each.within is None:
            wrong = next((at for at in chosen if not truths[at]), None)
            if wrong is not None:
                yield Failure(wrong, each)
        elif not any(truths[at] for at in chosen):
            yield Failure(min(chosen[-1] + 1, len(records) - 1), each)


def _scans(expected: Expected, times: Sequence[Units], past: int) -> range:
    """The records in which it is expected; none where the run has none of them."""
    first = max(past, bisect_left(times, expected.first))
    last = len(times)
    if expected.within is not None:
        last = max(first + 1, bisect_right(times, expected.first + expected.within))
    elif expected.last is not None:
        last = max(first + 1, bisect_right(times, expected.last))
    return range(first, min(last, len(times)))
