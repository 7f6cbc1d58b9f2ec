"""What the names in a unit's body stand for, read and written."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from checker.source import program, tree
from checker.source.diagnostic import Diagnostic, InputError
from checker.source.frame import (
    Assembly,
    BlockEntity,
    Broken,
    ConstantEntity,
    Entity,
    Frame,
    StandardEntity,
    VariableEntity,
)  # fmt: skip
from checker.source.library import find_value
from checker.source.program import Read, Role, Variable
from checker.source.scope import unknown_name
from checker.source.types import Enumeration, Type


class BodyScope:
    """The scope of a frame with its in-out parameters bound to the caller's variables."""

    def __init__(
        self, assembly: Assembly, frame: Frame, bindings: Mapping[str, Entity] | None = None
    ) -> None:
        self.assembly = assembly
        self.frame = frame
        self.bindings: Mapping[str, Entity] = bindings or {}
        self.controlled: list[Variable] = []
        """The variables of the FOR loops around the statement that is resolved."""

    def find(self, name: tree.Identifier) -> Entity | None:
        """What the name was declared as in this frame."""
        return self.bindings.get(name.key) or self.frame.entities.get(name.key)

    def resolve_name(self, name: tree.Name, expected: Type | None) -> program.Expression:
        """The variable, constant or enumeration value of a name; InputError otherwise."""
        entity = self.find(name.parts[0])
        if entity is None or (isinstance(entity, VariableEntity) and len(name.parts) == 2):
            value = find_value(name, expected, self._enumerations())
            if value is not None:
                return value
        if entity is None:
            raise self._unknown(name.parts[0])
        if isinstance(entity, ConstantEntity) and len(name.parts) == 1:
            return entity.literal
        return Read(self._variable(name, entity)[0], name.span)

    def target(self, name: tree.Name) -> Variable:
        """The variable to which a statement may assign; InputError where it may not."""
        entity = self.find(name.parts[0])
        if entity is None:
            if find_value(name, None, self._enumerations()) is not None:
                raise _not_assignable(
                    name,
                    "is a value of an enumeration",
                    "assign it to a variable of that type instead",
                )
            raise self._unknown(name.parts[0])
        if isinstance(entity, ConstantEntity):
            raise _not_assignable(name, "is a constant", "declare it without CONSTANT to change it")
        variable, role = self._variable(name, entity)
        inside = len(name.parts) == 1
        if inside and role is Role.INPUT:
            raise _not_assignable(
                name, "is an input, which only the caller sets", "copy it to a VAR first"
            )
        if not inside and role is not Role.INPUT:
            raise _not_assignable(
                name, f"belongs to '{name.parts[0].text}', which alone sets it",
                "from outside, only inputs are assigned",
            )  # fmt: skip
        if variable in self.controlled:
            raise loop_variable_changed(name)
        return variable

    def _variable(self, name: tree.Name, entity: Entity) -> tuple[Variable, Role]:
        """The variable of a name that begins with ``entity``."""
        first, rest = name.parts[0], name.parts[1:]
        if isinstance(entity, Broken):
            raise InputError(())
        if isinstance(entity, VariableEntity | ConstantEntity):
            if not rest:
                assert isinstance(entity, VariableEntity)
                return entity.variable, entity.role
            raise InputError(
                Diagnostic(
                    "no-members",
                    f"'{first.text}' has no members",
                    rest[0].span,
                    "structures and bit access are not read; only instances of blocks have members",
                )
            )
        if not rest:
            raise InputError(
                Diagnostic(
                    "instance-as-value",
                    f"'{first.text}' is an instance of a block, not a value",
                    name.span,
                    f"use one of its outputs, for instance {first.text}.{_some_output(entity)}",
                )
            )
        if len(rest) > 1:
            raise InputError(
                Diagnostic(
                    "hidden-member",
                    f"'{name.text}' reaches into an inner block",
                    name.span,
                    f"make it an output of '{first.text}'",
                )
            )
        return _member(entity, first, rest[0])

    def _unknown(self, name: tree.Identifier) -> InputError:
        if name.key in (declared.upper() for declared in self.frame.names()):
            return InputError(
                Diagnostic(
                    "used-before-declaration",
                    f"'{name.text}' is not known yet, since it is declared later",
                    name.span,
                    "declare it before, as a constant",
                )
            )
        return unknown_name(name, self._all_names())

    def _enumerations(self) -> list[Enumeration]:
        return [*self.frame.enumerations, *self.assembly.library.enumerations]

    def _all_names(self) -> list[str]:
        values = [value for kind in self._enumerations() for value, _ in kind.values]
        types = [kind.name for kind in self._enumerations()]
        return [*self.frame.names(), *values, *types]

    def find_enumeration(self, name: tree.Identifier) -> Enumeration | None:
        """A declared enumeration; those without a name of their own have none here."""
        return self.assembly.library.find_enumeration(name)

    def function_names(self) -> Iterable[str]:
        """The user's functions, and the instances, which are not called in expressions."""
        return self.assembly.library.function_names()

    def resolve_call(self, call: tree.Call, expected: Type | None) -> program.Expression | None:
        """Declarations call no functions of the user: they need constants."""
        unit = self.assembly.library.units.get(call.name.text.upper())
        if unit is not None and unit.kind is tree.UnitKind.FUNCTION:
            raise InputError(
                Diagnostic(
                    "not-constant",
                    "a constant is needed here, not a call",
                    call.span,
                    "write the value, or assign it in the body",
                )
            )
        return None


def _member(
    entity: StandardEntity | BlockEntity, first: tree.Identifier, member: tree.Identifier
) -> tuple[Variable, Role]:
    if isinstance(entity, StandardEntity):
        pins = entity.instance.pins
        if member.key in pins:
            return pins[member.key], pins[member.key].role
        raise unknown_name(member, pins, "pin", "unknown-member", f"'{first.text}'")
    frame = entity.frame
    open_to_all = frame.inputs | frame.outputs
    if member.key in open_to_all:
        variable = open_to_all[member.key]
        return variable, variable.role
    inner = frame.entities.get(member.key)
    if isinstance(inner, Broken):
        raise InputError(())
    if inner is not None or member.key in frame.in_outs:
        raise InputError(
            Diagnostic(
                "hidden-member",
                f"'{member.text}' is not an input or output of '{first.text}'",
                member.span,
                f"make it a VAR_OUTPUT of '{frame.unit.name.text}'",
            )
        )
    names = [variable.name.rpartition(".")[2] for variable in open_to_all.values()]
    raise unknown_name(member, names, "member", "unknown-member", f"'{first.text}'")


def _some_output(entity: StandardEntity | BlockEntity) -> str:
    if isinstance(entity, StandardEntity):
        return next(name for name, pin in entity.instance.pins.items() if pin.role is Role.OUTPUT)
    return next((v.name.rpartition(".")[2] for v in entity.frame.outputs.values()), "an output")


def loop_variable_changed(name: tree.Name) -> InputError:
    """The error for a FOR loop whose body changes its variable."""
    return InputError(
        Diagnostic(
            "loop-variable-changed",
            f"'{name.text}' controls a FOR loop and cannot be changed in it",
            name.span,
            "use WHILE, or leave the loop with EXIT",
        )
    )


def _not_assignable(name: tree.Name, reason: str, help_text: str = "") -> InputError:
    return InputError(Diagnostic("not-assignable", f"'{name.text}' {reason}", name.span, help_text))
