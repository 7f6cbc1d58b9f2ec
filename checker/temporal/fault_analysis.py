"""A spec under faults: which there are, what is asked under them, and the spec with them."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from functools import cached_property
from pathlib import Path

from checker.source import specification_tree as spec
from checker.source.files import read_source
from checker.source.specification_parse import parse_specifications
from checker.source.specification_tree import SpecificationTree
from checker.temporal.contacts import Lines
from checker.temporal.faults import Fault
from checker.temporal.problems import wrong
from checker.temporal.requirement import Arrangement, Specification
from checker.temporal.specification import load_specifications, resolve_specification
from checker.temporal.surroundings import Wanted
from checker.temporal.two_hand import LogicType


class Kept(Enum):
    """What is asked under faults. ISO 13851:2019 with EN 574:1996, Table 1 (secondary source):
    type I and III A ask for category 1, II and III B for 3, III C for 4; what a category asks is
    ISO 13849-1, clause 6 (from memory)."""

    MAY_BE_LOST = "may be lost"
    """Category 1: a fault may cost the function."""
    KEPT = "kept"
    """Category 3: no single fault costs it."""
    KEPT_AND_NOTICED = "kept and noticed"
    """Category 4: a single fault is noticed at or before the next start as well, or else no second
    fault costs the function."""
    NOT_STATED = "not stated"
    """No two-hand control, or one of type III without its letter: the facts are told."""


@dataclass(frozen=True, eq=False)
class FaultAnalysis:
    """``sound`` is the spec with physical hands and no fault."""

    tree: SpecificationTree = field(repr=False)
    folder: Path
    sound: Specification
    lines: Lines

    @property
    def faults(self) -> tuple[Fault, ...]:
        return self.lines.faults

    @cached_property
    def logic_type(self) -> LogicType | None:
        """The type of its two-hand control, if it has one."""
        for statement in self.tree.statements:
            if isinstance(statement, spec.RequireStatement):
                return LogicType(statement.type.key)
        return None

    @cached_property
    def kept(self) -> Kept:
        match self.logic_type, self.sound.arrangement:
            case (LogicType.ONE, _) | (_, Arrangement.A):
                return Kept.MAY_BE_LOST
            case (LogicType.TWO, _) | (_, Arrangement.B):
                return Kept.KEPT
            case (_, Arrangement.C):
                return Kept.KEPT_AND_NOTICED
        return Kept.NOT_STATED

    def under(self, *faults: Fault, in_order: bool = False) -> Specification:
        """The spec with at most two of the faults; ``in_order``: the second does not begin before
        the first."""
        return resolve_specification(self.tree, self.folder, Wanted(faults, in_order))


def load_fault_analyses(path: Path, shown: str | None = None) -> tuple[FaultAnalysis, ...]:
    """The specs of a file, each with its faults.

    InputError with every error, and where a spec has nothing that could fail.
    """
    load_specifications(path, shown)
    trees = parse_specifications(read_source(path, shown))
    return tuple(_analysis(tree, path.parent) for tree in trees)


def _analysis(tree: SpecificationTree, folder: Path) -> FaultAnalysis:
    sound = resolve_specification(tree, folder, Wanted())
    if sound.lines is None or not sound.lines.faults:
        raise wrong(
            "nothing-to-fail",
            "the spec names nothing that could fail: no hand, no feedback and no supply",
            tree.name.span,
            "write HAND left = ...; or SUPPLY p = ...;",
        )
    return FaultAnalysis(tree, folder, sound, sound.lines)
