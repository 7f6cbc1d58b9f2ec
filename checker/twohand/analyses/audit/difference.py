"""Changed blocks that no requirement notices, put beside the block."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from twohand.analyses.audit.comparison import (
    KEEPS_OFF,
    LETS_ON,
    SAME,
    BesideBlock,
    beside_block,
)
from twohand.analyses.audit.results import ASKED, AuditRow, Difference, HowDifferent, Noticing
from twohand.analyses.compare.check import FindingInOne, Stops
from twohand.evidence.checks.requirement import ALONE, RequirementCheck
from twohand.evidence.context import CheckContext
from twohand.evidence.limits import Options, Progress
from twohand.evidence.proofs.dispatcher import Dispatcher
from twohand.evidence.verdict import Counterexample, Outcome, Verdict
from twohand.specification.model.specification import Specification

_AT_ONCE = 8
_EFFORT = 20.0
"""For each question: what stays open stays in the count."""
_NOT_COMPARED = "it has not all that is compared"


@dataclass(eq=False)
class _Compared:
    """A row, with what is asked of its block beside the block as it is."""

    row: AuditRow
    beside: BesideBlock
    checks: dict[str, RequirementCheck]
    case: CheckContext

    def verdict(self, name: str) -> Verdict | None:
        check = self.checks.get(name)
        return None if check is None else check.verdict


class Beside:
    """Asks of changed blocks whether they are the same as the ``block``."""

    def __init__(
        self, block: Specification, desk: Dispatcher, options: Options, progress: Progress
    ) -> None:
        self._block = block
        self._desk = desk
        self._options = replace(options, effort=min(options.effort, _EFFORT))
        self._progress = progress

    def judged(self, rows: Sequence[tuple[AuditRow, Specification]]) -> list[AuditRow]:
        found: list[AuditRow] = []
        for start in range(0, len(rows), _AT_ONCE):
            self._progress("beside the block", start, len(rows))
            found += self._some(rows[start : start + _AT_ONCE])
        return found

    def _some(self, rows: Sequence[tuple[AuditRow, Specification]]) -> list[AuditRow]:
        compared = [self._compared(*each) for each in rows]
        self._ask(compared, (SAME,))
        differing = [
            each
            for each in compared
            if isinstance(each, _Compared)
            and (verdict := each.verdict(SAME)) is not None
            and verdict.outcome is not Outcome.PROVED
        ]
        self._ask(differing, (LETS_ON, KEEPS_OFF))
        return [self._judged(each) if isinstance(each, _Compared) else each for each in compared]

    def _compared(self, row: AuditRow, changed: Specification) -> _Compared | AuditRow:
        beside = beside_block(self._block, changed)
        if beside is None:
            standing = Noticing.OPEN if row.standing is Noticing.OPEN else Noticing.UNSURE
            return replace(row, standing=standing, reason=row.reason or _NOT_COMPARED)
        spec = beside.comparison.specification
        case = CheckContext(spec, self._desk, self._options.effort)
        checks = {
            each.identifier: RequirementCheck(each, case, lambda _: None, ALONE)
            for each in spec.requirements
        }
        return _Compared(row, beside, checks, case)

    def _ask(self, compared: Sequence[_Compared | AuditRow], names: tuple[str, ...]) -> None:
        for each in compared:
            for name in names:
                if isinstance(each, _Compared) and name in each.checks:
                    each.checks[name].begin()
        self._desk.serve()

    def _judged(self, each: _Compared) -> AuditRow:
        """A finding that only one of the two can have makes them differ as well."""
        row = each.row
        same = each.verdict(SAME)
        stops = self._stops(each)
        if (same is None or same.outcome is Outcome.PROVED) and (
            stops is None or stops.outcome is Outcome.PROVED
        ):
            return replace(row, standing=Noticing.SAME, reason="")
        difference = _difference(each)
        if difference is not None or row.standing is Noticing.OPEN:
            return replace(row, difference=difference)
        equal = same is None or same.outcome is Outcome.PROVED
        if equal and stops is not None and stops.outcome is Outcome.VIOLATED:
            return replace(row, standing=Noticing.FINDING)
        reasons = [found.reason for found in (same, stops) if found is not None and found.reason]
        return replace(row, standing=Noticing.UNSURE, reason=next(iter(reasons), ""))

    def _stops(self, each: _Compared) -> Stops | None:
        """None where no finding is possible at all."""
        if not each.case.questions.findings:
            return None
        return FindingInOne(each.beside.comparison, self._desk, self._options).answer()


def _difference(each: _Compared) -> Difference | None:
    """The worst that is known."""
    same = each.verdict(SAME)
    if same is None or same.outcome is Outcome.PROVED:
        return None
    for severity, name in ASKED.items():
        check = each.checks.get(name)
        run = None if check is None else check.verdict.counterexample
        if run is not None:
            return Difference(
                each.beside, severity, run, differing_names(each.beside, severity, run)
            )
    return None


def differing_names(
    beside: BesideBlock, severity: HowDifferent, run: Counterexample
) -> tuple[str, ...]:
    """What differs in the last scan, as the block names it."""
    values = run.records[-1].values
    pairs = beside.pairs if severity is HowDifferent.OTHER else beside.outputs
    differing = [(a.name, b.name) for a, b in pairs if values[a.name] != values[b.name]]
    if severity is not HowDifferent.OTHER:
        on = severity is HowDifferent.LETS_ON
        differing = [(one, other) for one, other in differing if values[other] is on]
    prefix = beside.comparison.both.prefixes[0]
    return tuple(one.removeprefix(prefix) for one, _ in differing)
