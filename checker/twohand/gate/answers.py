"""What the analyses found of one spec, put together as the project asks it."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from datetime import date

from twohand.analyses.check.exit_code import report_code
from twohand.analyses.check.record import checked_spec
from twohand.analyses.compare.record import CompareResult
from twohand.analyses.faults.record import faults_result
from twohand.analyses.faults.table import FaultTable
from twohand.analyses.inspect.check import Inspection
from twohand.analyses.inspect.record import inspected_block
from twohand.analyses.measure.record import measure_result
from twohand.analyses.measure.results import MeasureReport
from twohand.evidence.verdict import Report
from twohand.formats.items import Item, ItemOutcome, SpecItems, items_of
from twohand.gate.asked_items import fault_items, inspection_items, limit_items
from twohand.gate.bound_content import bound_content, content_hash, whole_content
from twohand.gate.former_self import FormerItems
from twohand.gate.project.project_file import FigureLimit
from twohand.gate.record import (
    OUTCOMES,
    ReviewedSpec,
    ReviewOutcome,
    review_code,
    reviewed_items,
    spec_items_of,
)
from twohand.gate.waivers import BoundItem, WaivedSpec, WaiverStanding, WrittenWaiver, waived


@dataclass(frozen=True)
class AnsweredSpec:
    """One spec's ``report``, and what else was asked of it: None where it was not."""

    report: Report
    table: FaultTable | None = None
    inspection: Inspection | None = None
    measured: MeasureReport | None = None
    limits: tuple[FigureLimit, ...] = ()


@dataclass(frozen=True)
class JudgedSpec:
    """A spec with its waivers: as plain data, and as the items that other tools list."""

    answered: AnsweredSpec
    reviewed: ReviewedSpec
    waived: WaivedSpec
    listed: SpecItems
    former: FormerItems | None = None

    @property
    def holds(self) -> bool:
        """Whether everything that is asked holds, without any waiver."""
        return all(each.item.outcome is ItemOutcome.HOLDS for each, _ in self.waived.items)

    def beside(self, former: FormerItems, comparison: CompareResult | None) -> JudgedSpec:
        """The same with what it was at a former revision."""
        items = tuple(
            replace(each, before=before(former, bound))
            for each, (bound, _) in zip(self.reviewed.items, self.waived.items, strict=True)
        )
        reviewed = replace(self.reviewed, since=former.state, compared=comparison, items=items)
        return replace(self, reviewed=reviewed, former=former)

    @property
    def lost(self) -> frozenset[str]:
        """What was proved at the former revision, and does not hold now."""
        if self.former is None:
            return frozenset()
        return frozenset(
            bound.item.identifier
            for bound, _ in self.waived.items
            if bound.item.outcome is not ItemOutcome.HOLDS
            and before(self.former, bound) is ReviewOutcome.HOLDS
        )

    @property
    def standings(self) -> Sequence[tuple[WrittenWaiver, WaiverStanding]]:
        return self.waived.standings


def before(former: FormerItems, bound: BoundItem) -> ReviewOutcome | None:
    found = former.before(bound.item.identifier, bound.item.outcome)
    return None if found is None else OUTCOMES[found]


def judged_spec(
    answered: AnsweredSpec, waivers: Sequence[WrittenWaiver], today: date
) -> JudgedSpec:
    """``waivers`` are those of this spec."""
    checked = checked_spec(answered.report)
    table, found, measured = answered.table, answered.inspection, answered.measured
    faults = None if table is None else faults_result([table]).specs[0]
    inspected = None if found is None else inspected_block(found)
    figures = None if measured is None else measure_result([measured]).specs[0]
    items = [*items_of(checked)]
    items += [] if faults is None else fault_items(faults)
    items += [] if inspected is None else inspection_items(inspected, checked.spec.name)
    if figures is not None:
        items += limit_items(figures, answered.limits)
    apart = {each.identifier for each in checked.findings}
    decided = waived(bound_items(items, answered.report, apart), waivers, today)
    code = review_code(decided.items, report_code(answered.report))
    reviewed = ReviewedSpec(code, checked, faults, inspected, figures, reviewed_items(decided))
    return JudgedSpec(answered, reviewed, decided, spec_items_of(checked, decided))


def bound_items(
    items: Sequence[Item], report: Report, findings: Collection[str]
) -> list[BoundItem]:
    """The items with the hashes of what they are about: of a requirement of the check and of one of
    the ``findings`` block and question, of all else everything that the spec says."""
    specification = report.specification
    asked = {f"{specification.name}/{e.identifier}": e for e in specification.requirements}
    whole = whole_content(specification)
    found = []
    for item in items:
        name = item.identifier
        if name in asked or name in findings:
            content = bound_content(specification, asked.get(name), name)
        else:
            content = content_hash((whole, name))
        found.append(BoundItem(item, content))
    return found
