"""A comparison as plain data for other programs."""

from __future__ import annotations

from checker.evidence.comparison import ComparisonReport
from checker.evidence.verdict import Certificate, Counterexample, Outcome, Verdict
from checker.report.comparison import (
    UNSURE,
    WORDS,
    comparison_cautions,
    comparison_warnings,
    named_verdicts,
)
from checker.report.numbers import milliseconds
from checker.scan.timing import Clocking
from checker.source.program import Program, Variable
from checker.source.types import Duration, Enumeration, Value
from checker.temporal.comparison import Comparison, file_of

Data = dict[str, object]


def comparison_data(found: ComparisonReport) -> Data:
    """Everything that was found; durations are numbers of milliseconds."""
    comparison = found.comparison
    clocking = comparison.specification.clocking
    inputs, shown = comparison.inputs, comparison.shown
    return {
        "first": _side(comparison.first),
        "second": _side(comparison.second),
        "scan_ms": {
            "shortest": _number(clocking.shortest, clocking),
            "longest": _number(clocking.longest, clocking),
            "from": comparison.scan_origin,
        },
        "same_inputs": [row[0].name for row in comparison.both.shared],
        "inputs_of_one": _alone(inputs.only_first, inputs.only_second),
        "outputs_of_one": _alone(shown.only_first, shown.only_second),
        "of_two_types": [first.name for first, _ in (*inputs.unlike, *shown.unlike)],
        "outputs": [
            _output(name, verdict, number, found)
            for number, (name, verdict) in enumerate(named_verdicts(found))
        ],
        "findings": [
            {
                "kind": each.finding.kind.value,
                "file": each.finding.span.source.path,
                "line": each.finding.span.line,
                "outcome": each.outcome.value,
            }
            for each in found.report.findings
        ],
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
    constant = verdict.outcome is Outcome.VACUOUS
    return {
        "output": name,
        "outcome": WORDS[verdict.outcome][0],
        "never_changes": constant,
        "never_changes_where": dict(verdict.readings) if constant else {},
        "proof": None if constant else _proof(verdict.certificate),
        "run": None if run is None else _run(run, number, found.comparison),
        "reason": UNSURE
        if verdict.outcome is Outcome.PROVED and verdict.reason
        else verdict.reason,
    }


def _proof(certificate: Certificate | None) -> Data | None:
    if certificate is None:
        return None
    return {
        "method": certificate.method,
        "checker": certificate.checker,
        "clauses": list(certificate.clauses),
    }


def _run(run: Counterexample, number: int, comparison: Comparison) -> Data:
    """The run with its inputs; what the two show in its last scan differs."""
    clocking = comparison.specification.clocking
    first, second = comparison.pairs[number]
    copies = comparison.both.first.variables[first], comparison.both.second.variables[second]
    last = run.records[-1]
    return {
        "scans": len(run.records),
        "ms": _number(last.time, clocking),
        "first": _value(copies[0], last.values[copies[0].name], clocking),
        "second": _value(copies[1], last.values[copies[1].name], clocking),
        "readings": dict(run.readings),
        "reading_decides": run.reading_decides,
        "inputs": _inputs(run, comparison),
    }


def _inputs(run: Counterexample, comparison: Comparison) -> list[Data]:
    """For each scan its time and what was sampled."""
    program = comparison.specification.program
    clocking = comparison.specification.clocking
    return [
        {
            "ms": _number(record.time, clocking),
            "sampled": {
                v.name: _value(v, record.values[v.name], clocking) for v in program.sampled
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
        "proof": _proof(stops.certificate),
        "inputs": [] if stops.run is None else _inputs(stops.run, found.comparison),
        "reason": stops.reason,
    }


def _value(variable: Variable, value: Value, clocking: Clocking) -> object:
    if isinstance(variable.type, Duration):
        return _number(int(value), clocking)
    if isinstance(variable.type, Enumeration):
        return variable.type.value_name(int(value))
    return value


def _number(units: int, clocking: Clocking) -> int | float:
    text = milliseconds(units, clocking)
    return float(text) if "." in text else int(text)
