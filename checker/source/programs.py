"""PROGRAMs that others call or name: each is one instance for all (Ed. 2, 2.5.3, lets only a
resource run them; that programs call programs is common practice)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from checker.source import tree, unit_tree
from checker.source.bases import nodes_below
from checker.source.declarations import declare_unit
from checker.source.frame import Assembly, BlockEntity, SharedInstance


def program_instance(assembly: Assembly, name: tree.Identifier) -> BlockEntity | None:
    """The one instance of the PROGRAM of this name; None where there is none, or where it is the
    one that is checked."""
    unit = assembly.library.units.get(name.key)
    if unit is None or unit.kind is not tree.UnitKind.PROGRAM or unit is assembly.top:
        return None
    entity = assembly.programs.get(name.key)
    if entity is None:
        path = assembly.global_path(unit.name.text, "PROGRAM")
        assembly.add_body(name.span)
        entity = BlockEntity(path, declare_unit(assembly, unit, f"{path}."))
        assembly.programs[name.key] = entity
        assembly.shared_instances.append(SharedInstance(path, name.key, name.span))
    return entity


def candidates(units: Iterable[tree.Unit]) -> list[tree.Unit]:
    """The blocks and programs that no other one instantiates, extends or calls; all of them where
    that leaves none."""
    blocks = [unit for unit in units if unit.kind is not tree.UnitKind.FUNCTION]
    used: set[str] = set()
    for unit in blocks:
        named = set(_named(unit.sections)) | set(_called(unit))
        used |= named - {unit.name.key}
        if unit.base is not None:
            used.add(unit.base.key)
    return [unit for unit in blocks if unit.name.key not in used] or blocks


def _named(root: object) -> Iterator[str]:
    return (node.name.key for node in nodes_below(root) if isinstance(node, tree.NamedType))


def _called(unit: tree.Unit) -> Iterator[str]:
    """The names that begin what is called."""
    for node in nodes_below((unit.body, unit.members)):
        if isinstance(node, tree.Call) and node.name.parts:
            yield node.name.parts[0].key


def task_programs(files: Iterable[tree.SourceFile]) -> set[str]:
    """The names of the programs that configurations run."""
    uses: Iterator[unit_tree.ProgramUse] = (
        use for file in files for part in file.configurations for use in part.programs
    )
    return {use.type.key for use in uses}
