"""A comparison as plain data for other programs."""

from __future__ import annotations

from twohand.analyses.compare.check import ComparisonReport
from twohand.analyses.compare.question import Comparison, file_of
from twohand.analyses.compare.text import (
    UNSURE,
    comparison_cautions,
    comparison_warnings,
    named_verdicts,
    same_runs,
    without_scans,
    word_of,
)
from twohand.evidence.verdict import Counterexample, Outcome, Verdict
from twohand.program import Program, Variable
from twohand.report.document import Data, finding, headed, milliseconds, proof, scan_times, value_of


def comparison_data(found: ComparisonReport) -> Data:
    """The whole document; durations are numbers of milliseconds."""
    return headed("comparison", _content(found))


def _content(found: ComparisonReport) -> Data:
    comparison = found.comparison
    clocking = comparison.specification.clocking
    inputs, shown = comparison.inputs, comparison.shown
    same = same_runs(found)
    return {
        "first": _side(comparison.first),
        "second": _side(comparison.second),
        "scan_ms": {**scan_times(clocking), "from": comparison.scan_origin},
        "same_inputs": [row[0].name for row in comparison.both.shared],
        "inputs_of_one": _alone(inputs.only_first, inputs.only_second),
        "outputs_of_one": _alone(shown.only_first, shown.only_second),
        "of_two_types": [first.name for first, _ in (*inputs.unlike, *shown.unlike)],
        "outputs": [
            _output(name, verdict, number, found) | {"same_run_as": same.get(name)}
            for number, (name, verdict) in enumerate(named_verdicts(found))
        ],
        "findings": [finding(each) for each in found.report.findings],
        "finding_in_one_alone": _stops(found),
        "warnings": [warning.message for warning in comparison_warnings(found)],
        "cautions": comparison_cautions(found),
        "seconds": round(found.report.seconds, 2),
    }


def _side(program: Program) -> Data:
    return {"block": program.name, "file": file_of(program)}


def _alone(first: tuple[Variable, ...], second: tuple[Variable, ...]) -> Data:
    return {"first": [v.name for v in first], "second": [v.name for v in second]}


def _output(name: str, verdict: Verdict, number: int, found: ComparisonReport) -> Data:
    run = verdict.counterexample
    constant = verdict.outcome is Outcome.VACUOUS and not without_scans(verdict)
    return {
        "output": name,
        "formula": found.comparison.asked(number),
        "outcome": word_of(verdict),
        "never_changes": constant,
        "never_changes_where": dict(verdict.readings) if constant else {},
        "proof": None if constant else proof(verdict.certificate),
        "run": None if run is None else _run(run, number, found.comparison),
        "reason": UNSURE
        if verdict.outcome is Outcome.PROVED and verdict.reason
        else verdict.reason,
    }


def _run(run: Counterexample, number: int, comparison: Comparison) -> Data:
    """The run with its inputs; what the two show in its last scan differs."""
    clocking = comparison.specification.clocking
    first, second = comparison.pairs[number]
    copies = comparison.both.first.variables[first], comparison.both.second.variables[second]
    last = run.records[-1]
    return {
        "scans": run.scans,
        "scans_before_power_up": run.past,
        "ms": milliseconds(last.time, clocking),
        "first": value_of(last.values[copies[0].name], copies[0].type, clocking),
        "second": value_of(last.values[copies[1].name], copies[1].type, clocking),
        "readings": run.all_readings,
        "reading_decides": run.reading_decides,
        "inputs": _inputs(run, comparison),
    }


def _inputs(run: Counterexample, comparison: Comparison) -> list[Data]:
    """For each scan its time and what was sampled."""
    program = comparison.specification.program
    clocking = comparison.specification.clocking
    return [
        {
            "ms": milliseconds(record.time, clocking),
            "sampled": {
                v.name: value_of(record.values[v.name], v.type, clocking)
                for v in program.sampled
                if v.name in record.values
            },
        }
        for record in run.records
    ]


def _stops(found: ComparisonReport) -> Data | None:
    stops = found.stops
    if stops is None:
        return None
    first, second = (None if kind is None else kind.value for kind in stops.kinds)
    return {
        "outcome": {"PROVED": "NEVER", "VIOLATED": "POSSIBLE"}.get(
            stops.outcome.value, "UNDECIDED"
        ),
        "first": first,
        "second": second,
        "proof": proof(stops.certificate),
        "inputs": [] if stops.run is None else _inputs(stops.run, found.comparison),
        "reason": stops.reason,
    }
