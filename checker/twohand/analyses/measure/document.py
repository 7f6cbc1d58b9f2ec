"""A measuring as plain data for other programs: numbers of milliseconds, millimetres, inches.

Times and distances are exact where a decimal number can be; distances are not rounded.
"""

from __future__ import annotations

from collections.abc import Sequence

from twohand.analyses.measure.asked import condition_text, event_texts, quantity_text
from twohand.analyses.measure.distance_text import cautions, stopping_distances
from twohand.analyses.measure.results import FigureResult, Measurement, MeasureReport
from twohand.analyses.measure.safety_distance import Distance, StoppingTime, distance_trip
from twohand.program.durations import Units
from twohand.report.cautions import caution_texts
from twohand.report.document import (
    Data,
    finding,
    headed,
    milliseconds,
    number,
    proof,
    run_head,
    scan_times,
    tolerances,
)
from twohand.scan.clocking import Clocking


def measure_data(reports: Sequence[MeasureReport]) -> Data:
    """The whole document."""
    said = caution_texts([report.specification for report in reports])
    measured = [_report(report) for report in reports]
    return headed("measurement", {"measured": measured, "cautions": said})


def _report(report: MeasureReport) -> Data:
    """Everything that was measured of one spec."""
    specification = report.specification
    clocking = specification.clocking
    return {
        "spec": specification.name,
        "file": specification.source.path,
        "block": specification.program.name,
        "scan_ms": scan_times(clocking),
        "figures": [_figure(result, report) for result in report.figures],
        "findings": [finding(found) for found in report.findings],
        "warnings": [warning.message for warning in report.warnings],
        **tolerances(specification),
        "distances": _distances(report),
    }


def _figure(result: FigureResult, report: MeasureReport) -> Data:
    clocking = report.specification.clocking
    least = result.figure.time.least
    bound = result.true_bound(report.specification)
    data: Data = {
        "figure": result.figure.kind.value,
        "of": result.figure.subject,
        "formula": condition_text(result.figure.time, clocking),
        "events": event_texts(result.figure.time, clocking),
        "asked": quantity_text(result.figure.time, clocking),
        "file": result.figure.span.source.path,
        "line": result.figure.span.line,
        "extreme": "least" if least else "greatest",
        "decided": result.decided,
        "sampled": _measurement(result.time, clocking),
        "true_above_ms" if least else "true_below_ms": (
            None if bound is None else milliseconds(bound, clocking)
        ),
    }
    bounds = result.scan_bounds(report.specification)
    if bounds is not None:
        data["scans"] = {"at_least": bounds[0], "at_most": bounds[1]}
    return data


def _measurement(measured: Measurement[Units], clocking: Clocking) -> Data:
    def amount(value: Units | None) -> int | float | None:
        return None if value is None else milliseconds(value, clocking)

    run = measured.run
    return {
        "outcome": measured.decision.value,
        "reached_ms": amount(measured.reached),
        "proved_ms": amount(measured.bound),
        "run": None if run is None else run_head(run, clocking),
        "repeatable_scan": None if measured.stay is None else measured.stay.scan + 1,
        "other_reading_ms": amount(measured.otherwise),
        "proof": proof(measured.certificate),
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
        "seconds": number(time.seconds),
        "terms": [
            {
                "name": term.name,
                "seconds": None if term.seconds is None else number(term.seconds),
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
        "calculated": str(distance.calculated),
        "beside": distance.beside,
        "more_than": distance.more_than,
        "mm": number(distance.millimetres),
        "inches": number(distance.inches),
    }
