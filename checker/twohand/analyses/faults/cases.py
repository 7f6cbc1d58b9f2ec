"""A spec under faults: which there are, what is asked under them, and the spec with them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path

from twohand.analyses.faults.requirements import after_fault
from twohand.files.reading import read_source
from twohand.specification.load import resolve_specification, resolve_specifications
from twohand.specification.model.control import LogicType
from twohand.specification.model.fault import Fault, FaultCourse, Kept
from twohand.specification.model.specification import Arrangement, Lines, Specification
from twohand.specification.reading.files import Texts
from twohand.specification.statements.surroundings import Wanted
from twohand.specification.syntax import nodes as spec
from twohand.specification.syntax.nodes import SpecificationTree
from twohand.specification.syntax.parse import parse_specifications
from twohand.text.diagnostic import Diagnostic, InputError, wrong
from twohand.text.suggestions import nearest


@dataclass(frozen=True, eq=False)
class FaultAnalysis:
    """``sound`` is the spec with physical hands and no fault; ``excluded`` are faults that the
    user answers for. ``texts`` are the files as they were read for it, so that every fault is one
    of the same program."""

    tree: SpecificationTree = field(repr=False)
    folder: Path
    texts: Texts = field(repr=False)
    sound: Specification
    lines: Lines
    excluded: tuple[Fault, ...] = ()

    @property
    def faults(self) -> tuple[Fault, ...]:
        """What is looked at."""
        return tuple(fault for fault in self.lines.faults if fault not in self.excluded)

    def without(self, identifiers: Iterable[str]) -> FaultAnalysis:
        """The same without these faults; InputError where there is none of that name, or where
        nothing is left."""
        excluded = tuple(dict.fromkeys(self._fault(each) for each in identifiers))
        if len(excluded) == len(self.lines.faults):
            raise self._unknown("every fault is excluded, so that nothing is left", "name fewer")
        return replace(self, excluded=excluded)

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
        return resolve_specification(self.tree, self.folder, Wanted(faults, in_order), self.texts)

    def with_one_question(self, faults: str, requirement: str) -> Specification:
        """The spec with the faults of these identifiers (``a`` or ``a+b``) and only the
        requirement of this identifier, or what is asked after a single fault; InputError where
        there is none of that name."""
        names = [name.strip() for name in faults.split("+")]
        courses = tuple(FaultCourse) if len(names) == 1 else (FaultCourse.STAYS,)
        chosen = [self._fault(name, courses) for name in names]
        if len(chosen) > 2 or (len(chosen) == 2 and _excluded(*chosen)):
            message = f"'{faults}' is no fault, and no two that can be together"
            raise self._unknown(message, "name one fault, or two as FAULT+FAULT")
        specification = self.under(*chosen, in_order=True)
        asked = list(specification.requirements)
        if len(chosen) == 1:
            asked += after_fault(specification).all
        for each in asked:
            if each.identifier.casefold() == requirement.casefold():
                return replace(specification, requirements=(each,), lags=())
        raise self._unnamed(requirement, [each.identifier for each in asked], "requirement")

    def _fault(
        self, identifier: str, courses: Sequence[FaultCourse] = (FaultCourse.STAYS,)
    ) -> Fault:
        known = [fault.as_it(course) for course in courses for fault in self.faults]
        for fault in known:
            if fault.identifier.casefold() == identifier.casefold():
                return fault
        raise self._unnamed(identifier, [fault.identifier for fault in known], "fault")

    def _unnamed(self, name: str, known: list[str], what: str) -> InputError:
        close = nearest(name, known)
        shown = f"there is {', '.join(known[:24])}" + (" ..." if len(known) > 24 else "")
        return self._unknown(
            f"unknown {what} '{name}' in spec '{self.sound.name}'",
            f"did you mean '{close}'?" if close else shown,
        )

    def _unknown(self, message: str, way: str) -> InputError:
        path = self.sound.source.path
        return InputError(Diagnostic("unknown-name", message, path=path, help=way))


def _excluded(one: Fault, other: Fault) -> bool:
    return one == other or one.excludes(other)


def load_fault_analyses(path: Path, shown: str | None = None) -> tuple[FaultAnalysis, ...]:
    """The specs of a file, each with its faults.

    InputError with every error, and where a spec has nothing that could fail.
    """
    trees = parse_specifications(read_source(path, shown))
    texts: Texts = {}
    resolve_specifications(trees, path.parent, texts)
    return tuple(_analysis(tree, path.parent, texts) for tree in trees)


def _analysis(tree: SpecificationTree, folder: Path, texts: Texts) -> FaultAnalysis:
    sound = resolve_specification(tree, folder, Wanted(), texts)
    if sound.lines is None or not sound.lines.faults:
        message = "the spec names nothing that could fail: no hand, no feedback and no supply"
        way = "write HAND left = ...; or SUPPLY p = ...;"
        raise wrong("nothing-to-fail", message, tree.name.span, way)
    return FaultAnalysis(tree, folder, texts, sound, sound.lines)
