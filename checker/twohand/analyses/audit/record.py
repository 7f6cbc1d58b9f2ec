"""An audit as plain data."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from twohand.analyses.audit.changes.change import BlockChange, ChangeKind
from twohand.analyses.audit.exit_code import audit_code
from twohand.analyses.audit.results import (
    Audit,
    AuditCell,
    AuditRow,
    Difference,
    HowDifferent,
    Noticing,
)
from twohand.analyses.audit.text import audit_cautions
from twohand.analyses.audit.words import difference_sentence, summary_sentence
from twohand.evidence.verdict import Outcome
from twohand.record.content import identified
from twohand.record.judged import Judged
from twohand.record.message import FilePlace, place_in_file
from twohand.record.run import Run, run_of
from twohand.record.spec import AskedRequirement, LoadedSpec, asked_requirement, loaded_spec
from twohand.report.exit_code import worst
from twohand.specification.model.specification import Specification


class Notice(Enum):
    """What a requirement says of a changed block. That it does not notice is no proof: what it
    speaks of may never happen there."""

    VIOLATED = "VIOLATED"
    """It notices the change."""
    VACUOUS = "VACUOUS"
    """It was proved of the block, and says nothing any more: it notices the change."""
    NOTHING = "not noticed"
    UNDECIDED = "UNDECIDED"


@dataclass(frozen=True)
class ChangeOfBlock:
    """A small change of the text. ``place`` is where, in the file; ``words`` say what becomes of
    it: of the structured text as which the file is read, where it is ``translated``."""

    kind: ChangeKind
    words: str
    place: FilePlace
    translated: bool


@dataclass(frozen=True)
class AuditedRequirement:
    """``outcome`` is that of the block as it is. ``able``: it can notice a change (what is violated
    or undecided already cannot). It notices ``noticed`` of the changes, and ``alone`` of them as
    the only one."""

    asked: AskedRequirement
    outcome: Outcome
    able: bool
    noticed: int
    alone: int


@dataclass(frozen=True)
class AuditedChange:
    """``answers`` has what each requirement that is able says. Of a change that no requirement
    notices, ``differs`` says how it shows: in the last scan of the replayed ``run`` of the block
    and the changed block side by side, by the variables ``names``; ``seen`` says it in a sentence.
    Without a run ``reason`` says what is open. ``identifier`` is made of the spec, the kind and the
    place by content."""

    change: ChangeOfBlock
    standing: Noticing
    answers: tuple[tuple[str, Notice], ...]
    differs: HowDifferent | None
    names: tuple[str, ...]
    seen: str
    run: Run | None
    reason: str
    identifier: str


@dataclass(frozen=True)
class AuditedSpec(Judged):
    """``changes`` are those that were tried, in their order. Of them ``counted`` could be noticed:
    ``noticed`` are, ``undecided`` may be; the others are not. The counts are of this list of
    changes and no score. ``refused`` more give nothing that the spec can be asked of; ``left`` more
    were not tried. ``summary`` is what the text says of the counts."""

    spec: LoadedSpec
    requirements: tuple[AuditedRequirement, ...]
    changes: tuple[AuditedChange, ...]
    counted: int
    noticed: int
    undecided: int
    refused: int
    left: int
    summary: str


@dataclass(frozen=True)
class AuditResult(Judged):
    """The specs of a file; ``cautions`` are what no count says."""

    specs: tuple[AuditedSpec, ...]
    cautions: tuple[str, ...]

    def __getitem__(self, name: str) -> AuditedSpec:
        """The spec of this name; KeyError where there is none."""
        for each in self.specs:
            if each.spec.name == name:
                return each
        raise KeyError(name)


def audit_result(found: Sequence[Audit]) -> AuditResult:
    return AuditResult(
        worst(map(audit_code, found)),
        tuple(map(_spec, found)),
        tuple(audit_cautions(found)),
    )


def change_of_block(change: BlockChange) -> ChangeOfBlock:
    return ChangeOfBlock(change.kind, change.words, place_in_file(change.span), change.translated)


def run_of_both(difference: Difference | None) -> Run | None:
    """That of the block and the changed block side by side."""
    if difference is None:
        return None
    return run_of(difference.run, difference.beside.comparison.specification)


def _spec(found: Audit) -> AuditedSpec:
    specification = found.subject.specification
    return AuditedSpec(
        audit_code(found),
        loaded_spec(specification),
        _requirements(found),
        identified(_change(row, specification) for row in found.rows),
        len(found.counted),
        len(found.of(Noticing.NOTICED)),
        len(found.of(Noticing.OPEN)),
        found.refused,
        found.left,
        summary_sentence(found),
    )


def _requirements(found: Audit) -> tuple[AuditedRequirement, ...]:
    by = [[each.identifier for each in row.noticed_by] for row in found.rows]
    able = {each.identifier for each in found.asked}
    return tuple(
        AuditedRequirement(
            asked_requirement(verdict.requirement, found.subject.specification),
            verdict.outcome,
            verdict.requirement.identifier in able,
            sum(verdict.requirement.identifier in names for names in by),
            by.count([verdict.requirement.identifier]),
        )
        for verdict in found.block.verdicts
    )


def _change(row: AuditRow, specification: Specification) -> AuditedChange:
    change, difference = change_of_block(row.change), row.difference
    return AuditedChange(
        change,
        row.standing,
        tuple((cell.requirement.identifier, _notice(cell)) for cell in row.cells),
        None if difference is None else difference.severity,
        () if difference is None else difference.names,
        "" if difference is None else difference_sentence(row),
        run_of_both(difference),
        row.reason,
        f"{specification.name}/{change.kind.value.replace(' ', '-')}/{change.place.identifier}",
    )


def _notice(cell: AuditCell) -> Notice:
    if cell.outcome is Outcome.UNDECIDED:
        return Notice.UNDECIDED
    if not cell.notices:
        return Notice.NOTHING
    return Notice.VIOLATED if cell.outcome is Outcome.VIOLATED else Notice.VACUOUS
