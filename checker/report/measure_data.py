"""A measuring as plain data for other programs: numbers of milliseconds, millimetres, inches.

Times and distances are exact where a decimal number can be; distances are not rounded.
"""

from __future__ import annotations

from fractions import Fraction

from checker.evidence.measurement import FigureResult, Measurement, MeasureReport
from checker.report.distance import cautions, stopping_distances
from checker.scan.timing import NANOSECONDS_PER_MILLISECOND, Clocking
from checker.temporal.distance import Distance, StoppingTime, distance_trip

Data = dict[str, object]


def measure_data(report: MeasureReport) -> Data:
    """Everything that was measured of one spec."""
    specification = report.specification
    clocking = specification.clocking
    return {
        "spec": specification.name,
        "file": specification.source.path,
        "block": specification.program.name,
        "scan_ms": {
            "shortest": _milliseconds(clocking.shortest, clocking),
            "longest": _milliseconds(clocking.longest, clocking),
        },
        "figures": [_figure(result, report) for result in report.figures],
        "findings": [
            {
                "kind": found.finding.kind.value,
                "file": found.finding.span.source.path,
                "line": found.finding.span.line,
                "outcome": found.outcome.value,
            }
            for found in report.findings
        ],
        "warnings": [warning.message for warning in report.warnings],
        "distances": _distances(report),
    }


def _figure(result: FigureResult, report: MeasureReport) -> Data:
    clocking = report.specification.clocking
    least = result.figure.time.least
    bound = result.true_bound(report.specification)
    data: Data = {
        "figure": result.figure.kind.value,
        "of": result.figure.subject,
        "file": result.figure.span.source.path,
        "line": result.figure.span.line,
        "extreme": "least" if least else "greatest",
        "decided": result.decided,
        "sampled": _measurement(result.time, clocking),
        "true_above_ms" if least else "true_below_ms": (
            None if bound is None else _milliseconds(bound, clocking)
        ),
    }
    bounds = result.scan_bounds(report.specification)
    if bounds is not None:
        data["scans"] = {"at_least": bounds[0], "at_most": bounds[1]}
    return data


def _measurement(measured: Measurement, clocking: Clocking) -> Data:
    def amount(value: int | None) -> int | float | None:
        return None if value is None else _milliseconds(value, clocking)

    run, certificate = measured.run, measured.certificate
    return {
        "outcome": measured.decision.value,
        "reached_ms": amount(measured.reached),
        "proved_ms": amount(measured.bound),
        "run": None
        if run is None
        else {
            "scans": len(run.records),
            "ms": _milliseconds(run.records[-1].time, clocking),
            "readings": dict(run.readings),
        },
        "repeatable_scan": None if measured.stay is None else measured.stay.scan + 1,
        "other_reading_ms": amount(measured.otherwise),
        "proof": None
        if certificate is None
        else {
            "method": certificate.method,
            "checker": certificate.checker,
            "clauses": list(certificate.clauses),
        },
        "reason": measured.reason,
    }


def _distances(report: MeasureReport) -> Data:
    data: Data = {"by_stopping_time": None, "by_clutch": None, "cautions": cautions(report)}
    found = stopping_distances(report)
    if isinstance(found, str):
        data["missing"] = found
    else:
        time, distances = found
        data["by_stopping_time"] = {
            **_time(time),
            "distances": [_distance(distance) for distance in distances],
        }
    if report.specification.clutch is not None:
        data["by_clutch"] = _distance(distance_trip(report.specification.clutch))
    return data


def _time(time: StoppingTime) -> Data:
    return {
        "seconds": _number(time.seconds),
        "terms": [
            {
                "name": term.name,
                "seconds": None if term.seconds is None else _number(term.seconds),
                "origin": term.origin,
                "below": term.below,
            }
            for term in time.terms
        ],
    }


def _distance(distance: Distance) -> Data:
    return {
        "rule": distance.rule,
        "formula": distance.formula,
        "terms": dict(distance.terms),
        "calculation": distance.calculation,
        "more_than": distance.more_than,
        "mm": _number(distance.millimetres),
        "inches": _number(distance.inches),
    }


def _milliseconds(units: int, clocking: Clocking) -> int | float:
    return _number(Fraction(clocking.nanoseconds(units), NANOSECONDS_PER_MILLISECOND))


def _number(value: Fraction) -> int | float:
    return value.numerator if value.denominator == 1 else float(value)
