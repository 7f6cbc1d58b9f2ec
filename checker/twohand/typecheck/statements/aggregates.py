"""Structures and arrays as a whole: assigned, and passed on."""

from __future__ import annotations

from twohand.program import Dimension, Element, Expression, Literal, Read
from twohand.syntax import tree
from twohand.text.diagnostic import AlreadyReported, InputError, wrong
from twohand.text.source_text import Span
from twohand.typecheck.units.kinds import Kind, kind_name
from twohand.typecheck.variables.access import Access
from twohand.typecheck.variables.body_scope import BodyScope
from twohand.typecheck.variables.instance_scope import (
    ArrayEntity,
    BlockEntity,
    ConstantEntity,
    Entity,
    ErrorEntity,
    StandardEntity,
    StructureEntity,
    UnmodelledEntity,
    VariableEntity,
    parts_of_entity,
)


def whole(scope: BodyScope, node: tree.Expression, wanted: StructureEntity | ArrayEntity) -> Access:
    """The structure or array of this kind that an expression names; InputError for others."""
    if not isinstance(node, tree.Name | tree.AccessPath):
        message = f"{kind_name(wanted.kind)} is needed here, which only a variable has"
        raise wrong("type-mismatch", message, node.span, "name a variable of that type")
    access = scope.access(node)
    if isinstance(access.entity, ErrorEntity):
        raise AlreadyReported()
    same_kind(access.kind, wanted.kind, node.span)
    access.refuse_effects()
    return access


def same_kind(found: Kind | None, wanted: Kind, span: Span) -> None:
    """InputError (``type-mismatch``) where the two are not one type."""
    if found == wanted:
        return
    shown = "something else" if found is None else kind_name(found)
    way = "both need the same structure, or arrays with the same limits and elements"
    raise wrong("type-mismatch", f"{shown} occurs where {kind_name(wanted)} is needed", span, way)


def parts_read(access: Access) -> list[Expression]:
    """The values of the elementary parts, in the order of declaration; those without model are
    none of them. InputError for instances among them."""
    columns = [list(parts_of_entity(entity)) for entity in access.entities]
    parts = []
    for row in zip(*columns, strict=True):
        if not isinstance(row[0], UnmodelledEntity):
            parts.append(_read(row, access.dimensions, access.span))
    return parts


def _read(row: tuple[Entity, ...], dimensions: tuple[Dimension, ...], span: Span) -> Expression:
    values: list[Expression] = []
    for part in row:
        match part:
            case VariableEntity(variable=variable):
                values.append(Read(variable, span))
            case ConstantEntity(literal=literal):
                values.append(Literal(literal.value, literal.type, span))
            case ErrorEntity():
                raise AlreadyReported()
            case _:
                raise instance_inside(span)
    if not dimensions:
        return values[0]
    return Element(dimensions, tuple(values), values[0].type, span)


def instance_inside(span: Span) -> InputError:
    """The error for copying what has instances of blocks in it."""
    message = "there are instances of blocks in it, which are not copied"
    return wrong("instance-as-value", message, span, "copy its members one by one")


def has_instance(entity: Entity) -> bool:
    return any(isinstance(p, StandardEntity | BlockEntity) for p in parts_of_entity(entity))
