"""Variables at direct addresses: where they may be declared, and that they do not overlap."""

from __future__ import annotations

from checker.source import tree
from checker.source.diagnostic import Diagnostic, InputError
from checker.source.frame import Assembly
from checker.source.kinds import Array, Kind, Structure
from checker.source.locations import Place, overlapping, place_of
from checker.source.program import StandardBlock
from checker.source.types import BitString, Boolean, Integer


def located(
    assembly: Assembly,
    unit: tree.Unit,
    section: tree.Section,
    declaration: tree.Declaration,
    kind: Kind,
) -> Place | None:
    """Where the direct address lies; InputError where none may stand or it is taken."""
    address = declaration.address
    constant = any(qualifier.key == "CONSTANT" for qualifier in section.qualifiers)
    if address is None:
        return None
    block = isinstance(kind, StandardBlock | tree.Unit)
    if section.keyword not in ("VAR", "VAR_GLOBAL") or constant or block or (
        unit.kind is tree.UnitKind.FUNCTION
    ):  # fmt: skip
        raise InputError(
            Diagnostic(
                "misplaced-address",
                "a direct address stands at a variable of VAR or VAR_GLOBAL only",
                address.span,
                "remove it; VAR_INPUT and VAR_OUTPUT get their values from the caller",
            )
        )
    if len(declaration.names) > 1:
        raise InputError(
            Diagnostic(
                "misplaced-address",
                "several variables would have one address",
                address.span,
                "declare each with an address of its own",
            )
        )
    place = place_of(address, _width(kind))
    for other in assembly.places:
        if other.overlaps(place):
            raise overlapping(other, place)
    assembly.places.append(place)
    return place


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
