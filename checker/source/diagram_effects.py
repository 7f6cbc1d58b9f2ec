"""What the elements of a diagram read and write, and what the diagram's unit declares."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from checker.source.diagram_operands import Way
from checker.source.markup import Element

_OWN = ("Vars", "TempVars", "InputVars", "OutputVars")
_SECTIONS = (*_OWN, "InoutVars", "ExternalVars")


@dataclass(frozen=True)
class Surroundings:
    """The variables of a unit, by name in upper case.

    ``own``: only the unit itself, and what it passes them to, can change them. ``shifting``: other
    names may stand for the same variable (in-out parameters, variables with an address).
    ``types``: the names of types, where a type has one."""

    own: frozenset[str] = frozenset()
    shifting: frozenset[str] = frozenset()
    types: dict[str, str] = field(default_factory=dict)

    def same(self, one: Way, other: Way) -> bool:
        """Whether writing one may change the other."""
        if one[0] in self.own and other[0] in self.own:
            length = min(len(one), len(other))
            return one[:length] == other[:length]
        if one[0] in self.own or other[0] in self.own:
            return False
        if self._shifts(one) or self._shifts(other):
            return True
        return not set(one).isdisjoint(other)  # a global variable may be named with its list

    def group_of(self, way: Way) -> str:
        """What two ways that may be the same have in common."""
        return way[0] if way[0] in self.own else ""

    def _shifts(self, way: Way) -> bool:
        return way[0] in self.shifting or way[0].startswith("%")

    def type_of(self, way: Way) -> str | None:
        """The type of a variable, if the unit declares it and the type has a name."""
        return self.types.get(way[0]) or None if len(way) == 1 else None


@dataclass(frozen=True)
class Touched:
    """``foreign``: it runs what the user wrote elsewhere, which may read and write all variables
    that are not the unit's own."""

    reads: frozenset[Way] = frozenset()
    writes: frozenset[Way] = frozenset()
    foreign: bool = False


def changed_by(reads: Iterable[Way], touched: Touched, known: Surroundings) -> Way | None:
    """One of the variables that are read, if what is ``touched`` may change it."""
    for way in reads:
        if touched.foreign and way[0] not in known.own:
            return way
        if any(known.same(way, written) for written in touched.writes):
            return way
    return None


def surroundings_of(*owners: Element) -> Surroundings:
    """The variables that elements FunctionBlock, Program, Function or Method declare; those of a
    later one hide those of an earlier one."""
    own: set[str] = set()
    shifting: set[str] = set()
    types: dict[str, str] = {}
    for owner in owners:
        for section in _sections(owner):
            for variable in section.all("Variable"):
                name = variable.attributes.get("name", "").upper()
                types[name] = _type_name(variable)
                shifts = section.name == "InoutVars" or variable.first("Address") is not None
                for names, belongs in (
                    (shifting, shifts),
                    (own, not shifts and section.name in _OWN),
                ):
                    (names.add if belongs else names.discard)(name)
        if owner.name == "Function":
            own.add(owner.attributes.get("name", "").upper())
    return Surroundings(frozenset(own), frozenset(shifting), types)


def _sections(owner: Element) -> Iterator[Element]:
    for part in owner.children:
        if part.name == "Parameters":
            yield from part.all(*_SECTIONS)
        elif part.name in _SECTIONS:
            yield part


def _type_name(variable: Element) -> str:
    """The name of a variable's type; '' where the type is spelt out."""
    kind = variable.first("Type")
    named = kind.first("TypeName") if kind is not None else None
    return named.text.strip() if named is not None else ""
