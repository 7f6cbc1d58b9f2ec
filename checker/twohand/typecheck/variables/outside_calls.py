"""Methods, actions and properties of the checked block that other units of the files call between
its scans: what they may write is written by others."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from twohand.program import Role, Variable
from twohand.program.walks import nodes_below
from twohand.syntax import tree
from twohand.text.diagnostic import wrong
from twohand.typecheck.units.inheritance import Lineage, modifiers
from twohand.typecheck.variables.addresses import true_address
from twohand.typecheck.variables.instance_scope import (
    Entity,
    InstanceScope,
    instances_in,
    variables_of,
)

_OF_THE_BLOCK = {"PRIVATE", "PROTECTED"}
_SHOWN = 3


def open_members(lineage: Lineage) -> dict[str, str]:
    """The members of a block and its bases that others may call: by name in upper case, the name
    as it is written."""
    found: dict[str, str] = {}
    for unit in lineage.units:
        for member in unit.members:
            if not modifiers(member) & _OF_THE_BLOCK:
                found.setdefault(member.name.key, member.name.text)
        for unread in unit.unread:
            found.setdefault(unread.name.key, unread.name.text)
    return found


def written_by(called: Iterable[str], lineage: Lineage) -> set[str]:
    """Every part of every name that some members may write, with all members that they name."""
    written: set[str] = set()
    waiting, seen = list(called), set[str]()
    members = [member for unit in lineage.units for member in unit.members]
    unread = [member for unit in lineage.units for member in unit.unread]
    while waiting:
        key = waiting.pop()
        if key in seen:
            continue
        seen.add(key)
        for each in (u for u in unread if u.name.key == key):
            written |= set(may_write(each))
            waiting.extend(each.names)
        for member in (m for m in members if m.name.key == key):
            for part in _codes(member):
                own = set() if isinstance(part, tree.Action) else _declared(part)
                written |= set(may_write(part)) - own
                waiting.extend(n.key for n in nodes_below(part) if isinstance(n, tree.Identifier))
    return written


def _codes(member: tree.Member) -> Iterator[tree.Method | tree.Action]:
    if isinstance(member, tree.Property):
        yield from (way for way in (member.get, member.set) if way is not None)
    else:
        yield member


def _declared(method: tree.Method) -> set[str]:
    names = (d.names for section in method.sections for d in section.declarations)
    return {name.key for some in names for name in some} | {method.name.key}


def calls(unit: tree.Unit, key: str, units: Mapping[str, tree.Unit], top: str) -> bool:
    """Whether a unit may name the member ``key`` of an instance of the block ``top``; rather too
    often than not. ``units`` are those that are known."""
    declared = {
        name.key: declaration.type
        for section in unit.sections
        for declaration in section.declarations
        for name in declaration.names
    }
    if any(key in member.names for member in unit.unread):
        return True
    for node in nodes_below((unit.body, unit.members)):
        match node:
            case tree.Name(parts=(first, *further)) if any(part.key == key for part in further):
                kind = declared.get(first.key) if len(further) == 1 else None
                if kind is None or _may_be(kind, units, top):
                    return True
            case tree.AccessPath(selectors=selectors):
                if any(isinstance(s, tree.Identifier) and s.key == key for s in selectors):
                    return True
    return False


def _may_be(kind: tree.TypeNode, units: Mapping[str, tree.Unit], top: str) -> bool:
    """Whether a variable of this type may be an instance of the block, or of one that extends
    it."""
    if not isinstance(kind, tree.NamedType):
        return True
    name: tree.Identifier | None = kind.name
    seen: set[str] = set()
    while name is not None and name.key not in seen:
        unit = units.get(name.key)
        if name.key == top or unit is None:
            return True
        seen.add(name.key)
        name = unit.base
    return False


def variables_written(
    frame: InstanceScope, keys: set[str]
) -> Iterator[tuple[tree.Identifier, Variable]]:
    """The variables of the block of these names, but its inputs. InputError (``shared-instance``)
    where one is an instance, which would run between the scans."""
    for name in frame.unit.declared():
        entity: Entity | None = frame.entities.get(name.key)
        if name.key not in keys or entity is None:
            continue
        if next(instances_in(entity), None) is not None:
            message = (
                f"'{name.text}' is used from outside of the block, by what another unit calls or "
                "writes, so what it does between the scans is not known"
            )
            way = "do it in the block itself, or leave the other unit out of SOURCE"
            raise wrong("shared-instance", message, name.span, way)
        for variable in variables_of(entity):
            if variable.role not in (Role.INPUT, Role.IN_OUT):
                yield name, variable


def not_called(lineage: Lineage, called: set[str], own: Iterable[str]) -> str:
    """What is taken for granted of the members that no other unit calls, and that may write one of
    the variables ``own``; '' for nothing."""
    names = [
        name
        for key, name in open_members(lineage).items()
        if key not in called and not written_by([key], lineage).isdisjoint(own)
    ]
    if not names:
        return ""
    shown = ", ".join(f"'{name}'" for name in names[:_SHOWN])
    more = f" and {len(names) - _SHOWN} more" if len(names) > _SHOWN else ""
    return f"calls of {shown}{more} by anything but the block"


def may_write(root: object) -> Iterator[str]:
    """Every part of every name that occurs where something is written: left of an assignment, as
    a loop's variable, among the arguments of a call, or as what is called."""
    for node in nodes_below(root):
        match node:
            case tree.Assign(target=target) | tree.SetAssign(target=target):
                yield from _keys(target)
            case tree.For(variable=variable):
                yield from _keys(variable)
            case tree.Argument(value=value):
                yield from _keys(value)
            case tree.Call(name=name):
                yield from _keys(name)
            case tree.PathCall(path=path):
                yield from _keys(path)
            case tree.UnreadMember(names=names):
                yield from map(true_address, names)


def _keys(node: tree.Expression) -> Iterator[str]:
    name = node.name if isinstance(node, tree.AccessPath) else node
    if isinstance(name, tree.Name):
        yield from (true_address(part.key) for part in name.parts[:2])
