"""Audits of random specs, held against visiting every reachable state of every changed block."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from pathlib import Path

from twohand.analyses.audit.changes.subject import ChangeableSpec, load_changeable_specs
from twohand.analyses.audit.check import audit
from twohand.analyses.audit.comparison import SAME, beside_block
from twohand.analyses.audit.results import Audit, AuditRow, Noticing
from twohand.engine.workers.pool import Pool
from twohand.evidence.verdict import Outcome, Report, Verdict
from twohand.specification.model.specification import Specification
from twohand.text.diagnostic import InputError

from tests.search.verdicts import OPTIONS
from tests.support.enumeration.checks_by_enumeration import Enumerated, possible
from tests.support.enumeration.enumerate_states import TooManyStatesError

OPEN = "without a second opinion"


def audited(folder: Path, pool: Pool, most: int | None = None) -> Audit | None:
    """None for a spec that cannot be audited."""
    try:
        (subject,) = load_changeable_specs(folder / "a.spec")
        return audit(subject, OPTIONS, lambda *_: None, pool, most)
    except InputError:
        return None


def compared(found: Audit) -> Counter[str]:
    """How often each standing came out; AssertionError where one is not what enumeration says."""
    counts: Counter[str] = Counter()
    before = Enumerated(found.subject.specification)
    for row in found.rows:
        counts[row.standing.value] += 1
        try:
            _compare(row, found.subject, before, found.block)
        except TooManyStatesError:
            counts[OPEN] += 1
    return counts


def _compare(row: AuditRow, subject: ChangeableSpec, before: Enumerated, block: Report) -> None:
    changed = subject.changed([row.change])
    assert changed is not None
    every = Enumerated(changed)
    outcomes = {v.requirement.identifier: v.outcome for v in block.verdicts}
    for cell in row.cells:
        name = cell.requirement.identifier
        requirement = next(r for r in changed.requirements if r.identifier == name)
        verdict = Verdict(requirement, cell.outcome)
        right = possible(verdict, every)
        if outcomes[name] is Outcome.VACUOUS:  # whether it says something is not asked again
            right |= {"PROVED"} if "VACUOUS" in right else set()
        assert cell.outcome.value in {*right, "UNDECIDED"}, (row.change, requirement)
    if row.standing in (Noticing.SAME, Noticing.FINDING):
        assert _equal(before.specification, changed), row.change
    if row.standing is Noticing.UNNOTICED:
        assert row.difference is not None
        assert not _equal(before.specification, changed), row.change


def _equal(block: Specification, changed: Specification) -> bool:
    """Whether no run shows a difference before a finding."""
    beside = beside_block(block, changed)
    assert beside is not None
    same = beside.requirement(SAME)
    if same is None:
        return True
    return Enumerated(beside.comparison.specification).refuted(same.property) is not True


def compared_specs(folders: Iterable[Path], pool: Pool, most: int | None = None) -> Counter[str]:
    counts: Counter[str] = Counter()
    for folder in folders:
        found = audited(folder, pool, most)
        if found is not None:
            counts["specs"] += 1
            counts += compared(found)
    return counts
