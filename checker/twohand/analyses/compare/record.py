"""A comparison as plain data."""

from __future__ import annotations

from dataclasses import dataclass

from twohand.analyses.compare.check import ComparisonReport, Stops
from twohand.analyses.compare.question import file_of
from twohand.analyses.compare.text import (
    UNSURE,
    comparison_cautions,
    comparison_code,
    comparison_warnings,
    named_verdicts,
    same_runs,
    without_scans,
)
from twohand.evidence.verdict import Certificate, Outcome, Verdict
from twohand.program import Program, Variable
from twohand.record.finding import FindingResult, finding_results
from twohand.record.judged import Judged
from twohand.record.message import Message, messages_of
from twohand.record.run import Choices, PlainValue, Run, choices_of, plain_value, run_of
from twohand.record.sources import HashedFile, hashed_files
from twohand.scan.finding import FindingKind
from twohand.specification.model.specification import Specification


@dataclass(frozen=True)
class ComparedBlock:
    """One of the two, with the inputs and outputs that the other one has not, and all files that
    were read for it."""

    block: str
    path: str
    inputs_alone: tuple[str, ...]
    outputs_alone: tuple[str, ...]
    sources: tuple[HashedFile, ...]


@dataclass(frozen=True)
class ComparedOutput:
    """PROVED: the same in every scan of every run, with the ``certificate``; VACUOUS: the same,
    and it never changes, under these ``readings`` (or under all where there are none), or
    (``no_scan``) no scan completes and nothing is compared. VIOLATED:
    in the last scan of the ``run`` one has ``first`` and the other ``second``. UNDECIDED: for the
    ``reason``; a reason with PROVED says that it is open whether it ever changes. ``formula`` is
    what is asked of every scan; ``same_run_as`` names the first output with the very same run.
    ``identifier`` is made of the first block's name and the output."""

    name: str
    outcome: Outcome
    reason: str
    first: PlainValue | None
    second: PlainValue | None
    run: Run | None
    certificate: Certificate | None
    readings: Choices
    no_scan: bool
    formula: str
    same_run_as: str
    identifier: str


@dataclass(frozen=True)
class FindingInOne:
    """Whether one of the two can have a finding in a scan in which the other one has none of that
    kind. PROVED: never. VIOLATED: in the last scan of the ``run`` the two have these findings."""

    outcome: Outcome
    first: FindingKind | None
    second: FindingKind | None
    reason: str
    run: Run | None
    certificate: Certificate | None


@dataclass(frozen=True)
class CompareResult(Judged):
    """Scan times are in nanoseconds. Both get the ``same_inputs``. Compared are the ``outputs``;
    what has ``unlike`` types in the two is not. They are equal only until one of the ``findings``
    happens; ``finding_in_one`` is None where none can. ``cautions`` are what no answer says."""

    first: ComparedBlock
    second: ComparedBlock
    shortest_scan: int
    longest_scan: int
    scan_origin: str
    outputs: tuple[ComparedOutput, ...]
    unlike: tuple[str, ...]
    findings: tuple[FindingResult, ...]
    finding_in_one: FindingInOne | None
    warnings: tuple[Message, ...]
    doubt: str
    cautions: tuple[str, ...]
    same_inputs: tuple[str, ...]


def compare_result(found: ComparisonReport) -> CompareResult:
    comparison = found.comparison
    specification = comparison.specification
    clocking = specification.clocking
    inputs, shown = comparison.inputs, comparison.shown
    same = same_runs(found)
    return CompareResult(
        exit_code=comparison_code(found),
        first=_side(comparison.first, inputs.only_first, shown.only_first),
        second=_side(comparison.second, inputs.only_second, shown.only_second),
        shortest_scan=clocking.nanoseconds(clocking.shortest),
        longest_scan=clocking.nanoseconds(clocking.longest),
        scan_origin=comparison.scan_origin,
        outputs=tuple(
            _output(name, verdict, number, found, same.get(name, ""))
            for number, (name, verdict) in enumerate(named_verdicts(found))
        ),
        unlike=tuple(first.name for first, _ in (*inputs.unlike, *shown.unlike)),
        findings=finding_results(found.report.findings, specification),
        finding_in_one=_finding_in_one(found.stops, specification),
        warnings=messages_of(comparison_warnings(found)),
        doubt=found.report.doubt,
        cautions=tuple(comparison_cautions(found)),
        same_inputs=tuple(row[0].name for row in comparison.both.shared),
    )


def _side(
    program: Program, inputs: tuple[Variable, ...], outputs: tuple[Variable, ...]
) -> ComparedBlock:
    return ComparedBlock(
        program.name,
        file_of(program),
        tuple(variable.name for variable in inputs),
        tuple(variable.name for variable in outputs),
        hashed_files(program.read),
    )


def _output(
    name: str, verdict: Verdict, number: int, found: ComparisonReport, same_run_as: str
) -> ComparedOutput:
    specification = found.comparison.specification
    unsure = verdict.outcome is Outcome.PROVED and verdict.reason
    return ComparedOutput(
        name,
        verdict.outcome,
        UNSURE if unsure else verdict.reason,
        *_last_values(verdict, number, found),
        run_of(verdict.counterexample, specification),
        verdict.certificate,
        choices_of(verdict.readings),
        without_scans(verdict),
        found.comparison.asked(number),
        same_run_as,
        f"{found.comparison.first.name}/{name}",
    )


def _last_values(
    verdict: Verdict, number: int, found: ComparisonReport
) -> tuple[PlainValue | None, PlainValue | None]:
    """What the two show of a pair in the last scan of a run."""
    run, comparison = verdict.counterexample, found.comparison
    if run is None:
        return None, None
    both, pair = comparison.both, comparison.pairs[number]
    copies = both.first.variables[pair[0]], both.second.variables[pair[1]]
    values = run.records[-1].values
    clocking = comparison.specification.clocking
    first, second = (plain_value(values[each.name], each.type, clocking) for each in copies)
    return first, second


def _finding_in_one(stops: Stops | None, specification: Specification) -> FindingInOne | None:
    if stops is None:
        return None
    return FindingInOne(
        stops.outcome,
        *stops.kinds,
        stops.reason,
        run_of(stops.run, specification),
        stops.certificate,
    )
