"""Audits of random specs, held against visiting every reachable state of every changed block."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from random import Random

from twohand.analyses.audit.changes.subject import ChangeableSpec, load_changeable_specs
from twohand.analyses.audit.check import audit
from twohand.analyses.audit.comparison import compared_variables
from twohand.analyses.audit.results import Audit, AuditRow, Difference, HowDifferent, Noticing
from twohand.engine.workers.pool import Pool
from twohand.evidence.runs.replay import Replayer, trace_of_records
from twohand.evidence.verdict import Outcome, Report, Verdict
from twohand.specification.model.specification import Specification
from twohand.text.diagnostic import InputError

from tests.search.verdicts import OPTIONS, drawn
from tests.support.enumeration.checks_by_enumeration import Enumerated, possible
from tests.support.enumeration.enumerate_states import TooManyStatesError
from tests.support.enumeration.two_blocks import Sides, stepped

_MOST_STATES = 3000
OPEN = "without a second opinion"


CHANGES = 3
"""Of a random block, those that are tried."""


def audited(folder: Path, random: Random, pool: Pool) -> Audit | None:
    """With some of the changes; None for a spec that cannot be audited."""
    try:
        (subject,) = load_changeable_specs(folder / "a.spec")
        every = subject.changes
        some = sorted(random.sample(range(len(every)), min(CHANGES, len(every))))
        few = replace(subject)
        vars(few)["changes"] = [every[number] for number in some]  # as if there were no others
        return audit(few, OPTIONS, lambda *_: None, pool)
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
        stops = [{each.kind for each in some.first_findings()} for some in (before, every)]
        assert stops[0] == stops[1] or row.standing is Noticing.FINDING, row.change
        assert any(stops) or row.standing is Noticing.SAME, row.change
    if row.standing is Noticing.UNNOTICED:
        assert row.difference is not None
        _compare_difference(row.difference, (before.specification, changed))
        assert not _equal(before.specification, changed), row.change


def _compare_difference(found: Difference, alone: Sequence[Specification]) -> None:
    """The run's inputs, given to each of the two by itself, end with values that differ so."""
    both = found.beside.comparison
    trace = trace_of_records(found.run, both.specification)
    last = []
    for specification, prefix in zip(alone, both.both.prefixes, strict=True):
        scans = tuple(
            replace(scan, inputs={n.removeprefix(prefix): v for n, v in scan.inputs.items()})
            for scan in trace.scans
        )
        last.append(Replayer(specification).records(replace(trace, scans=scans))[-1].values)
    for name in found.names:
        before, after = (values[name] for values in last)
        assert before != after, found
        assert found.severity is HowDifferent.OTHER or (
            after is (found.severity is HowDifferent.LETS_ON)
        ), found


def _equal(block: Specification, changed: Specification) -> bool:
    """Whether no run shows a difference before a finding."""
    names = [variable.name for variable in compared_variables(block)]
    return stepped(Sides(block, changed, names), _MOST_STATES).same


def compared_specs(seeds: Iterable[int], folder: Path, pool: Pool) -> Counter[str]:
    """Audits of random specs; AssertionError where enumeration says otherwise."""
    counts: Counter[str] = Counter()
    for seed in seeds:
        if drawn(seed, folder / str(seed)) is None:
            continue
        found = audited(folder / str(seed), Random(f"changes {seed}"), pool)
        if found is not None:
            counts["specs"] += 1
            counts += compared(found)
    return counts
