"""Assignments: to one variable or element, to a bit, to a whole structure or array, and to what is
not modelled."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from twohand.program import (
    Apply,
    Assign,
    Case,
    Evaluate,
    Literal,
    Read,
    StandardFunction,
    Statement,
)
from twohand.program.types import BOOL, INT
from twohand.syntax import tree
from twohand.text.diagnostic import AlreadyReported, collected, wrong
from twohand.text.source_text import Span
from twohand.typecheck.expressions.expressions import infer, resolve_expression
from twohand.typecheck.expressions.operators import without_model
from twohand.typecheck.statements.aggregates import (
    has_instance,
    instance_inside,
    parts_read,
    same_kind,
    whole,
)
from twohand.typecheck.statements.calls import CallingScope, call_function
from twohand.typecheck.variables.access import Access
from twohand.typecheck.variables.instance_scope import (
    ArrayEntity,
    Entity,
    StructureEntity,
    UnmodelledEntity,
    kind_of,
    variables_of,
)

MOST_COPIES = 20_000
"""Assignments that copying one structure or array is written out to, for every choice of its
indices."""

Make = Callable[[Access], Sequence[Statement]]


def assign(
    scope: CallingScope, target: tree.Name | tree.AccessPath, value: tree.Expression, span: Span
) -> Sequence[Statement]:
    """``target := value``; InputError where the target cannot be assigned or the value has
    another type."""
    access = None
    with collected(scope.assembly.problems):
        access = scope.assignable(target)
    if access is None:
        infer(value, scope)  # for what is wrong in it
        raise AlreadyReported()
    entity = access.entity
    if isinstance(entity, UnmodelledEntity):
        parts = without_model((infer(value, scope),), span).parts
        return [Evaluate(part, part.span) for part in (*parts, *access.checks())]
    if isinstance(entity, StructureEntity | ArrayEntity):
        return _assign_whole(scope, access, entity, value, span)
    kind = kind_of(entity) if access.bit is None else BOOL
    return [access.store(resolve_expression(value, scope, kind), span)]  # type: ignore[arg-type]


def _assign_whole(
    scope: CallingScope,
    access: Access,
    entity: StructureEntity | ArrayEntity,
    value: tree.Expression,
    span: Span,
) -> Sequence[Statement]:
    if has_instance(entity):
        raise instance_inside(span)
    if isinstance(value, tree.Call):
        unit = scope.assembly.library.function(value.name)
        if unit is not None:
            called, result = call_function(scope, value, unit)
            same_kind(kind_of(result), entity.kind, value.span)
            access.refuse_effects(called)
            run = Evaluate(called, span)
            return [run, *choose(access, lambda one: _copies_of(one, result, span), span)]
    source = whole(scope, value, entity)
    copies = len(access.entities) * len(source.entities) * len(variables_of(entity))
    if copies > MOST_COPIES:
        message = f"these indices choose among more than {MOST_COPIES} values to copy"
        way = "copy with constant indices, or member by member in a loop"
        raise wrong("array-too-large", message, span, way)

    def copy(one: Access) -> Sequence[Statement]:
        return choose(source, lambda other: _copy(one, other, span), span)

    return choose(access, copy, span)


def _copy(target: Access, source: Access, span: Span) -> Sequence[Statement]:
    values = parts_read(source)
    targets = variables_of(target.entity)
    return [Assign(to, value, span) for to, value in zip(targets, values, strict=True)]


def _copies_of(target: Access, source: Entity, span: Span) -> Sequence[Statement]:
    pairs = zip(variables_of(target.entity), variables_of(source), strict=True)
    return [Assign(to, Read(of, span), span) for to, of in pairs]


def choose(access: Access, make: Make, span: Span) -> Sequence[Statement]:
    """The statements for the entity that variable indices name: one arm for each, and a finding
    where they name none. Every index is evaluated once, before all else."""
    if not access.dimensions:
        return make(access)
    access.refuse_effects()
    return [_choice(access, 0, 0, make, span)]


def _choice(access: Access, level: int, place: int, make: Make, span: Span) -> Statement:
    dimension = access.dimensions[level]
    arms = []
    for step in range(dimension.count):
        here = place * dimension.count + step
        number = dimension.lowest + step
        if level + 1 < len(access.dimensions):
            body: Sequence[Statement] = [_choice(access, level + 1, here, make, span)]
        else:
            body = make(access.at(here))
        arms.append((((number, number),), tuple(body)))
    return Case(dimension.index, tuple(arms), (_outside(access.span),), span)


def _outside(place: Span) -> Statement:
    """The finding of an index that names no element: a choice that has no such value."""
    false = Literal(False, BOOL, place)
    choice = Apply(StandardFunction.MUX, (Literal(-1, INT, place), false), BOOL, place)
    return Evaluate(choice, place)
