"""Inputs whose name means something else in the body than what the caller gives.

With R_EDGE or F_EDGE: the output of a hidden trigger, which is called at every call of the block
(IEC 61131-3 Ed. 2, 2.5.2.2). One that the block assigns, which the standard does not allow: a copy,
made at every call. Whether the caller's value is there again at the next call or only where it is
given again is left open: what that could decide is refused.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache

from twohand.program import Assign, CallStandard, Read, Role, StandardBlock, Statement, Variable
from twohand.program.types import BOOL
from twohand.program.walks import nodes_below
from twohand.syntax import tree
from twohand.text.diagnostic import Diagnostic, InputError, Severity, wrong
from twohand.text.source_text import Span
from twohand.typecheck.variables.instance_scope import (
    Entity,
    InstanceScope,
    ProgramBuilder,
    VariableEntity,
)

_TRIGGERS = {"R_EDGE": StandardBlock.R_TRIG, "F_EDGE": StandardBlock.F_TRIG}


def edge_input(
    assembly: ProgramBuilder,
    frame: InstanceScope,
    section: tree.Section,
    name: tree.Identifier,
    edge: tree.Identifier,
    entity: Entity,
) -> Entity:
    """What the input's name means in the body: the output of its trigger."""
    is_input = section.keyword == "VAR_INPUT" and frame.unit.kind is not tree.UnitKind.FUNCTION
    variable = entity.variable if isinstance(entity, VariableEntity) else None
    if not is_input or variable is None or variable.type != BOOL:
        message = f"{edge.key} belongs to a BOOL input of a block or program only"
        raise wrong("misplaced-edge", message, edge.span, "remove it, and call an R_TRIG or F_TRIG")
    block = _TRIGGERS[edge.key]
    path = f"{variable.name}.{edge.key}"  # a keyword, which no variable is called
    instance = assembly.add_standard(path, block, name.span, variable.retain, {})
    frame.edges[name.key] = (variable, instance)
    return VariableEntity(instance.pins["Q"], Role.INPUT)


@lru_cache(maxsize=64)
def _assigned_names(units: tuple[tree.Unit, ...]) -> frozenset[str]:
    """The names that bodies and actions assign, in upper case; what a call with an in-out
    parameter may assign is not among them."""
    found: set[str] = set()
    for unit in units:
        actions = [member.body for member in unit.members if isinstance(member, tree.Action)]
        for target in _targets((unit.body, *actions)):
            name = target.name if isinstance(target, tree.AccessPath) else target
            if name.parts:
                found.add(name.parts[0].key)
    return frozenset(found)


def _targets(bodies: tuple[object, ...]) -> Iterator[tree.Name | tree.AccessPath]:
    for node in nodes_below(bodies):
        if isinstance(node, tree.Assign | tree.SetAssign):
            yield node.target
        elif isinstance(node, tree.For):
            yield node.variable
        elif isinstance(node, tree.Argument) and node.output:
            assert isinstance(node.value, tree.Name | tree.AccessPath)
            yield node.value


def copied_input(
    assembly: ProgramBuilder,
    frame: InstanceScope,
    section: tree.Section,
    name: tree.Identifier,
    entity: Entity,
) -> Entity:
    """What the name means in the body: of an elementary input that the block assigns its copy,
    else the entity itself."""
    fixed = any(qualifier.key == "CONSTANT" for qualifier in section.qualifiers)
    plain = section.keyword == "VAR_INPUT" and not fixed
    if not plain or not isinstance(entity, VariableEntity) or entity.role is not Role.INPUT:
        return entity
    if name.key not in _assigned_names(frame.lineage.units or (frame.unit,)):
        return entity
    variable = entity.variable
    path = f"{variable.name}.copy"  # nothing else: an elementary variable has no members
    copy = assembly.add_variable(
        Variable(path, variable.type, Role.LOCAL, variable.initial, name.span, variable.retain)
    )
    if frame.unit.kind is tree.UnitKind.FUNCTION:
        frame.temporaries.append(copy)
    frame.copies[name.key] = (variable, copy)
    message = f"'{name.text}' is an input, and '{frame.unit.name.text}' assigns it"
    way = (
        "copy it to a VAR; it is read as a copy that takes the caller's value at each call, and a "
        "requirement that names it means the caller's value"
    )
    told = Diagnostic("assigned-input", message, name.span, way, severity=Severity.WARNING)
    if all(each.span != name.span for each in assembly.warnings):
        assembly.warnings.append(told)
    return VariableEntity(copy, Role.LOCAL)


def check_copies_given(frame: InstanceScope, given: Iterable[Variable], place: Span) -> None:
    """InputError (``input-left-assigned``) for a call that leaves out an input that the block
    assigns."""
    known = set(given)
    for variable, copy in frame.copies.values():
        if variable not in known:
            name = _own_name(frame, copy)
            raise _left_open(
                name, frame, place, "this call leaves it out", f"give it a value: {name} := ..."
            )


def check_not_copied(frame: InstanceScope, member: tree.Identifier) -> None:
    """InputError (``input-left-assigned``) where an input that the block assigns is named from
    outside."""
    if member.key in frame.copies:
        way = "give it in the call, and read what was given"
        raise _left_open(member.text, frame, member.span, "this names it outside of its calls", way)


def _left_open(name: str, frame: InstanceScope, place: Span, what: str, way: str) -> InputError:
    message = (
        f"'{frame.unit.name.text}' assigns its input '{name}', and {what}: platforms differ in "
        "whether it is what the block left or what the caller gave"
    )
    return wrong("input-left-assigned", message, place, way)


def _own_name(frame: InstanceScope, copy: Variable) -> str:
    return copy.name.removeprefix(frame.prefix).removesuffix(".copy")


def first_statements(frame: InstanceScope) -> tuple[Statement, ...]:
    """What runs before the body of an instance: its triggers, and its copies."""
    triggers = [
        CallStandard(
            instance, ((instance.pins["CLK"], Read(variable, instance.span)),), (), instance.span
        )
        for variable, instance in frame.edges.values()
    ]
    copies = [
        Assign(copy, Read(variable, copy.span), copy.span)
        for variable, copy in frame.copies.values()
    ]
    return (*triggers, *copies)
