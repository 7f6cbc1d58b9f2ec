"""Variables that others may read and write between the scans: global ones, and those at addresses.

What the block never writes is an input, read anew at each scan. What it writes, and some other
unit of the files writes too, is read anew and written: it can be anything at the beginning of a
scan. What the block alone writes keeps its value, and that no one else (another file, a panel)
changes it is noted as left out.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass, field

from twohand.program import CallBlock, CallStandard, Role, Routine, Variable
from twohand.program.effects import written
from twohand.program.types import Subrange
from twohand.program.walks import nodes_below
from twohand.syntax import tree
from twohand.text.diagnostic import wrong
from twohand.typecheck.units.inheritance import Lineage
from twohand.typecheck.units.kinds import types_in, without_indices
from twohand.typecheck.variables.addresses import true_address
from twohand.typecheck.variables.instance_scope import (
    Entity,
    ProgramBuilder,
    Shared,
    SharedInstance,
    instances_in,
    variables_of,
)
from twohand.typecheck.variables.outside_calls import (
    calls,
    may_write,
    not_called,
    open_members,
    variables_written,
    written_by,
)


@dataclass(eq=False)
class Settled:
    """What the shared variables are to the block."""

    inputs: list[Variable] = field(default_factory=list)
    outputs: list[Variable] = field(default_factory=list)
    changed: set[Variable] = field(default_factory=set)


def share(
    assembly: ProgramBuilder, entity: Entity, name: tree.Identifier, address: str | None = None
) -> None:
    """Notes that others may change what was declared under this name."""
    variables = variables_of(entity)
    assembly.shared.extend(Shared(variable, name.key, address) for variable in variables)
    assembly.shared_instances.extend(
        SharedInstance(path, name.key, name.span) for path in instances_in(entity)
    )


def settle(assembly: ProgramBuilder, routine: Routine) -> Settled:
    """Decides for every shared variable; notes in the assembly what is taken for granted."""
    settled = Settled()
    lineage = assembly.resolving[0].lineage
    members = open_members(lineage)
    from_outside = _writes_from_outside(assembly, lineage)
    if not (assembly.shared or assembly.shared_instances or members or from_outside):
        return settled
    changed = set(written(routine))
    others = _Others(assembly, lineage, members, from_outside)
    _check_instances(assembly, routine, others)
    for shared in (*assembly.shared, *_own_written(assembly, lineage, others)):
        variable = shared.variable
        name = without_indices(variable.name)
        if shared.own and not others.write(shared):
            continue
        if variable not in changed:
            settled.inputs.append(variable)
            if shared.own:
                assembly.leave_out(_changes_of(name), variable.span)
            continue
        if variable.role is Role.OUTPUT:
            settled.outputs.append(variable)
        if others.write(shared):
            settled.inputs.append(variable)
            settled.changed.add(variable)
            assembly.leave_out(_changes_of(name), variable.span)
        else:
            where = f" at {shared.address}" if shared.address not in (None, name) else ""
            assembly.leave_out(
                f"changes of '{name}'{where} by anything but the block", variable.span
            )
    return settled


def _changes_of(name: str) -> str:
    return (
        f"what other units do to '{name}' between scans (it can have any value at the beginning of "
        "each)"
    )


def _writes_from_outside(assembly: ProgramBuilder, lineage: Lineage) -> frozenset[str]:
    """The block's own names but its inputs that others write by an instance of it or a pointer.
    InputError (``shared-instance``) where what is done with an instance's address is not seen."""
    top = assembly.resolving[0]
    units = lineage.units or (top.unit,)
    own = {name.key for unit in units for name in unit.declared()} - top.inputs.keys()
    found = assembly.others.writing([unit.name.key for unit in units], own)
    if found.addresses:
        message = (
            "the address of an instance of the block is taken here, so what is written through it "
            "between the scans is not known"
        )
        way = (
            f"keep it in a variable of type POINTER TO {top.unit.name.text}, or leave this "
            "unit out of SOURCE"
        )
        raise wrong("shared-instance", message, found.addresses[0], way)
    return found.members


def _own_written(assembly: ProgramBuilder, lineage: Lineage, others: _Others) -> Iterator[Shared]:
    """The block's own variables that other units write, or its members where other units call
    them; that no one else calls the others is noted."""
    top = assembly.resolving[0]
    known = {shared.variable for shared in assembly.shared}
    for name, variable in variables_written(top, others.own_written):
        if variable not in known:
            yield Shared(variable, name.key, own=True)
    own = [name.key for name in top.unit.declared()]
    granted = not_called(lineage, others.called, own)
    if granted:
        assembly.leave_out(granted, top.unit.name.span)


def _check_instances(assembly: ProgramBuilder, routine: Routine, others: _Others) -> None:
    """InputError for global instances that run elsewhere, or nowhere that is seen: what they do
    between the scans is not known."""
    called = {
        node.name if isinstance(node, CallBlock) else node.instance.name
        for node in nodes_below(routine)
        if isinstance(node, CallBlock | CallStandard)
    }
    for instance in assembly.shared_instances:
        elsewhere = others.name(instance.key)
        if not elsewhere and instance.path in called:
            assembly.leave_out(
                f"calls of '{instance.path}' by anything but the block", instance.span
            )
            continue
        where = "is used by another unit too" if elsewhere else "is not called by the block"
        message = (
            f"the global instance '{instance.path}' {where}, so what it does between the "
            "scans is not known"
        )
        way = "declare an instance of the block's own, or make its output a VAR_INPUT"
        raise wrong("shared-instance", message, instance.span, way)


class _Others:
    """The units of the files that are no part of the block."""

    def __init__(
        self,
        assembly: ProgramBuilder,
        lineage: Lineage,
        members: Collection[str],
        from_outside: Collection[str],
    ) -> None:
        asked = {*members}
        asked |= {each.key for each in assembly.shared}
        asked |= {each.key for each in assembly.shared_instances}
        asked |= {
            form
            for each in assembly.shared
            if each.address is not None
            for form in (true_address(each.address), each.address.replace("X", ""))
        }
        units = assembly.library.units.values()
        inside = [unit for unit in units if unit in assembly.units]
        writers = {unit.name.key: asked & set(may_write(unit)) for unit in inside}
        writers = {key: names for key, names in writers.items() if names}
        further, unread = assembly.others.naming(asked | set(writers))
        self._names: set[str] = set(assembly.library.uses) | unread
        self._addresses: set[str] = set(unread)
        outside = [unit for unit in (*units, *further) if unit not in assembly.units]
        elsewhere = set(unread)
        for unit in outside:
            elsewhere.update(may_write(unit))
            self._addresses.update(_addresses(unit))
        self._names |= elsewhere
        top = assembly.resolving[0].unit.name.key
        for key, names in writers.items():
            several = _uses(assembly, outside, key) > (1 if key == top else 0)
            if several or key in elsewhere:  # as a function is, or what cannot be read has it
                self._names.update(names)
        known = {unit.name.key: unit for unit in (*units, *further)}
        self.called = {
            key
            for key in members
            if key in unread or any(calls(unit, key, known, top) for unit in outside)
        }
        """The members of the block that one of them may call."""
        self.own_written = written_by(self.called, lineage) | {*from_outside}
        """Names of the block of which its members that others call, or others, may write."""
        self._names.update(self.own_written)

    def name(self, key: str) -> bool:
        """Whether one of them has the name where something is written or called."""
        return key in self._names

    def write(self, shared: Shared) -> bool:
        """Whether one of them may write the variable; rather too often than not."""
        address = shared.address and true_address(shared.address)
        return shared.key in self._names or address in self._addresses | self._names


def _uses(assembly: ProgramBuilder, outside: list[tree.Unit], key: str) -> int:
    """How many instances of a unit there are outside of the block; 2 for more than can be
    counted."""
    library = assembly.library
    count = library.uses.get(key, 0)
    elsewhere = [*library.type_nodes(), *library.globals.type_nodes(assembly.globals)]
    if key in types_in((*elsewhere,)):
        return 2
    for unit in outside:
        if unit.base is not None and unit.base.key == key:
            return 2
        for section in unit.sections:
            for declaration in section.declarations:
                if key in types_in(declaration.type):
                    plain = isinstance(declaration.type, tree.NamedType)
                    alone = unit.kind is tree.UnitKind.PROGRAM and plain
                    count += len(declaration.names) if alone else 2
    return count


def _addresses(unit: tree.Unit) -> Iterator[str]:
    for section in unit.sections:
        for declaration in section.declarations:
            if declaration.address is not None:
                yield true_address(declaration.address.text)


def note_subranges(assembly: ProgramBuilder, inputs: list[Variable]) -> None:
    """Notes that inputs of a subrange are taken to be in it."""
    for variable in inputs:
        if isinstance(variable.type, Subrange):
            assembly.leave_out(
                f"values of the input '{without_indices(variable.name)}' outside of "
                f"{variable.type.name}",
                variable.span,
            )
