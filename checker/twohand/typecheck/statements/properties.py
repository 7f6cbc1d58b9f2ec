"""Properties: read like a variable, assigned like a variable, by their GET and SET."""

from __future__ import annotations

from collections.abc import Sequence

from twohand.program import CallBlock, Statement
from twohand.program.types import Type
from twohand.syntax import tree
from twohand.text.diagnostic import wrong
from twohand.text.source_text import Span
from twohand.typecheck.expressions.widening import Result
from twohand.typecheck.statements.assignments import choose
from twohand.typecheck.statements.calls import CallingScope, call_routine
from twohand.typecheck.statements.member_calls import (
    MemberScope,
    check_access,
    instance_behind,
    method_frame,
    own_member,
    result_of,
    value_of,
)
from twohand.typecheck.units.inheritance import FoundMember
from twohand.typecheck.variables.access import Access
from twohand.typecheck.variables.instance_scope import BlockEntity, CodeKind, InstanceScope

Place = tuple[InstanceScope, FoundMember, tree.Property]
"""The instance, where the property is in its line of bases, and the property."""


class PropertyScope(MemberScope):
    """The scope of a body that knows properties too."""

    def resolve_name(self, name: tree.Name, expected: Type | None) -> Result:
        """The value of a property, or of a variable, constant or enumeration value."""
        read = _read(self, name)
        return super().resolve_name(name, expected) if read is None else read

    def resolve_path(self, path: tree.AccessPath, expected: Type | None) -> Result:
        """The value of a property of an instance in an array, or of an element or bit."""
        read = _read(self, path)
        return super().resolve_path(path, expected) if read is None else read


def _read(scope: CallingScope, name: tree.Name | tree.AccessPath) -> Result | None:
    """The value of a property; None where the name is none."""
    access, place = _property(scope, name)
    if place is None:
        return None
    if access is not None and access.dimensions:
        message = (
            f"the property '{name.text}' of an instance that is known only when the "
            "program runs is not read in an expression"
        )
        way = "choose the instance by IF or CASE, or make the property an output"
        raise wrong("unsupported-element-call", message, name.span, way)
    instance, found, prop = place
    if prop.get is None:
        message = f"the property '{prop.name.text}' has no GET"
        raise wrong("not-readable", message, name.span, "give it one: GET ... END_GET")
    frame = method_frame(scope, instance, found, prop.get, CodeKind.GET)
    call = tree.Call(tree.Name((prop.name,), name.span), (), name.span)
    read = call_routine(scope, call, frame, f"{instance.prefix}{prop.name.text}")
    return value_of((read, result_of(frame)), call)


def write_property(
    scope: CallingScope, name: tree.Name | tree.AccessPath, value: tree.Expression, span: Span
) -> Sequence[Statement] | None:
    """The assignment to a property; None where the name is none."""
    access, place = _property(scope, name)
    if place is None:
        return None
    if access is None:
        return [_write(scope, place, value, span)]

    def write(one: Access) -> Sequence[Statement]:
        _, own = _of(one, place[2].name)
        assert own is not None
        return [_write(scope, own, value, span)]

    return choose(access, write, span)


def _write(scope: CallingScope, place: Place, value: tree.Expression, span: Span) -> Statement:
    instance, found, prop = place
    if prop.set is None:
        message = f"the property '{prop.name.text}' has no SET"
        raise wrong("not-assignable", message, span, "give it one: SET ... END_SET")
    frame = method_frame(scope, instance, found, prop.set, CodeKind.SET)
    argument = tree.Argument(prop.name, value, value.span)
    call = tree.Call(tree.Name((prop.name,), span), (argument,), span)
    written = call_routine(scope, call, frame, f"{instance.prefix}{prop.name.text}")
    assert isinstance(written, CallBlock)
    return written


def _property(
    scope: CallingScope, name: tree.Name | tree.AccessPath
) -> tuple[Access | None, Place | None]:
    """The property of a name, and through which instance it is reached (None: the own one)."""
    if isinstance(name, tree.Name) and len(name.parts) == 1:
        found = own_member(scope, name) if scope.own(name) is None else None
        if found is None or not isinstance(found.member, tree.Property):
            return None, None
        return None, (scope.frame.instance, found, found.member)
    if isinstance(name, tree.Name) and not _is_instance(scope, name):
        return None, None
    behind = instance_behind(scope, name)
    return (None, None) if behind is None else _of(*behind)


def _is_instance(scope: CallingScope, name: tree.Name) -> bool:
    """Whether a name can lead to an instance: spares the walk for all others."""
    return bool(name.parts) and scope.begin(name)[0] is not None


def _of(access: Access, member: tree.Identifier) -> tuple[Access, Place | None]:
    entity = access.entity
    assert isinstance(entity, BlockEntity)
    found = entity.frame.lineage.find(member.key, 0)
    if found is None or not isinstance(found.member, tree.Property):
        return access, None
    check_access(found, member, entity.frame)
    return access, (entity.frame, found, found.member)
