"""The sheet of a spec that was checked."""

from __future__ import annotations

from collections.abc import Iterator

from twohand import __version__
from twohand.analyses.check.exit_code import report_code
from twohand.analyses.sheet.derive import Derived, Tell, derive
from twohand.analyses.sheet.reach import uncovered_branches
from twohand.analyses.sheet.trial import Aimed, NoTrial, Sheet
from twohand.analyses.sheet.words import measured_lines
from twohand.engine.workers.pool import Pool
from twohand.evidence.limits import Options
from twohand.evidence.verdict import Outcome, Report
from twohand.record.sources import read_files
from twohand.report.drawing.source_line import file_and_line
from twohand.report.exit_code import ExitCode
from twohand.specification.model.specification import Aim, Requirement
from twohand.typecheck.reals.uncomputed import refuse_uncomputed

NOT_PASSED = "'twohand check' does not pass this spec: what it says has to be settled first"


def sheet_of(report: Report, options: Options, pool: Pool, tell: Tell) -> Sheet:
    """What is derived, and only where everything is settled a part with motion."""
    spec = report.specification
    refuse_uncomputed(spec.program, "a sheet")
    not_before = tuple(unsettled(report))
    derived = derive(spec, proved_of(report), tell)
    branches = uncovered_branches(spec, derived.uncovered, options, pool)
    return sheet_from(report, not_before, derived, branches)


def sheet_from(
    report: Report,
    not_before: tuple[NoTrial, ...],
    derived: Derived,
    branches: tuple[NoTrial, ...],
) -> Sheet:
    """Its parts in their order: with motion only what must pass and needs no generator."""
    spec = report.specification
    moving = () if not_before else tuple(
        each
        for each in derived.trials
        if each.aim is Aimed.PASSES and not each.needs_generator
    )  # fmt: skip
    return Sheet(
        spec.name,
        tuple(variable.name for variable in spec.outputs),
        tuple(hand.name for hand in spec.hands),
        not_before,
        derived.trials,
        derived.contacts,
        moving,
        derived.without,
        tuple((each.identifier, each.sentence) for each in proved_of(report)),
        len(derived.ways),
        branches,
        measured_lines(spec),
        read_files(spec),
        __version__,
    )


def proved_of(report: Report) -> tuple[Requirement, ...]:
    """Those that a trial may be derived for."""
    return tuple(
        verdict.requirement
        for verdict in report.verdicts
        if verdict.outcome is Outcome.PROVED and not verdict.reason
    )


def unsettled(report: Report) -> Iterator[NoTrial]:
    """Everything for which the check does not pass."""
    found = False
    for verdict in report.verdicts:
        asked = verdict.requirement
        if verdict.outcome is not Outcome.PROVED or verdict.reason:
            found = True
            why = verdict.outcome.value
            if verdict.outcome is Outcome.PROVED:
                why = "PROVED, but it is open whether it says anything"
            yield NoTrial(f"{asked.identifier} ({asked.sentence})", why)
    for fault in report.findings:
        found = True
        place = file_and_line(fault.finding.span)
        yield NoTrial(f"{fault.finding.kind.value} in {place}", fault.outcome.value)
    for name in report.never_on:
        found = True
        yield NoTrial(f"the output '{name}'", "it is never on")
    if not found and report_code(report) is not ExitCode.ALL_PROVED:
        yield NoTrial("the spec", NOT_PASSED)


def sheet_code(report: Report, sheet: Sheet) -> ExitCode:
    """What the check answers; where that passes, whether each requirement has its lines."""
    code = report_code(report)
    if code is not ExitCode.ALL_PROVED:
        return code
    provoked = {n for each in sheet.still if each.aim is Aimed.PROVOKES for n in each.requirements}
    asked = {
        each.identifier
        for each in proved_of(report)
        if each.aim is Aim.HOLDS and each.word != "AVAILABLE"
    }
    return ExitCode.ALL_PROVED if sheet.still and asked <= provoked else ExitCode.UNDECIDED
