"""The block of a spec whose changes are tried: which there are, and the spec of a changed block."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

from twohand.analyses.audit.changes.change import BlockChange, edited_texts, place_of
from twohand.analyses.audit.changes.listing import changes_of
from twohand.analyses.audit.changes.scope import UnitScope
from twohand.files.project import Project
from twohand.files.reading import read_source
from twohand.program import Program
from twohand.program.durations import Nanoseconds
from twohand.program.types import RealClasses, Type
from twohand.program.walks import nodes_below
from twohand.specification.load import resolve_specification, resolve_specifications
from twohand.specification.model.specification import Specification
from twohand.specification.problems import Problems
from twohand.specification.reading.files import SourceFiles, Texts
from twohand.specification.reading.statements import StatementTable
from twohand.specification.syntax.nodes import SpecificationTree
from twohand.specification.syntax.parse import parse_specifications
from twohand.syntax import tree as syntax
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText, Span
from twohand.text.split_units import joined_halves


@dataclass(frozen=True, eq=False)
class ChangeableSpec:
    """``specification`` is that of the block as it is; ``texts`` are the files as they were read
    for it, so that every change is one of the same text."""

    tree: SpecificationTree = field(repr=False)
    folder: Path
    texts: Texts = field(repr=False)
    specification: Specification

    @cached_property
    def changes(self) -> list[BlockChange]:
        """Every change of the block and of the units that it calls, but for those that a plant
        calls as well."""
        return changes_of(self.scopes, tuple(self.texts.values()))

    @cached_property
    def scopes(self) -> tuple[UnitScope, ...]:
        clocking = self.specification.clocking
        scan = Nanoseconds(clocking.longest * clocking.unit)
        return tuple(
            UnitScope(unit, clocking.unit, scan, top) for unit, top in self._changeable_units()
        )

    def _changeable_units(self) -> Iterator[tuple[syntax.Unit, bool]]:
        parts = StatementTable(self.tree, Problems())
        files = SourceFiles(self.folder, self.tree.source.path, Problems(), self.texts)
        composed = files.composition(parts)
        assert composed is not None  # the spec was resolved from the same files
        project = Project(joined_halves(files.of_block, files.searched), files.searched)
        needed = project.needed(project.block(composed.block.name))
        own = _Places([composed.block])
        of_plants = _Places([plant.program for plant in composed.plants])
        for file in project.parsed(needed):
            for unit in file.units:
                top = unit.name.key == composed.block.name.upper()
                if (top or own.within(unit.span)) and not of_plants.within(unit.span):
                    yield unit, top

    def changed(self, changes: Sequence[BlockChange]) -> Specification | None:
        """The spec of the block with these changes, in the units of time of the block as it is;
        None where what they give is no program that this spec can be asked of."""
        try:
            edited = edited_texts(edit for change in changes for edit in change.edits)
        except ValueError:
            return None
        texts = {path: edited.get(text, text) for path, text in self.texts.items()}
        unit = self.specification.clocking.unit
        try:
            changed = resolve_specification(self.tree, self.folder, None, texts, unit)
        except InputError:
            return None
        same = changed.clocking == self.specification.clocking
        # runs of the one are tried on the other: a class of REALs has to be the same values in both
        same = same and _real_classes(changed) == _real_classes(self.specification)
        return changed if same else None

    def file_texts(self, changes: Iterable[BlockChange]) -> list[tuple[SourceText, SourceText]]:
        """The texts that the changes edit, each as it is and as it becomes."""
        edited = edited_texts(edit for change in changes for edit in change.edits)
        return [(text, edited[text]) for text in self.texts.values() if text in edited]


def _real_classes(specification: Specification) -> dict[str, Type]:
    inputs = specification.program.inputs
    return {v.name: v.type for v in inputs if isinstance(v.type, RealClasses)}


class _Places:
    """Where the statements and expressions of programs are written."""

    def __init__(self, programs: Iterable[Program]) -> None:
        self._starts: dict[SourceText, set[int]] = {}
        for program in programs:
            for node in nodes_below(program.routine):
                span = getattr(node, "span", None)
                if isinstance(span, Span):
                    place = place_of(span)
                    self._starts.setdefault(place.source, set()).add(place.start)

    def within(self, span: Span) -> bool:
        place = place_of(span)
        starts = self._starts.get(place.source, ())
        return any(place.start <= start < place.end for start in starts)


def load_changeable_specs(path: Path, shown: str | None = None) -> tuple[ChangeableSpec, ...]:
    """The specs of a file; InputError with every error."""
    trees = parse_specifications(read_source(path, shown))
    texts: Texts = {}
    resolve_specifications(trees, path.parent, texts)
    return tuple(_changeable(tree, path.parent, texts) for tree in trees)


def _changeable(tree: SpecificationTree, folder: Path, texts: Texts) -> ChangeableSpec:
    return ChangeableSpec(tree, folder, texts, resolve_specification(tree, folder, None, texts))
