"""A spec and its former self: whether it changed, and how what was asked came out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import Enum

from twohand.analyses.compare.options import ComparisonOptions
from twohand.analyses.compare.question import Comparison, resolve_comparison
from twohand.formats.items import ItemOutcome
from twohand.gate.bound_content import whole_content
from twohand.specification.model.specification import Specification
from twohand.typecheck.resolve import load_program


class SinceState(Enum):
    """What became of a spec since a revision."""

    NEW = "new"
    """It was not there, or could not be read."""
    CHANGED = "changed"
    UNCHANGED = "unchanged"
    """Block, surroundings, and all that is asked mean what they meant."""


@dataclass(frozen=True)
class FormerItems:
    """How the items of a spec came out at a ``revision``, by their identifiers, so far as that was
    asked."""

    revision: str
    state: SinceState
    outcomes: Mapping[str, ItemOutcome] = field(default_factory=dict)

    def before(self, identifier: str, now: ItemOutcome) -> ItemOutcome | None:
        """None: not there, or not asked."""
        if self.state is SinceState.UNCHANGED:
            return now
        return self.outcomes.get(identifier)


def state_of(specification: Specification, former: Specification | None) -> SinceState:
    if former is None:
        return SinceState.NEW
    same = whole_content(specification) == whole_content(former)
    return SinceState.UNCHANGED if same else SinceState.CHANGED


def block_comparison(specification: Specification, former: Specification) -> Comparison | None:
    """Whether the block shows what it showed, as a question, in the scan time of the spec; inputs
    and outputs that only one has are left out. None where its files are the same. InputError where
    the two cannot be compared."""
    now, then = specification.program, former.program
    if {each.text for each in now.sources} == {each.text for each in then.sources}:
        return None
    first, second = (
        load_program(list(each.sources), each.name, searched=list(each.sources))
        for each in (then, now)
    )
    clocking = specification.clocking
    low, high = clocking.nanoseconds(clocking.shortest), clocking.nanoseconds(clocking.longest)
    scan = f"T#{low}ns" if low == high else f"T#{low}ns..T#{high}ns"
    found = resolve_comparison(first, second, ComparisonOptions(scan=scan, common=True))
    return replace(found, scan_origin=f"SCAN of {specification.name}")
