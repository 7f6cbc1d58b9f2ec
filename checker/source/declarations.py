"""Declarations: the variables, constants and instances of a frame, with initial values."""

from __future__ import annotations

from collections.abc import Mapping

from checker.source import tree
from checker.source.body_scope import BodyScope
from checker.source.diagnostic import Diagnostic, InputError
from checker.source.expressions import resolve_constant
from checker.source.frame import (
    Assembly,
    BlockEntity,
    Broken,
    ConstantEntity,
    Entity,
    Frame,
    InOut,
    StandardEntity,
    VariableEntity,
)  # fmt: skip
from checker.source.library import KnownType, duplicate, reserved
from checker.source.program import Literal, Role, StandardBlock, StandardInstance, Variable
from checker.source.scope import unknown_name
from checker.source.standard import BLOCKS_BY_NAME, STANDARD_BLOCKS
from checker.source.text import Span
from checker.source.types import BOOL, Value

DEEPEST_INSTANCES = 16

Pins = Mapping[str, tuple[Value, tree.PinValue]]
"""Initial values that an instance's declaration gives, by pin in upper case."""

_FRAME_SECTIONS = {role.value: role for role in Role}


def declare_unit(
    assembly: Assembly, unit: tree.Unit, prefix: str, retain: bool = False, top: bool = False
) -> Frame:
    """The frame of one instance of ``unit``; what is wrong in it goes to the assembly."""
    return _Declarer(assembly, Frame(unit, prefix, retain), top).declare()


class _Declarer:
    def __init__(self, assembly: Assembly, frame: Frame, top: bool, pins: Pins | None = None):
        self.assembly = assembly
        self.frame = frame
        self.top = top
        self.pins: Pins = pins or {}
        self.scope = BodyScope(assembly, frame)
        self.taken: dict[str, tree.Identifier] = {}

    def declare(self) -> Frame:
        unit = self.frame.unit
        self.assembly.declaring.append(unit)
        if unit.kind is tree.UnitKind.FUNCTION:
            self._declare_result()
        sections = sorted(unit.sections, key=lambda section: not _is_constant(section))
        for section in sections:
            self._check_qualifiers(section)
        for section in sections:
            for declaration in section.declarations:
                self._declare(section, declaration)
        self.assembly.declaring.pop()
        return self.frame

    def _declare_result(self) -> None:
        unit = self.frame.unit
        self.taken[unit.name.key] = unit.name
        if unit.result is None:
            self.assembly.note(InputError(Diagnostic(
                "unsupported-function-without-result",
                f"function '{unit.name.text}' has no result type",
                unit.name.span,
                "give it one, for instance : BOOL",
            )))  # fmt: skip
            known = KnownType(BOOL, False)
        else:
            known = self._elementary(unit.result)
        name = f"{self.frame.prefix}{unit.name.text}"
        variable = Variable(name, known.type, Role.OUTPUT, known.initial, unit.name.span)
        self.frame.result = self.assembly.add_variable(variable)
        self.frame.temporaries.append(variable)
        self.frame.entities[unit.name.key] = VariableEntity(variable, Role.OUTPUT)

    def _elementary(self, node: tree.NamedType) -> KnownType:
        try:
            return self.assembly.library.named(node)
        except InputError as error:
            self.assembly.note(error)
            return KnownType(BOOL, False)

    def _check_qualifiers(self, section: tree.Section) -> None:
        for qualifier in section.qualifiers:
            if qualifier.key == "CONSTANT" and section.keyword != "VAR":
                self._problem(
                    "misplaced-qualifier",
                    f"{section.keyword} cannot be CONSTANT",
                    qualifier.span,
                    "put constants in VAR CONSTANT",
                )

    def _declare(self, section: tree.Section, declaration: tree.Declaration) -> None:
        """Every name of one declaration; a wrong one is there all the same, so that its uses
        are not reported too."""
        for name in declaration.names:
            problem = reserved(name) or duplicate(name, self.taken)
            if problem is not None:
                self.assembly.problems.append(problem)
                continue
            self.taken[name.key] = name
            try:
                entity = self._entity(section, declaration, name)
            except InputError as error:
                self.assembly.note(error)
                entity = Broken()
            if entity is not None:
                self.frame.entities[name.key] = entity

    def _entity(
        self, section: tree.Section, declaration: tree.Declaration, name: tree.Identifier
    ) -> Entity | None:
        node = declaration.type
        block = self._block(node)
        if section.keyword == Role.IN_OUT.value and not self.top:
            kind = block or self._type(node, declaration.names[0]).type
            self.frame.in_outs[name.key] = InOut(name, kind)
            if declaration.initial is not None or declaration.pins:
                raise _wrong(
                    "an in-out parameter has no initial value",
                    declaration.span,
                    "remove it; the caller gives the variable",
                )
            return None
        if block is not None:
            return self._instance(section, declaration, name, block)
        if declaration.pins:
            raise _wrong(
                "only an instance of a block has initial pin values",
                declaration.span,
                "write name : TYPE := value;",
            )
        known = self._type(node, declaration.names[0])
        if _is_constant(section):
            return self._constant(declaration, name, known)
        return self._variable(section, declaration, name, known)

    def _block(self, node: tree.TypeNode) -> StandardBlock | tree.Unit | None:
        if isinstance(node, tree.EnumerationType):
            return None
        if node.name.key in BLOCKS_BY_NAME:
            return BLOCKS_BY_NAME[node.name.key]
        unit = self.assembly.library.units.get(node.name.key)
        if unit is not None and unit.kind is not tree.UnitKind.FUNCTION_BLOCK:
            raise InputError(
                Diagnostic(
                    "not-a-type",
                    f"'{node.name.text}' is a {unit.kind.value}, not a type",
                    node.span,
                    "call a function in an expression; only a FUNCTION_BLOCK has instances",
                )
            )
        return unit

    def _type(self, node: tree.TypeNode, name: tree.Identifier) -> KnownType:
        if isinstance(node, tree.NamedType):
            return self.assembly.library.named(node)
        title = f"{self.frame.unit.name.text}.{name.text}"
        kind = self.assembly.library.enumeration(title, node)
        if kind not in self.frame.enumerations:
            self.frame.enumerations.append(kind)
        return KnownType(kind, kind.values[0][1])

    def _constant(
        self, declaration: tree.Declaration, name: tree.Identifier, known: KnownType
    ) -> Entity:
        if declaration.initial is None:
            raise InputError(
                Diagnostic(
                    "constant-without-value",
                    f"constant '{name.text}' has no value",
                    name.span,
                    f"write {name.text} : {known.type.name} := ...;",
                )
            )
        value = resolve_constant(declaration.initial, self.scope, known.type)
        literal = Literal(value.value, known.type, name.span)
        self.assembly.constants[self.frame.prefix + name.text] = literal
        return ConstantEntity(literal)

    def _variable(
        self,
        section: tree.Section,
        declaration: tree.Declaration,
        name: tree.Identifier,
        known: KnownType,
    ) -> Entity:
        role = _FRAME_SECTIONS[section.keyword]
        initial = known.initial
        if declaration.initial is not None:
            initial = resolve_constant(declaration.initial, self.scope, known.type).value
        if name.key in self.pins:
            initial = self.pins[name.key][0]
        path = self.frame.prefix + name.text
        retain = _retain(section, self.frame.retain)
        variable = Variable(path, known.type, role, initial, name.span, retain)
        self.assembly.add_variable(variable)
        in_function = self.frame.unit.kind is tree.UnitKind.FUNCTION
        if role is Role.TEMPORARY or (in_function and role is not Role.INPUT):
            self.frame.temporaries.append(variable)
        if role is Role.INPUT or role is Role.IN_OUT:
            self.frame.inputs[name.key] = variable
        if role is Role.OUTPUT:
            self.frame.outputs[name.key] = variable
        return VariableEntity(variable, role)

    # --- instances ----------------------------------------------------------------------------

    def _instance(
        self,
        section: tree.Section,
        declaration: tree.Declaration,
        name: tree.Identifier,
        block: StandardBlock | tree.Unit,
    ) -> Entity:
        if section.keyword != "VAR" or _is_constant(section):
            where = "VAR CONSTANT" if _is_constant(section) else section.keyword
            raise InputError(
                Diagnostic(
                    "misplaced-instance",
                    f"an instance of a block cannot stand in {where}",
                    name.span,
                    "declare it in VAR, or in VAR_IN_OUT of an inner block",
                )
            )
        if self.frame.unit.kind is tree.UnitKind.FUNCTION:
            raise InputError(
                Diagnostic(
                    "instance-in-function",
                    "a function keeps nothing from call to call and has no instances",
                    name.span,
                    "make it a FUNCTION_BLOCK",
                )
            )
        if declaration.initial is not None:
            raise _wrong(
                "an instance of a block has pin values, not a value",
                declaration.initial.span,
                f"write for instance {name.text} : TON := (PT := T#1s);",
            )
        path = self.frame.prefix + name.text
        retain = _retain(section, self.frame.retain)
        if isinstance(block, StandardBlock):
            return self._standard(block, path, name.span, retain, declaration.pins)
        return self._user(block, path, name, retain, declaration.pins)

    def _standard(
        self,
        block: StandardBlock,
        path: str,
        span: Span,
        retain: bool,
        pins: tuple[tree.PinValue, ...],
    ) -> Entity:
        table = {pin.name: pin for pin in STANDARD_BLOCKS[block]}
        types = {pin.name: pin.type for pin in table.values() if pin.role is Role.INPUT}
        initial = self._pin_values(types, pins, block.value)
        variables: dict[str, Variable] = {}
        for pin in table.values():
            value = initial[pin.name][0] if pin.name in initial else (
                False if pin.type == BOOL else 0
            )  # fmt: skip
            variable = Variable(f"{path}.{pin.name}", pin.type, pin.role, value, span, retain)
            variables[pin.name] = self.assembly.add_variable(variable)
        instance = StandardInstance(path, block, variables, span, retain)
        self.assembly.instances.append(instance)
        return StandardEntity(instance)

    def _user(
        self,
        unit: tree.Unit,
        path: str,
        name: tree.Identifier,
        retain: bool,
        pins: tuple[tree.PinValue, ...],
    ) -> Entity:
        declaring = self.assembly.declaring
        if unit in declaring or len(declaring) >= DEEPEST_INSTANCES:
            chain = " contains ".join(f"'{u.name.text}'" for u in [*declaring, unit])
            code = "recursive-instance" if unit in declaring else "nested-too-deep"
            what = "itself" if unit in declaring else f"more than {DEEPEST_INSTANCES} levels"
            way = "keep what it remembers in variables, or move it to a block of its own"
            message = f"a block cannot contain {what}: {chain}"
            raise InputError(Diagnostic(code, message, name.span, way))
        self.assembly.add_body(name.span)
        types = {
            pin.key: known.type
            for section in unit.sections
            if section.keyword in ("VAR_INPUT", "VAR_OUTPUT")
            for declaration in section.declarations
            if isinstance(declaration.type, tree.NamedType)
            for known in [self._elementary(declaration.type)]
            for pin in declaration.names
        } if pins else {}  # fmt: skip
        values = self._pin_values(types, pins, unit.name.text)
        frame = Frame(unit, f"{path}.", retain)
        _Declarer(self.assembly, frame, False, values).declare()
        return BlockEntity(path, frame)

    def _pin_values(
        self, types: Mapping[str, object], pins: tuple[tree.PinValue, ...], block: str
    ) -> dict[str, tuple[Value, tree.PinValue]]:
        values: dict[str, tuple[Value, tree.PinValue]] = {}
        for pin in pins:
            kind = types.get(pin.name.key)
            if kind is None:
                raise unknown_name(pin.name, types, "input", "unknown-argument", f"'{block}'")
            if pin.name.key in values:
                raise InputError(
                    Diagnostic(
                        "duplicate-argument",
                        f"'{pin.name.text}' is given twice",
                        pin.name.span,
                        "remove one of them",
                    )
                )
            value = resolve_constant(pin.value, self.scope, kind)  # type: ignore[arg-type]
            values[pin.name.key] = (value.value, pin)
        return values

    def _problem(self, code: str, message: str, span: Span, help_text: str = "") -> None:
        self.assembly.problems.append(Diagnostic(code, message, span, help_text))


def _is_constant(section: tree.Section) -> bool:
    return any(qualifier.key == "CONSTANT" for qualifier in section.qualifiers)


def _retain(section: tree.Section, inherited: bool) -> bool:
    keys = {qualifier.key for qualifier in section.qualifiers}
    if keys & {"RETAIN", "PERSISTENT"}:
        return True
    return inherited and "NON_RETAIN" not in keys


def _wrong(message: str, span: Span, help_text: str = "") -> InputError:
    return InputError(Diagnostic("wrong-initial-value", message, span, help_text))
