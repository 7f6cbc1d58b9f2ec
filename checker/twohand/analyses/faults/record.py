"""A fault table as plain data."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from twohand.analyses.check.record import CheckedSpec, checked_spec
from twohand.analyses.faults.exit_code import fault_code
from twohand.analyses.faults.table import Cell, FaultRow, FaultTable, Standing
from twohand.analyses.faults.words import SOURCES, asked_sentence
from twohand.evidence.verdict import Certificate, Outcome, Verdict
from twohand.record.finding import FindingResult, finding_results
from twohand.record.judged import Judged
from twohand.record.message import Message
from twohand.record.run import Run, run_of
from twohand.report.cautions import caution_texts
from twohand.report.exit_code import worst
from twohand.specification.model.fault import FaultCourse, FaultKind, Kept


@dataclass(frozen=True)
class AssumedFault:
    """``at`` are the inputs that fail, or the supply that is lost; ``course`` says whether it
    stays."""

    name: str
    kind: FaultKind
    at: tuple[str, ...]
    course: FaultCourse


@dataclass(frozen=True)
class FaultAnswer:
    """What became of the requirement of this name under a fault, with the ``run`` in which it is
    lost (``seen`` says when and how) or the ``certificate``; neither where the answer without a
    fault decides. ``only_asks_for_output``: to lose it means that the output does not go on.
    ``same_run_as`` names the first requirement that is lost by the very same run, or is ''.
    ``identifier`` is made of the spec, the fault and the requirement."""

    requirement: str
    standing: Standing
    only_asks_for_output: bool
    reason: str
    seen: str
    run: Run | None
    certificate: Certificate | None
    same_run_as: str
    identifier: str


@dataclass(frozen=True)
class UnderFault:
    """One fault, or two at once, from any scan on; ``ending`` is the same one fault for a time, and
    again and again. There nothing is answered that only asks for the output, nor ``shows``; what a
    fault costs that stays has no run of its own.

    ``shows``: PROVED where a run was found in which an input reads otherwise than it would,
    VACUOUS where there is none. ``off_after``: the output stays off after the fault; ``noticed``:
    the logic shows it before the next start. None: not asked.
    """

    name: str
    title: str
    faults: tuple[AssumedFault, ...]
    answers: tuple[FaultAnswer, ...]
    shows: Outcome | None
    off_after: Outcome | None
    noticed: Outcome | None
    findings: tuple[FindingResult, ...]
    ending: tuple[UnderFault, ...]


@dataclass(frozen=True)
class SpecUnderFaults(Judged):
    """``without_fault`` is the check of the same spec with no fault. ``kept`` is what its type is
    asked to keep. ``pairs`` are faults that are not surely noticed, each with a second one, where
    ``pairs_asked``. ``excluded`` names the faults that were left out as was wished, ``no_fault_at``
    the inputs that no fault is assumed of. ``logic_type`` ('II') and ``arrangement`` ('A') are
    those of the spec, or ''; ``asked`` says what they ask under faults, ``source`` where that is
    from."""

    without_fault: CheckedSpec
    kept: Kept
    single: tuple[UnderFault, ...]
    pairs: tuple[UnderFault, ...]
    pairs_asked: bool
    excluded: tuple[str, ...]
    no_fault_at: tuple[str, ...]
    logic_type: str
    arrangement: str
    asked: str
    source: str

    @property
    def warnings(self) -> tuple[Message, ...]:
        return self.without_fault.warnings


@dataclass(frozen=True)
class FaultsResult(Judged):
    """The specs of one file, in their order; ``cautions`` are what no table says."""

    specs: tuple[SpecUnderFaults, ...]
    cautions: tuple[str, ...]


def faults_result(tables: Sequence[FaultTable]) -> FaultsResult:
    return FaultsResult(
        worst(fault_code(table) for table in tables),
        tuple(_under_faults(table) for table in tables),
        tuple(caution_texts([table.sound.specification for table in tables])),
    )


def _under_faults(table: FaultTable) -> SpecUnderFaults:
    analysis = table.analysis
    return SpecUnderFaults(
        fault_code(table),
        checked_spec(table.sound),
        table.kept,
        tuple(_row(row) for row in table.rows),
        tuple(_row(row) for row in table.pairs),
        table.combined,
        tuple(fault.identifier for fault in analysis.excluded),
        tuple(variable.name for variable in analysis.lines.apart),
        analysis.logic_type.value if analysis.logic_type else "",
        analysis.sound.arrangement.value if analysis.sound.arrangement else "",
        asked_sentence(table),
        SOURCES,
    )


def _row(row: FaultRow) -> UnderFault:
    return UnderFault(
        row.identifier,
        row.title,
        tuple(AssumedFault(f.identifier, f.kind, f.names, f.course) for f in row.faults),
        tuple(_answer(cell, row) for cell in row.cells),
        _outcome(row.shows),
        _outcome(row.stays_off),
        _outcome(row.noticed),
        finding_results(row.findings, row.specification),
        tuple(_row(each) for each in row.ending),
    )


def _answer(cell: Cell, row: FaultRow) -> FaultAnswer:
    verdict, specification = cell.verdict, row.specification
    return FaultAnswer(
        cell.requirement.identifier,
        cell.standing,
        cell.asks_for_output,
        "" if verdict is None else verdict.reason,
        "" if verdict is None else verdict.seen,
        None if verdict is None else run_of(verdict.counterexample, specification),
        None if verdict is None else verdict.certificate,
        row.same_runs.get(cell.requirement.identifier, ""),
        f"{specification.name}/{row.identifier}/{cell.requirement.identifier}",
    )


def _outcome(verdict: Verdict | None) -> Outcome | None:
    return None if verdict is None else verdict.outcome
