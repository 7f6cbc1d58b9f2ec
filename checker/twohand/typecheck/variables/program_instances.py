"""PROGRAMs that others call or name: each is one instance for all (Ed. 2, 2.5.3, lets only a
resource run them; that programs call programs is common practice)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from twohand.syntax import tree
from twohand.typecheck.variables.declarations import declare_unit
from twohand.typecheck.variables.instance_scope import BlockEntity, ProgramBuilder, SharedInstance


def program_instance(assembly: ProgramBuilder, name: tree.Identifier) -> BlockEntity | None:
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


def task_programs(files: Iterable[tree.SourceFile]) -> set[str]:
    """The names of the programs that configurations run."""
    uses: Iterator[tree.ProgramUse] = (
        use for file in files for part in file.configurations for use in part.programs
    )
    return {use.type.key for use in uses}
