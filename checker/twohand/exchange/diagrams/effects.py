"""What the elements of a diagram read and write, and what the diagram's unit declares."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from twohand.exchange.diagrams.operands import Way
from twohand.files.xml_element import XmlElement

_OWN = ("Vars", "TempVars", "InputVars", "OutputVars")
_SECTIONS = (*_OWN, "InoutVars", "ExternalVars")


class Callees:
    """What is known of the units that a diagram calls; here nothing."""

    def confined(self, name: str) -> bool:
        """Whether what is called by this name, in upper case, has no variable but its own and
        those that are passed to it."""
        return False

    def type_of(self, unit: str, pin: str) -> str | None:
        """The name of the type of a unit's output, or, under its own name, of a function's value;
        both in upper case."""
        return None


@dataclass(frozen=True)
class UnitVariables:
    """The variables of a unit, by name in upper case.

    ``own``: only the unit itself, and what it passes them to, can change them. ``in_outs`` may
    mean any other variable; ``addresses`` are those of variables that have one. ``types``: the
    names of types, where a type has one. ``members``: the unit's actions and methods.
    ``callees``: what is known of what it calls."""

    own: frozenset[str] = frozenset()
    in_outs: frozenset[str] = frozenset()
    addresses: Mapping[str, str] = field(default_factory=dict)
    types: Mapping[str, str] = field(default_factory=dict)
    members: frozenset[str] = frozenset()
    callees: Callees = field(default_factory=Callees)

    def confined(self, name: str) -> bool:
        return self.callees.confined(name)

    def same(self, one: Way, other: Way) -> bool:
        """Whether writing one may change the other."""
        if one[0] in self.own and other[0] in self.own:
            length = min(len(one), len(other))
            return one[:length] == other[:length]
        if one[0] in self.own or other[0] in self.own:
            return False
        if one[0] in self.in_outs or other[0] in self.in_outs:
            return True
        places = self._address(one), self._address(other)
        if places[0] and places[1]:
            return _overlap(*places)
        if places[0] or places[1]:
            return True  # the other one may be a global variable of this address
        return not set(one).isdisjoint(other)  # a global variable may be named with its list

    def _address(self, way: Way) -> str:
        return way[0] if way[0].startswith("%") else self.addresses.get(way[0], "")

    def group_of(self, way: Way) -> str:
        """What two ways that may be the same have in common."""
        return way[0] if way[0] in self.own else ""

    def type_of(self, way: Way) -> str | None:
        """The type of a variable, if the unit declares it and the type has a name."""
        return self.types.get(way[0]) or None if len(way) == 1 else None


@dataclass(frozen=True)
class Touched:
    """``foreign``: it runs what the user wrote elsewhere, which may read and write all variables
    that are not the unit's own; ``inside``: what is in the unit itself, which may those,
    too."""

    reads: frozenset[Way] = frozenset()
    writes: frozenset[Way] = frozenset()
    foreign: bool = False
    inside: bool = False

    @property
    def changes(self) -> bool:
        """Whether anything may be different behind it."""
        return bool(self.writes) or self.foreign or self.inside

    def meets(self, other: Touched, known: UnitVariables) -> bool:
        """Whether what this one calls may read or write what the other one does."""
        ways = other.reads | other.writes
        if other.foreign or other.inside:
            return True
        return any(self.inside or way[0] not in known.own for way in ways)


def changed_by(reads: Iterable[Way], touched: Touched, known: UnitVariables) -> Way | None:
    """One of the variables that are read, if what is ``touched`` may change it."""
    for way in reads:
        if touched.inside or (touched.foreign and way[0] not in known.own):
            return way
        if any(known.same(way, written) for written in touched.writes):
            return way
    return None


def _overlap(one: str, other: str) -> bool:
    """Whether two addresses may have a bit in common: two single bits have not, nor have two areas
    (``%I``, ``%Q``, ``%M``)."""
    bits = all(re.fullmatch(r"%[IQM]X?[0-9.]+", each) for each in (one, other))
    if bits:
        return one.replace("X", "") == other.replace("X", "")
    return one[:2] == other[:2]


def surroundings_of(*owners: XmlElement, callees: Callees | None = None) -> UnitVariables:
    """The variables that elements FunctionBlock, Program, Function or Method declare; those of a
    later one hide those of an earlier one."""
    own: set[str] = set()
    in_outs: set[str] = set()
    addresses: dict[str, str] = {}
    types: dict[str, str] = {}
    for owner in owners:
        for section in _sections(owner):
            for variable in section.all("Variable"):
                name = variable.attributes.get("name", "").upper()
                types[name] = _type_name(variable)
                addresses[name] = _address_of(variable)
                passed = section.name == "InoutVars"
                (in_outs.add if passed else in_outs.discard)(name)
                inside = section.name in _OWN and not addresses[name]
                (own.add if inside else own.discard)(name)
        if owner.name == "Function":
            own.add(owner.attributes.get("name", "").upper())
    members = frozenset(each.attributes.get("name", "").upper() for each in members_of(owners[0]))
    return UnitVariables(
        frozenset(own), frozenset(in_outs), addresses, types, members, callees or Callees()
    )


def members_of(unit: XmlElement) -> Iterator[XmlElement]:
    """The actions and methods of a unit."""
    return unit.all("Action", "Method")


def _address_of(variable: XmlElement) -> str:
    found = variable.first("Address")
    return found.attributes.get("address", "%").upper() if found is not None else ""


def _sections(owner: XmlElement) -> Iterator[XmlElement]:
    for part in owner.children:
        if part.name == "Parameters":
            yield from part.all(*_SECTIONS)
        elif part.name in _SECTIONS:
            yield part


def _type_name(variable: XmlElement) -> str:
    """The name of a variable's type; '' where the type is spelt out."""
    kind = variable.first("Type")
    named = kind.first("TypeName") if kind is not None else None
    return named.text.strip() if named is not None else ""
