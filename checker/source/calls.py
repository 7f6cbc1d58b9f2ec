"""Calls of blocks and of the user's functions: arguments, in-out parameters, outputs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from checker.source import program, tree
from checker.source.body_scope import BodyScope
from checker.source.declarations import declare_unit
from checker.source.diagnostic import Diagnostic, InputError
from checker.source.expressions import resolve_expression
from checker.source.folding import fold
from checker.source.frame import (
    Assembly,
    BlockEntity,
    Entity,
    Frame,
    InOut,
    StandardEntity,
    VariableEntity,
    entity_key,
    kind_name,
    kind_of,
)  # fmt: skip
from checker.source.functions import refuse_enable
from checker.source.program import (
    Assign,
    CallFunction,
    Expression,
    Literal,
    Operation,
    Operator,
    Read,
    Role,
    Routine,
    Variable,
)  # fmt: skip
from checker.source.scope import joined, unknown_name
from checker.source.standard import BLOCKS_BY_NAME
from checker.source.text import Span
from checker.source.types import BitString, Boolean, Type
from checker.source.widening import fit

DEEPEST_CALLS = 16


@dataclass(eq=False)
class Bound:
    """The arguments of one call, in the order in which they are written."""

    arguments: list[tuple[Variable, Expression]] = field(default_factory=list)
    outputs: list[Assign] = field(default_factory=list)
    in_outs: dict[str, Entity] = field(default_factory=dict)


@dataclass(frozen=True, eq=False)
class Parameters:
    """What a block or function may be given; ``positional``: the names of a function's inputs
    and in-out parameters in their order, None for a block."""

    name: str
    inputs: Mapping[str, Variable]
    outputs: Mapping[str, Variable]
    in_outs: Mapping[str, InOut] = field(default_factory=dict)
    positional: tuple[str, ...] | None = None


class CallingScope(BodyScope):
    """The scope of a body, in which the user's functions can be called."""

    def resolve_call(self, call: tree.Call, expected: Type | None) -> program.Expression | None:
        """A call of a user's function; None for any other name."""
        name = call.name
        entity = self.find(name.parts[0])
        if isinstance(entity, StandardEntity | BlockEntity):
            raise InputError(
                Diagnostic(
                    "instance-as-value",
                    f"'{name.text}' is an instance of a block and has no value",
                    call.span,
                    "call it in a statement of its own and read its outputs",
                )
            )
        unit = self.assembly.library.units.get(name.text.upper())
        if unit is not None and unit.kind is tree.UnitKind.FUNCTION:
            return call_function(self, call, unit)
        if unit is not None or name.text.upper() in BLOCKS_BY_NAME:
            raise block_type_called(name)
        return None


def block_type_called(name: tree.Name) -> InputError:
    """The error for ``TON(IN := x)`` without an instance."""
    return InputError(
        Diagnostic(
            "block-type-called",
            f"'{name.text}' is a block, of which an instance is called",
            name.span,
            f"declare one in VAR, for instance {name.text.lower()}1 : {name.text};",
        )
    )


def call_function(scope: CallingScope, call: tree.Call, unit: tree.Unit) -> CallFunction:
    """The call of a user's function; InputError for its arguments and for recursion."""
    frame = _function_frame(scope.assembly, unit)
    order = tuple(
        name.key
        for section in unit.sections
        if section.keyword in ("VAR_INPUT", "VAR_IN_OUT")
        for declaration in section.declarations
        for name in declaration.names
    )
    parameters = Parameters(unit.name.text, frame.inputs, frame.outputs, frame.in_outs, order)
    bound = bind(scope, call, parameters)
    given = {variable for variable, _ in bound.arguments}
    for variable in frame.inputs.values():
        if variable not in given:
            default = Literal(variable.initial, variable.type, call.span)
            bound.arguments.append((variable, default))
    routine = routine_of(scope.assembly, frame, bound.in_outs, call.name)
    assert frame.result is not None
    return CallFunction(
        unit.name.text, tuple(bound.arguments), routine, tuple(bound.outputs), frame.result,
        call.span,
    )  # fmt: skip


def routine_of(
    assembly: Assembly, frame: Frame, in_outs: Mapping[str, Entity], name: tree.Name
) -> Routine:
    """The frame's body for these in-out parameters, resolved once."""
    key = tuple(entity_key(in_outs[parameter]) for parameter in frame.in_outs)
    if key in frame.routines:
        return frame.routines[key]
    if frame in assembly.resolving or len(assembly.resolving) >= DEEPEST_CALLS:
        recursive = frame in assembly.resolving
        reason = "calls itself" if recursive else f"calls more than {DEEPEST_CALLS} levels deep"
        raise InputError(
            Diagnostic(
                "recursion" if recursive else "nested-too-deep",
                f"'{frame.unit.name.text}' {reason}",
                name.span,
                "a PLC program has no recursion; use a loop"
                if recursive
                else "let fewer functions call each other",
            )
        )
    assert assembly.bodies is not None
    assembly.add_body(name.span)
    assembly.resolving.append(frame)
    body = assembly.bodies(frame, in_outs)
    assembly.resolving.pop()
    routine = Routine(tuple(frame.temporaries), body)
    frame.routines[key] = routine
    assembly.check_depth(routine, frame.unit.name.span)
    return routine


def _function_frame(assembly: Assembly, unit: tree.Unit) -> Frame:
    """The one frame of a function; its variables exist once, under a name of their own."""
    frame = assembly.functions.get(unit.name.key)
    if frame is None:
        name, number = unit.name.text, 1
        while name.upper() in assembly.top_names:
            number += 1
            name = f"{unit.name.text}_{number}"
        assembly.top_names.add(name.upper())
        frame = declare_unit(assembly, unit, f"{assembly.prefix}{name}.")
        assembly.functions[unit.name.key] = frame
    return frame


def bind(scope: BodyScope, call: tree.Call, parameters: Parameters) -> Bound:
    """The arguments of a call against its parameters; one InputError with all that is wrong."""
    return _Binder(scope, call, parameters).bind()


class _Binder:
    def __init__(self, scope: BodyScope, call: tree.Call, parameters: Parameters) -> None:
        self.scope = scope
        self.call = call
        self.parameters = parameters
        self.bound = Bound()
        self.given: set[str] = set()

    def bind(self) -> Bound:
        errors: list[InputError] = []
        for position, argument in enumerate(self.call.arguments):
            try:
                self._argument(position, argument)
            except InputError as error:
                errors.append(error)
        errors.extend(InputError(problem) for problem in self._missing())
        if errors:
            raise joined(errors)
        return self.bound

    def _argument(self, position: int, argument: tree.Argument) -> None:
        refuse_enable(argument)
        if argument.name is None:
            self._positional(position, argument)
            return
        key = argument.name.key
        if key in self.given and not argument.output:
            raise _error("duplicate-argument", f"'{argument.name.text}' is given twice",
                         argument.span)  # fmt: skip
        if argument.output:
            self._output(argument, argument.name)
            return
        self._given(key, argument, argument.name)

    def _positional(self, position: int, argument: tree.Argument) -> None:
        order = self.parameters.positional
        if order is None:
            raise self._unnamed(argument)
        if any(other.name is not None and not other.output for other in self.call.arguments):
            raise _error("mixed-arguments", "this argument has no name, but others have",
                         argument.span, "name all arguments or none")  # fmt: skip
        if position >= len(order):
            raise _error("argument-count", f"'{self.parameters.name}' takes {len(order)} arguments",
                         argument.span, "remove this one")  # fmt: skip
        self._given(order[position], argument, None)

    def _unnamed(self, argument: tree.Argument) -> InputError:
        node = argument.value
        if isinstance(node, tree.Binary) and node.operator is Operator.EQUAL:
            return _error("equals-for-assignment", "'=' compares", node.operator_span,
                          "write := to give an input its value")  # fmt: skip
        name = next(iter(_spelling(self.parameters.inputs)), "name")
        return _error("positional-argument", "arguments of a block have names", argument.span,
                      f"write for instance {name} := ...")  # fmt: skip

    def _given(self, key: str, argument: tree.Argument, name: tree.Identifier | None) -> None:
        parameters = self.parameters
        self.given.add(key)
        if key in parameters.in_outs:
            self.bound.in_outs[key] = self._in_out(parameters.in_outs[key], argument)
        elif key in parameters.inputs:
            variable = parameters.inputs[key]
            value = resolve_expression(argument.value, self.scope, variable.type)
            self.bound.arguments.append((variable, value))
        elif key in parameters.outputs:
            assert name is not None
            raise _error("not-assignable", f"'{name.text}' is an output", argument.span,
                         f"write {name.text} => variable")  # fmt: skip
        elif name is not None:
            raise unknown_name(
                name, [*_spelling(parameters.inputs), *parameters.in_outs],
                "input", "unknown-argument", f"'{parameters.name}'",
            )  # fmt: skip
        else:
            raise InputError(())  # a parameter whose declaration is already reported

    def _in_out(self, parameter: InOut, argument: tree.Argument) -> Entity:
        node = argument.value
        needed = kind_name(parameter.kind)
        if not isinstance(node, tree.Name):
            raise _error("in-out-needs-variable",
                         f"'{parameter.name.text}' is an in-out parameter and needs a variable",
                         node.span, f"pass a variable of type {needed}")  # fmt: skip
        entity = self.scope.find(node.parts[0])
        if len(node.parts) > 1 or not isinstance(entity, StandardEntity | BlockEntity):
            entity = VariableEntity(self.scope.target(node), Role.IN_OUT)
        if kind_of(entity) != parameter.kind:
            found = kind_of(entity)
            raise _error(
                "type-mismatch",
                f"'{node.text}' is {kind_name(found) if found else 'of another type'}, but the "
                f"in-out parameter '{parameter.name.text}' needs {needed}",
                node.span, "an in-out parameter is not converted",
            )  # fmt: skip
        return entity

    def _output(self, argument: tree.Argument, name: tree.Identifier) -> None:
        variable = self.parameters.outputs.get(name.key)
        if variable is None:
            outputs, owner = _spelling(self.parameters.outputs), f"'{self.parameters.name}'"
            raise unknown_name(name, outputs, "output", "unknown-argument", owner)
        assert isinstance(argument.value, tree.Name)
        target = self.scope.target(argument.value)
        value: Expression = Read(variable, name.span)
        if argument.negated:
            if not isinstance(variable.type, Boolean | BitString):
                raise _error("operator-types", f"'NOT' does not work on {variable.type.name}",
                             argument.span)  # fmt: skip
            value = Operation(Operator.NOT, (value,), variable.type, argument.span)
        fitted = fold(fit(value, target.type))
        self.bound.outputs.append(Assign(target, fitted, argument.span))

    def _missing(self) -> list[Diagnostic]:
        parameters = self.parameters
        missing = [
            Diagnostic(
                "missing-in-out",
                f"the in-out parameter '{parameter.name.text}' of '{parameters.name}' is missing",
                self.call.span,
                f"write {parameter.name.text} := a variable of type {kind_name(parameter.kind)}",
            )
            for key, parameter in parameters.in_outs.items()
            if key not in self.given
        ]
        named = any(argument.name for argument in self.call.arguments if not argument.output)
        if parameters.positional is not None and not named and not missing:
            lacking = [key for key in parameters.positional if key not in self.given]
            if lacking:
                missing.append(
                    Diagnostic(
                        "argument-count",
                        f"'{parameters.name}' needs {len(parameters.positional)} arguments, "
                        f"not {len(self.given)}",
                        self.call.span,
                        f"its inputs are {', '.join(parameters.positional)}",
                    )
                )
        return missing


def _spelling(variables: Mapping[str, Variable]) -> list[str]:
    return [variable.name.rpartition(".")[2] for variable in variables.values()]


def _error(code: str, message: str, span: Span, help_text: str = "") -> InputError:
    return InputError(Diagnostic(code, message, span, help_text))
