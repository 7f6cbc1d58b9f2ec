"""Calls of methods and actions, and of the base's body."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from twohand import program
from twohand.program import CallBlock, CallFunction
from twohand.program.types import Type
from twohand.syntax import tree
from twohand.text.diagnostic import InputError, wrong
from twohand.text.source_text import Span
from twohand.typecheck.expressions.names import unknown_name
from twohand.typecheck.expressions.widening import Result
from twohand.typecheck.statements.calls import (
    CallingScope,
    call_routine,
    routine_of,
    value_of_call,
    without_value,
)
from twohand.typecheck.units.inheritance import FoundMember, modifiers
from twohand.typecheck.variables.access import Access
from twohand.typecheck.variables.declarations import declare_frame
from twohand.typecheck.variables.instance_scope import BlockEntity, CodeKind, Entity, InstanceScope
from twohand.typecheck.variables.member_scopes import IN_CALL, code_frame, no_base

Called = tuple[CallFunction | CallBlock, Entity | None]
"""A call and what it is read from; None where it gives no value."""


class MemberScope(CallingScope):
    """The scope of a body that knows its block's methods and actions, and those of instances."""

    def resolve_call(self, call: tree.Call, expected: Type | None) -> Result | None:
        """A call of a method, or of a user's function."""
        called = member_call(self, call)
        if called is None:
            return super().resolve_call(call, expected)
        return value_of(called, call)


def run(called: CallFunction | CallBlock) -> program.Statement:
    """A call as a statement, whose value is dropped."""
    return program.Evaluate(called, called.span) if isinstance(called, CallFunction) else called


def value_of(called: Called, call: tree.Call) -> Result:
    """What a call is read as; InputError where it gives no value, or several."""
    function, result = called
    if isinstance(function, CallBlock) or result is None:
        raise without_value(call)
    return value_of_call(function, result, call.name.text)


def member_call(scope: CallingScope, call: tree.Call) -> Called | None:
    """The call of a method or action, or of the base's body; None for any other name.

    InputError where the member is unknown, hidden, abstract, or no method or action."""
    name = call.name
    if not name.parts:
        return _call_base(scope, call), None
    if len(name.parts) > 1:
        behind = instance_behind(scope, name)
        return None if behind is None else call_of_instance(scope, *behind, call)
    (last,) = name.parts
    variable = scope.own(name)
    if variable is not None and variable is not result_of(scope.frame):
        return None
    instance = scope.frame.instance
    found = own_member(scope, name)
    if found is None:
        if name.owner is not None:
            raise unknown_name(last, instance.lineage.member_names(), "method or action")
        return None
    return _call(scope, instance, found, call, inside=True)


def instance_behind(
    scope: CallingScope, node: tree.Name | tree.AccessPath
) -> tuple[Access, tree.Identifier] | None:
    """Of ``inst.m`` or ``list[i].m`` the instance, or one of several, and the member's name; None
    where the name is of another form."""
    name = node.name if isinstance(node, tree.AccessPath) else node
    selectors = node.selectors if isinstance(node, tree.AccessPath) else name.parts
    member = selectors[-1]
    if not isinstance(member, tree.Identifier) or (node is name and len(selectors) < 2):
        return None
    owner: tree.Name | tree.AccessPath
    if isinstance(node, tree.AccessPath):
        owner = replace(node, selectors=node.selectors[:-1])
    else:
        owner = replace(node, parts=node.parts[:-1])
    try:
        access = scope.access(owner)
    except InputError:
        return None  # reported where the whole name is read
    return (access, member) if isinstance(access.entity, BlockEntity) else None


def call_of_instance(
    scope: CallingScope, access: Access, member: tree.Identifier, call: tree.Call
) -> Called:
    """``inst.m(...)``."""
    entity = access.entity
    assert isinstance(entity, BlockEntity)
    frame = entity.frame
    found = frame.lineage.find(member.key, 0)
    if found is None:
        names = frame.lineage.member_names()
        if member.key in frame.entities:
            message = f"'{member.text}' is an inner block of '{entity.name}', which alone calls it"
            way = f"call the instance itself, or give it a method for this: {entity.name}(...)"
            raise wrong("hidden-member", message, member.span, way)
        raise unknown_name(member, names, "method or action", "unknown-member",
                           f"'{frame.unit.name.text}'")  # fmt: skip
    check_access(found, member, frame)
    return _call(scope, frame, found, call, inside=False)


def own_member(scope: CallingScope, name: tree.Name) -> FoundMember | None:
    """The member that a plain name, or one behind THIS or SUPER, means where it is."""
    frame = scope.frame
    lineage = frame.instance.lineage
    key = name.parts[0].key
    if name.owner is not None and name.owner.key == "SUPER":
        return lineage.find(key, frame.level + 1)
    return lineage.called(key, frame.level)


def check_access(found: FoundMember, member: tree.Identifier, frame: InstanceScope) -> None:
    """InputError for a member that only its own block uses."""
    hidden = modifiers(found.member) & {"PRIVATE", "PROTECTED"}
    if hidden:
        message = f"'{member.text}' is {sorted(hidden)[0]} in '{frame.unit.name.text}'"
        way = "call it from within the block, or make it PUBLIC"
        raise wrong("hidden-member", message, member.span, way)


def _call(
    scope: CallingScope, instance: InstanceScope, found: FoundMember, call: tree.Call, inside: bool
) -> Called:
    member = found.member
    match member:
        case tree.Method():
            frame = method_frame(scope, instance, found, member, CodeKind.METHOD)
            called = call_routine(scope, call, frame, f"{instance.prefix}{member.name.text}")
            return called, result_of(frame)
        case tree.Action():
            return _call_action(scope, instance, found, call, inside), None
    message = f"'{member.name.text}' is a property, which is not called"
    way = "read it like a variable, or assign to it"
    raise wrong("not-callable", message, call.name.span, way)


def result_of(frame: InstanceScope) -> Entity | None:
    """What a method's name means in it: its value; None where it has none."""
    return None if frame.result is None else frame.entities[frame.unit.name.key]


def method_frame(
    scope: CallingScope,
    instance: InstanceScope,
    found: FoundMember,
    method: tree.Method,
    kind: CodeKind,
) -> InstanceScope:
    """The one frame of a method, or of a property's accessor, of one instance."""
    if "ABSTRACT" in modifiers(method):
        base = instance.lineage.units[found.level]
        own = instance.unit.name
        message = (
            f"'{method.name.text}' is ABSTRACT in '{base.name.text}', and '{own.text}' has no "
            "statements for it"
        )
        declared = ((method.name.span, "declared here"),)
        raise wrong("abstract-method", message, own.span, f"write it in '{own.text}'", declared)
    return code_frame(
        instance, kind, found.level, method, lambda frame: declare_frame(scope.assembly, frame)
    )


def _call_action(
    scope: CallingScope, instance: InstanceScope, found: FoundMember, call: tree.Call, inside: bool
) -> CallBlock:
    assert isinstance(found.member, tree.Action)
    for place in _given(call):
        message = f"'{call.name.text}' is an action, which takes no arguments"
        way = "remove them, or make it a METHOD"
        raise wrong("argument-count", message, place, way)
    within = inside and scope.frame.kind in IN_CALL
    kind = CodeKind.ACTION if within else CodeKind.ACTION_FROM_OUTSIDE
    frame = code_frame(instance, kind, found.level, found.member)
    return _call_code(scope, frame, call)


def _given(call: tree.Call) -> list[Span]:
    """Where it is given something, or an empty place for that."""
    return [each.span for each in call.arguments] + [each.span for each in call.unconnected]


def _call_base(scope: CallingScope, call: tree.Call) -> CallBlock:
    """``SUPER^()``."""
    owner = call.name.owner
    assert owner is not None
    if owner.key == "THIS":
        raise wrong("recursion", "a block cannot call itself", owner.span,
                     "a PLC program has no recursion; use a loop")  # fmt: skip
    for place in _given(call):
        raise wrong("argument-count", "the base's body takes no arguments here", place,
                     "its inputs are inputs of this block already; assign no others")  # fmt: skip
    frame = scope.frame
    instance, level = frame.instance, frame.level + 1
    if level >= len(instance.lineage.units):
        raise no_base(frame, owner)
    within = frame.kind in IN_CALL
    kind = CodeKind.BODY if within else CodeKind.BODY_FROM_METHOD
    return _call_code(scope, code_frame(instance, kind, level, instance.lineage.units[level]), call)


def _call_code(scope: CallingScope, frame: InstanceScope, call: tree.Call) -> CallBlock:
    """Statements of the block itself, in which its in-out parameters are what they are here."""
    bindings: Mapping[str, Entity] = scope.bindings if frame.in_outs else {}
    named = tree.Name((frame.unit.name,), call.name.span)
    place = call.name if call.name.parts else named
    routine = routine_of(scope.assembly, frame, bindings, place)
    return CallBlock(f"{frame.instance.prefix}{frame.unit.name.text}", (), routine, (), call.span)
