"""Instances of blocks, as declarations make them, and what REALs are compared as."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

from twohand.program import Role, StandardBlock, Variable
from twohand.program.standard_blocks import STANDARD_BLOCKS
from twohand.program.types import RealClasses, Value
from twohand.syntax import tree
from twohand.text.diagnostic import wrong
from twohand.text.source_text import Span
from twohand.typecheck.expressions.names import unknown_name
from twohand.typecheck.reals.numbers import FORMATS, RealInput, RealNumber, RealOperand
from twohand.typecheck.units.kinds import Initial, KnownType, UnmodelledType, without_indices
from twohand.typecheck.units.type_reader import TypeReader
from twohand.typecheck.variables.instance_scope import (
    BlockEntity,
    Entity,
    InstanceScope,
    ProgramBuilder,
    StandardEntity,
    UnmodelledEntity,
)

DEEPEST_INSTANCES = 16

Pins = Mapping[str, tuple[tree.PinValue, TypeReader]]
"""Initial values that an instance's declaration gives, by pin in upper case, with the reader of
the scope in which they are."""

_FOR_INSTANCES = ("VAR", "VAR_GLOBAL", "VAR_INST", "VAR_STAT")


class DeclaredName(NamedTuple):
    """One name of a declaration."""

    name: tree.Identifier
    declaration: tree.Declaration
    section: tree.Section

    @property
    def has_initial(self) -> bool:
        return self.declaration.initial is not None or bool(self.declaration.pins)


@dataclass(frozen=True, eq=False)
class Shape:
    """What all parts of one declared name have in common."""

    role: Role
    retain: bool
    section: tree.Section
    span: Span
    unset_at_call: bool = False


class InstanceMaker:
    """The part of a declarer that makes instances."""

    assembly: ProgramBuilder
    frame: InstanceScope
    reader: TypeReader
    top: bool

    def inner_frame(self, unit: tree.Unit, prefix: str, retain: bool, pins: Pins) -> InstanceScope:
        """The frame of an instance of a user's block."""
        raise NotImplementedError

    def instance(
        self,
        path: str,
        block: StandardBlock | tree.Unit,
        pins: tuple[tree.PinValue, ...],
        shape: Shape,
    ) -> Entity:
        if shape.section.keyword not in _FOR_INSTANCES or shape.section.constant:
            where = "VAR CONSTANT" if shape.section.constant else shape.section.keyword
            message = f"an instance of a block cannot be declared in {where}"
            way = "declare it in VAR, or in VAR_IN_OUT of an inner block"
            raise wrong("misplaced-instance", message, shape.span, way)
        in_function = self.frame.unit.kind is tree.UnitKind.FUNCTION
        if in_function and shape.section.keyword == "VAR":
            message = "a function keeps nothing from call to call and has no instances"
            raise wrong("instance-in-function", message, shape.span, "make it a FUNCTION_BLOCK")
        if isinstance(block, StandardBlock):
            return self._standard(block, path, shape, pins)
        return self._user(block, path, shape, pins)

    def _standard(
        self, block: StandardBlock, path: str, shape: Shape, pins: tuple[tree.PinValue, ...]
    ) -> Entity:
        types = {pin.name: pin.type for pin in STANDARD_BLOCKS[block] if pin.role is Role.INPUT}
        values: dict[str, Value] = {}
        given = self._pin_values([*types], pins, block.value)
        for name in (name for name in types if name in given):
            node, reader = given[name]
            initial = reader.with_initial(KnownType(types[name], 0), node.value).initial
            assert isinstance(initial, int)
            values[name] = initial
        return StandardEntity(
            self.assembly.add_standard(path, block, shape.span, shape.retain, values)
        )

    def _user(
        self, unit: tree.Unit, path: str, shape: Shape, pins: tuple[tree.PinValue, ...]
    ) -> Entity:
        declaring = self.assembly.declaring
        if unit in declaring or len(declaring) >= DEEPEST_INSTANCES:
            chain = " contains ".join(f"'{u.name.text}'" for u in [*declaring, unit])
            code = "recursive-instance" if unit in declaring else "nested-too-deep"
            what = "itself" if unit in declaring else f"more than {DEEPEST_INSTANCES} levels"
            way = "keep what it remembers in variables, or move it to a block of its own"
            message = f"a block cannot contain {what}: {chain}"
            raise wrong(code, message, shape.span, way)
        self.assembly.add_body(shape.span)
        inputs = [pin.text for pin in unit.declared("VAR_INPUT", "VAR_OUTPUT")]
        values = self._pin_values(inputs, pins, unit.name.text)
        if any(word.key == "ABSTRACT" for word in unit.modifiers):
            message = f"'{unit.name.text}' is ABSTRACT and has no instances"
            way = "declare an instance of a block that extends it"
            raise wrong("abstract-block", message, shape.span, way)
        return BlockEntity(path, self.inner_frame(unit, f"{path}.", shape.retain, values))

    def _pin_values(
        self, inputs: list[str], pins: tuple[tree.PinValue, ...], block: str
    ) -> dict[str, tuple[tree.PinValue, TypeReader]]:
        known = {name.upper() for name in inputs}
        values: dict[str, tuple[tree.PinValue, TypeReader]] = {}
        for pin in pins:
            if pin.name.key not in known:
                raise unknown_name(pin.name, inputs, "input", "unknown-argument", f"'{block}'")
            if pin.name.key in values:
                message = f"'{pin.name.text}' is given twice"
                raise wrong("duplicate-argument", message, pin.name.span, "remove one of them")
            values[pin.name.key] = (pin, self.reader)
        return values

    def unmodelled(
        self, path: str, kind: UnmodelledType, initial: Initial, shape: Shape
    ) -> UnmodelledEntity:
        """A variable of a type without model, which is left out but for constants that are numbers;
        inputs may come back (``twohand.typecheck.reals.inputs``)."""
        name, real = without_indices(path), self._real(path, kind, initial, shape)
        if isinstance(real, RealNumber):
            self.assembly.real_constants[name] = f"constant of {kind.name}"
        else:
            self.assembly.leave_out(f"{kind.name} variable '{name}'", shape.span, name)
        return UnmodelledEntity(path, kind, shape.role, real)

    def _real(
        self, path: str, kind: UnmodelledType, initial: Initial, shape: Shape
    ) -> RealOperand | None:
        """What a variable of REAL or LREAL can be compared as: a constant as its value, an input of
        the block that is checked, or one at an address, as itself. None for all else."""
        if shape.section.constant:
            return initial if isinstance(initial, RealNumber) else None
        outside = self.top or shape.section.keyword != "VAR_INPUT"
        one = without_indices(path) == path
        if kind.name not in FORMATS or shape.role is not Role.INPUT or not outside or not one:
            return None
        variable = Variable(path, RealClasses(kind.name), Role.INPUT, 0, shape.span)
        self.assembly.real_inputs.append(self.assembly.add_variable(variable))
        return RealInput(variable)
