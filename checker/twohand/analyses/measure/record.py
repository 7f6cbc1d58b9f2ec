"""A measuring as plain data."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from twohand.analyses.measure.asked import condition_text, event_texts, quantity_text
from twohand.analyses.measure.distance_text import cautions, stopping_distances
from twohand.analyses.measure.figure_text import title
from twohand.analyses.measure.figures import FigureKind
from twohand.analyses.measure.results import Decision, FigureResult, MeasureReport
from twohand.analyses.measure.safety_distance import Distance, StoppingTime, distance_trip
from twohand.analyses.measure.text import measure_code
from twohand.evidence.verdict import Certificate
from twohand.record.finding import FindingResult, finding_results
from twohand.record.judged import Judged
from twohand.record.message import FilePlace, Message, messages_of, place_in_file
from twohand.record.run import Run, nanoseconds_of, run_of
from twohand.record.spec import LoadedSpec, loaded_spec
from twohand.report.cautions import caution_texts
from twohand.report.exit_code import worst
from twohand.specification.model.specification import Specification


@dataclass(frozen=True)
class MeasuredFigure:
    """The greatest time (``least``: the least one) that can be sampled, in nanoseconds.

    ``reached`` by the replayed ``run``; proved with the ``certificate`` never to go beyond
    ``bound``; the true time is less than ``true_bound`` (``least``: more). None where there is no
    such number. ``scans`` are bounds, both inclusive, of the same figure counted in scans.

    EXACT: ``reached`` is ``bound``. NO_LIMIT: scan ``repeatable_scan`` (from 0) of the run can be
    repeated at will, or the run counts as without limit. NEVER: proved that there is nothing to
    measure. UNDECIDED: for the ``reason``. ``other_reading`` is the exact value under the other
    choice of the one reading that the run depends on.

    ``formula`` is that of the scans in which the figure is read, ``events`` those of the moments
    between which it is measured; ``asked`` has all of it in a sentence, ``title`` says what it is.
    ``identifier`` is made of the spec, the kind and what it is a figure of.
    """

    kind: FigureKind
    of: str
    decision: Decision
    least: bool
    reached: int | None
    bound: int | None
    true_bound: int | None
    scans: tuple[int, int] | None
    other_reading: int | None
    repeatable_scan: int | None
    run: Run | None
    certificate: Certificate | None
    reason: str
    place: FilePlace
    formula: str
    events: tuple[str, ...]
    asked: str
    title: str
    identifier: str


@dataclass(frozen=True)
class AddedTime:
    """One addend of a stopping time in ``seconds``; None: it is contained in another one.
    ``origin`` says where it comes from; ``below``: the true time is less than this."""

    name: str
    seconds: float | None
    origin: str
    below: bool


@dataclass(frozen=True)
class SafetyDistance:
    """The distance in ``millimetres``, and the same in ``inches``, by a ``rule``: its ``formula``,
    the ``terms`` in it, and the ``calculation`` with exact numbers, which comes to ``calculated``
    in the rule's own unit (the distance is more where the rule has a least one). ``more_than``:
    the rule asks for more than this. ``beside`` says what it is, where it is not the result."""

    rule: str
    formula: str
    terms: tuple[tuple[str, str], ...]
    calculation: str
    calculated: str
    beside: str
    more_than: bool
    millimetres: float
    inches: float


@dataclass(frozen=True)
class SafetyDistances:
    """By the stopping time of ``seconds``, which is the sum of ``times`` (None and empty where
    there is none: ``missing`` says why), and ``by_clutch`` where the spec states one; ``cautions``
    have to be read with them."""

    seconds: float | None
    times: tuple[AddedTime, ...]
    by_stopping_time: tuple[SafetyDistance, ...]
    missing: str
    by_clutch: SafetyDistance | None
    cautions: tuple[str, ...]


@dataclass(frozen=True)
class MeasuredSpec(Judged):
    """The figures of one spec; they hold until one of the ``findings`` happens. No pass: a stop
    without a limit, a figure undecided, a finding, assumptions that may contradict each other (a
    warning says so). ``distances`` follow from the figures and from what the spec states."""

    spec: LoadedSpec
    figures: tuple[MeasuredFigure, ...]
    findings: tuple[FindingResult, ...]
    warnings: tuple[Message, ...]
    distances: SafetyDistances


@dataclass(frozen=True)
class MeasureResult(Judged):
    """The specs of one file, in their order; ``cautions`` are what no figure says."""

    specs: tuple[MeasuredSpec, ...]
    cautions: tuple[str, ...]


def measure_result(reports: Sequence[MeasureReport]) -> MeasureResult:
    return MeasureResult(
        worst(measure_code(report) for report in reports),
        tuple(_measured_spec(report) for report in reports),
        tuple(caution_texts([report.specification for report in reports])),
    )


def _measured_spec(report: MeasureReport) -> MeasuredSpec:
    specification = report.specification
    return MeasuredSpec(
        measure_code(report),
        loaded_spec(specification),
        tuple(_figure(each, specification) for each in report.figures),
        finding_results(report.findings, specification),
        messages_of(specification.warnings + report.warnings),
        safety_distances(report),
    )


def _figure(result: FigureResult, specification: Specification) -> MeasuredFigure:
    measured, clocking = result.time, specification.clocking
    return MeasuredFigure(
        kind=result.figure.kind,
        of=result.figure.subject,
        decision=measured.decision,
        least=result.figure.time.least,
        reached=nanoseconds_of(measured.reached, clocking),
        bound=nanoseconds_of(measured.bound, clocking),
        true_bound=nanoseconds_of(result.true_bound(specification), clocking),
        scans=result.scan_bounds(specification),
        other_reading=nanoseconds_of(measured.otherwise, clocking),
        repeatable_scan=None if measured.stay is None else measured.stay.scan,
        run=run_of(measured.run, specification),
        certificate=measured.certificate,
        reason=measured.reason,
        place=place_in_file(result.figure.span),
        formula=condition_text(result.figure.time, clocking),
        events=event_texts(result.figure.time, clocking),
        asked=quantity_text(result.figure.time, clocking),
        title=title(result.figure, specification),
        identifier=result.figure.name_in(specification),
    )


def safety_distances(report: MeasureReport) -> SafetyDistances:
    found = stopping_distances(report)
    time, distances = (None, ()) if isinstance(found, str) else found
    clutch = report.specification.clutch
    return SafetyDistances(
        None if time is None else _number(time.seconds),
        () if time is None else _times(time),
        tuple(_distance(each) for each in distances),
        found if isinstance(found, str) else "",
        None if clutch is None else _distance(distance_trip(clutch)),
        tuple(cautions(report)),
    )


def _times(time: StoppingTime) -> tuple[AddedTime, ...]:
    return tuple(
        AddedTime(
            term.name,
            None if term.seconds is None else _number(term.seconds),
            term.origin,
            term.below,
        )
        for term in time.terms
    )


def _distance(distance: Distance) -> SafetyDistance:
    return SafetyDistance(
        distance.rule,
        distance.formula,
        distance.terms,
        distance.calculation,
        str(distance.calculated),
        distance.beside,
        distance.more_than,
        _number(distance.millimetres),
        _number(distance.inches),
    )


def _number(value: Fraction) -> float:
    """Exact where it is whole."""
    return value.numerator if value.denominator == 1 else float(value)
