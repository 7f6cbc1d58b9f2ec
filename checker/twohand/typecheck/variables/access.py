"""What names with members, indices and bits lead to, and reading and writing there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from twohand import program as typed
from twohand.program.effects import has_effect, reads, written
from twohand.program.types import BOOL, Integer
from twohand.syntax import tree
from twohand.text.diagnostic import AlreadyReported, InputError, wrong
from twohand.text.source_text import Span, text_until
from twohand.typecheck.expressions.bits import check_bit, with_bit
from twohand.typecheck.expressions.expressions import infer
from twohand.typecheck.expressions.names import Scope, unknown_name
from twohand.typecheck.expressions.widening import NotModelled, Untyped, refusal, unranged
from twohand.typecheck.units.inheritance import member_as_variable
from twohand.typecheck.units.kinds import Kind, is_elementary, kind_name
from twohand.typecheck.units.type_reader import MOST_ELEMENTS
from twohand.typecheck.variables.changed_inputs import check_not_copied
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
    kind_of,
)


@dataclass(frozen=True, eq=False)
class Access:
    """One entity, or (with variable indices) one of several, in row-major order.

    ``role`` is that of the variable in its own frame; ``inside`` says that this is the frame of
    the statement, so that ``role`` is not that of an instance's pin.
    """

    entities: tuple[Entity, ...]
    dimensions: tuple[typed.Dimension, ...]
    bit: tree.Bit | None
    role: typed.Role | None
    inside: bool
    text: str
    span: Span = field(repr=False)

    @property
    def entity(self) -> Entity:
        """The entity, or the first one that it may be."""
        return self.entities[0]

    @property
    def kind(self) -> Kind | None:
        """What is there, a bit apart; None for what is declared wrongly."""
        return kind_of(self.entity)

    def at(self, position: int) -> Access:
        """The access to one of the entities."""
        return replace(self, entities=(self.entities[position],), dimensions=())

    @property
    def variables(self) -> tuple[typed.Variable, ...]:
        return tuple(e.variable for e in self.entities if isinstance(e, VariableEntity))

    def read(self) -> typed.Expression | NotModelled:
        """Its value; InputError where it has none."""
        self._check_value()
        entity = self.entity
        if isinstance(entity, UnmodelledEntity):
            real = None if self.dimensions else entity.real
            return NotModelled(entity.kind.name, self.checks(), self.span, real)
        if not self.dimensions:
            value = _part(entity, self.span)
        else:
            parts = tuple(_part(each, self.span) for each in self.entities)
            value = typed.Element(self.dimensions, parts, parts[0].type, self.span)
        if self.bit is None:
            return value
        plain = unranged(value)
        assert not isinstance(plain, Untyped | NotModelled)
        return check_bit(plain, self.bit, self.span)

    def store(self, value: typed.Expression, span: Span) -> typed.Store:
        """The assignment of a value, which has the type of what is there (BOOL for a bit)."""
        targets = self.variables
        self.refuse_effects(value)
        if self.bit is not None:
            whole = replace(self, bit=None).read()
            assert not isinstance(whole, NotModelled)
            value = with_bit(whole, self.bit, value, span)
        if not self.dimensions:
            return typed.Assign(targets[0], value, span)
        return typed.AssignElement(self.dimensions, targets, value, self.span, span)

    def checks(self) -> tuple[typed.Expression, ...]:
        """What has to be evaluated where nothing is read or written, for the findings of the
        indices."""
        if not self.dimensions:
            return ()
        nothing = tuple(typed.Literal(False, BOOL, self.span) for _ in self.entities)
        return (typed.Element(self.dimensions, nothing, BOOL, self.span),)

    def refuse_effects(self, value: typed.Expression | None = None) -> None:
        """InputError (``effect-in-index``) where it matters whether the indices are evaluated
        before or after ``value``, on which platforms differ."""
        changed = set(written(value)) if value is not None and self.dimensions else set()
        for dimension in self.dimensions:
            if has_effect(dimension.index) or any(v in changed for v in reads(dimension.index)):
                message = (
                    "a call changes what this index depends on, and platforms differ in when "
                    "it is made"
                )
                way = "make the call in a statement of its own before"
                raise wrong("effect-in-index", message, self.span, way)

    def _check_value(self) -> None:
        entity = self.entity
        if isinstance(entity, ErrorEntity):
            raise AlreadyReported()
        if isinstance(entity, StandardEntity | BlockEntity):
            message = f"'{self.text}' is an instance of a block, not a value"
            way = f"use one of its outputs, for instance {self.text}.{_some_output(entity)}"
            raise wrong("instance-as-value", message, self.span, way)
        if isinstance(entity, StructureEntity | ArrayEntity):
            structure = isinstance(entity, StructureEntity)
            what, part = ("a structure", "a member") if structure else ("an array", "an element")
            way = f"name {part} of it; as a whole it is only assigned and passed on"
            message = f"'{self.text}' is {what}, not one value"
            raise wrong("structure-as-value", message, self.span, way)


def _part(entity: Entity, span: Span) -> typed.Expression:
    if isinstance(entity, ConstantEntity):
        return typed.Literal(entity.literal.value, entity.literal.type, span)
    if isinstance(entity, VariableEntity):
        return typed.Read(entity.variable, span)
    raise AlreadyReported()


@dataclass(eq=False)
class SelectorResolver:
    """Goes from one entity through members, indices and a bit."""

    scope: Scope
    entities: tuple[Entity, ...]
    role: typed.Role | None
    text: str
    dimensions: list[typed.Dimension] = field(default_factory=list)
    bit: tree.Bit | None = None
    inside: bool = True

    def through(self, selectors: Sequence[tree.Selector], span: Span) -> Access:
        """The access behind the selectors; InputError where one of them leads nowhere."""
        waiting = list(selectors)
        while waiting:
            selector = waiting.pop(0)
            if isinstance(self.entities[0], ErrorEntity):
                raise AlreadyReported()
            if self.bit is not None:
                raise self._no_members(selector)
            if isinstance(selector, tree.Identifier):
                self._member(selector)
            elif isinstance(selector, tree.Bit):
                self._bit(selector)
            else:
                indices = list(selector.expressions)
                while waiting and isinstance(following := waiting[0], tree.Index):
                    if len(indices) >= self._rank():
                        break
                    indices += following.expressions
                    del waiting[0]
                self._index(tuple(indices), selector)
            self.text = text_until(span, selector.span)
        return Access(
            self.entities, tuple(self.dimensions), self.bit, self.role, self.inside, self.text, span
        )

    # --- members ------------------------------------------------------------------------------

    def _member(self, name: tree.Identifier) -> None:
        first = self.entities[0]
        if isinstance(first, StandardEntity | BlockEntity):
            self.inside = False
            found = [member_of(entity, self.text, name) for entity in self.entities]
            self.entities = tuple(entity for entity, _ in found)
            self.role = found[0][1]
            return
        if not isinstance(first, StructureEntity):
            raise self._no_members(name)
        if name.key not in first.members:
            names = [member.name for member in first.kind.members.values()]
            raise unknown_name(name, names, "member", "unknown-member", f"'{self.text}'")
        self.entities = tuple(
            entity.members[name.key]
            for entity in self.entities
            if isinstance(entity, StructureEntity)
        )

    def _no_members(self, selector: tree.Selector) -> InputError:
        kind = kind_of(self.entities[0])
        what = "no members" if isinstance(selector, tree.Identifier) else "no bits"
        what = "no elements" if isinstance(selector, tree.Index) else what
        shown = "" if kind is None or self.bit is not None else f", but is {kind_name(kind)}"
        way = (
            "only structures and instances have members, only arrays elements, only bit "
            "strings and integers bits"
        )
        return wrong("no-members", f"'{self.text}' has {what}{shown}", selector.span, way)

    def _bit(self, selector: tree.Bit) -> None:
        if not isinstance(self.entities[0], VariableEntity | ConstantEntity):
            raise self._no_members(selector)
        self.bit = selector

    # --- indices ------------------------------------------------------------------------------

    def _rank(self) -> int:
        first = self.entities[0]
        return len(first.kind.bounds) if isinstance(first, ArrayEntity) else 0

    def _index(self, indices: tuple[tree.Expression, ...], selector: tree.Index) -> None:
        first = self.entities[0]
        if not isinstance(first, ArrayEntity):
            raise self._no_members(selector)
        bounds = first.kind.bounds
        if len(indices) != len(bounds):
            word = "index" if len(bounds) == 1 else "indices"
            message = f"'{self.text}' takes {len(bounds)} {word}, not {len(indices)}"
            way = f"write as many as it has dimensions: {kind_name(first.kind)}"
            raise wrong("index-count", message, selector.span, way)
        chosen = [0]
        for node, (low, high) in zip(indices, bounds, strict=True):
            size = high - low + 1
            found = self._one_index(node, low, high)
            steps = range(size) if found is None else [found]
            chosen = [place * size + step for place in chosen for step in steps]
        if len(self.entities) * len(chosen) > MOST_ELEMENTS:
            message = f"this index chooses among more than {MOST_ELEMENTS} elements"
            raise wrong("array-too-large", message, selector.span, "use a smaller array")
        self.entities = tuple(
            entity.elements[place]
            for entity in self.entities
            if isinstance(entity, ArrayEntity)
            for place in chosen
        )

    def _one_index(self, node: tree.Expression, low: int, high: int) -> int | None:
        """The step of a constant index from the lowest; a variable one becomes a dimension."""
        result = infer(node, self.scope)
        if isinstance(result, NotModelled):
            raise refusal(result)
        if not isinstance(result, Untyped) and not isinstance(result.type, Integer):
            message = f"an index is an integer, not {result.type.name}"
            way = "convert it, for instance BYTE_TO_INT(...)"
            raise wrong("type-mismatch", message, node.span, way)
        if not isinstance(result, Untyped | typed.Literal):
            self.dimensions.append(typed.Dimension(result, low, high - low + 1))
            return None
        if low <= result.value <= high:
            return result.value - low
        message = f"'{self.text}' has no element {result.value}"
        raise wrong("index-out-of-range", message, node.span, f"its indices are {low} to {high}")


def member_of(entity: Entity, text: str, member: tree.Identifier) -> tuple[Entity, typed.Role]:
    """An input or output of an instance, with its role; InputError for anything else."""
    if isinstance(entity, StandardEntity):
        pins = entity.instance.pins
        if member.key in pins:
            pin = pins[member.key]
            return VariableEntity(pin, pin.role), pin.role
        raise unknown_name(member, pins, "pin", "unknown-member", f"'{text}'")
    if not isinstance(entity, BlockEntity):
        raise AlreadyReported()
    frame = entity.frame
    if member.key in frame.inputs:
        check_not_copied(frame, member)
        return frame.inputs[member.key], typed.Role.INPUT
    if member.key in frame.outputs:
        return frame.outputs[member.key], typed.Role.OUTPUT
    inner = frame.entities.get(member.key)
    if isinstance(inner, ErrorEntity):
        raise AlreadyReported()
    if inner is not None or member.key in frame.in_outs:
        message = f"'{member.text}' is not an input or output of '{text}'"
        way = f"make it a VAR_OUTPUT of '{frame.unit.name.text}'"
        raise wrong("hidden-member", message, member.span, way)
    found = frame.lineage.find(member.key, 0)
    if found is not None:
        raise member_as_variable(member, found.member)
    names = [*frame.spelling(frame.inputs), *frame.spelling(frame.outputs)]
    raise unknown_name(member, names, "member", "unknown-member", f"'{text}'")


def _some_output(entity: StandardEntity | BlockEntity) -> str:
    if isinstance(entity, StandardEntity):
        return next(
            name for name, pin in entity.instance.pins.items() if pin.role is typed.Role.OUTPUT
        )
    return next(iter(entity.frame.spelling(entity.frame.outputs)), "an output")


def is_value(kind: Kind | None) -> bool:
    """Whether an entity of this kind has one modelled value."""
    return kind is not None and is_elementary(kind)
