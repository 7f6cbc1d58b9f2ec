"""Variables at direct addresses: where they may be declared, and that they do not overlap."""

from __future__ import annotations

from twohand.program import Role, StandardBlock, Variable
from twohand.program.types import BOOL, BYTE, DWORD, LWORD, WORD, BitString, Boolean, Integer, Type
from twohand.syntax import tree
from twohand.text.diagnostic import wrong
from twohand.typecheck.units.kinds import Array, Kind, Structure
from twohand.typecheck.variables.addresses import (
    Place,
    counted_in_words,
    overlapping,
    place_of,
    size_of,
    true_address,
)
from twohand.typecheck.variables.instance_scope import (
    Entity,
    ProgramBuilder,
    Shared,
    VariableEntity,
)


def located(
    assembly: ProgramBuilder,
    unit: tree.Unit,
    section: tree.Section,
    declaration: tree.Declaration,
    kind: Kind,
) -> Place | None:
    """Where the direct address lies; InputError where none may be or it is taken."""
    address = declaration.address
    if address is None:
        return None
    block = isinstance(kind, StandardBlock | tree.Unit)
    in_function = unit.kind is tree.UnitKind.FUNCTION
    plain = section.keyword in ("VAR", "VAR_GLOBAL") and not section.constant
    if not plain or block or in_function:
        message = "a direct address belongs to a variable of VAR or VAR_GLOBAL only"
        way = "remove it; VAR_INPUT and VAR_OUTPUT get their values from the caller"
        raise wrong("misplaced-address", message, address.span, way)
    if len(declaration.names) > 1:
        message = "several variables would have one address"
        way = "declare each with an address of its own"
        raise wrong("misplaced-address", message, address.span, way)
    return _claimed(assembly, address, _width(kind))


def _claimed(assembly: ProgramBuilder, address: tree.Address, width: int) -> Place:
    """The place, from now on taken; InputError where it is already."""
    place = place_of(address, width)
    for other in assembly.places:
        if not other.overlaps(place):
            continue
        if not other.may_be_apart(place):
            raise overlapping(other, place)
        assembly.warnings.append(counted_in_words(other, place))
    assembly.places.append(place)
    return place


_BY_SIZE: dict[str, Type] = {"X": BOOL, "B": BYTE, "W": WORD, "D": DWORD, "L": LWORD}


def direct(assembly: ProgramBuilder, name: tree.Identifier) -> Entity:
    """The variable of a direct address that is in a body: the one declared there, else one of
    its own whose type is that of the address's size. InputError for an address left open."""
    address = true_address(name.key)
    known = assembly.located.get(address)
    if known is not None:
        return known
    size = size_of(name.key)
    if size is None:
        message = f"'{name.text}' is no direct address that can be read or written"
        raise wrong("malformed-address", message, name.span, "write for instance %IX0.3 or %QW4")
    kind = _BY_SIZE[size]
    place = _claimed(assembly, tree.Address(address, name.span), _width(kind))
    initial = False if size == "X" else 0
    path = f"{assembly.prefix}{address}"
    variable = Variable(path, kind, place.role, initial, name.span)
    entity = VariableEntity(assembly.add_variable(variable), place.role)
    if place.role is Role.INPUT:
        assembly.located_inputs.append(variable)
    else:
        assembly.shared.append(Shared(variable, address, address))
    assembly.located[address] = entity
    return entity


def _width(kind: Kind) -> int:
    """Bits that something of this kind takes, at least."""
    match kind:
        case Boolean():
            return 1
        case Integer() | BitString():
            return kind.bits
        case Array():
            return kind.count * _width(kind.element)
        case Structure():
            return sum(_width(member.kind) for member in kind.members.values())
    return 16
