"""Calls of the user's functions, and the bodies of what is called."""

from __future__ import annotations

from collections.abc import Mapping

from twohand.program import CallBlock, CallFunction, Literal, Read, Routine
from twohand.program.effects import written
from twohand.program.standard_blocks import BLOCKS_BY_NAME
from twohand.program.types import Type
from twohand.program.variables import UNSETTLED_CLOCK
from twohand.syntax import tree
from twohand.text.diagnostic import InputError, wrong
from twohand.typecheck.expressions.standard_functions import check_clock_call
from twohand.typecheck.expressions.widening import NotModelled, Result, refusal
from twohand.typecheck.statements.arguments import (
    Parameters,
    bind,
    parameters_of_frame,
    refuse_moving_indices,
)
from twohand.typecheck.statements.shared_in_outs import warn_of_shared_in_outs
from twohand.typecheck.units.kinds import kind_name
from twohand.typecheck.variables.body_scope import BodyScope
from twohand.typecheck.variables.declarations import declare_unit
from twohand.typecheck.variables.instance_scope import (
    ArrayEntity,
    BlockEntity,
    Entity,
    InstanceScope,
    ProgramBuilder,
    StandardEntity,
    StructureEntity,
    UnmodelledEntity,
    entity_key,
    variables_of,
)

DEEPEST_CALLS = 16


class CallingScope(BodyScope):
    """The scope of a body, in which the user's functions can be called."""

    def resolve_call(self, call: tree.Call, expected: Type | None) -> Result | None:
        """A call of a user's function; None for any other name."""
        name = call.name
        entity = self.own(name)
        if isinstance(entity, StandardEntity | BlockEntity):
            message = f"'{name.text}' is an instance of a block and has no value"
            way = "call it in a statement of its own and read its outputs"
            raise wrong("instance-as-value", message, call.span, way)
        unit = self.assembly.library.units.get(name.text.upper())
        if unit is not None and unit.kind is tree.UnitKind.FUNCTION:
            return value_of_call(*call_function(self, call, unit), unit.name.text)
        if unit is not None or name.text.upper() in BLOCKS_BY_NAME:
            raise block_type_called(name)
        if name.text.upper() == "TIME":
            check_clock_call(call)
            self.assembly.reads_clock = True
            return Read(UNSETTLED_CLOCK, call.span)
        return None


def value_of_call(called: CallFunction, result: Entity, name: str) -> Result:
    """The value of a call of a function or method; InputError where it has several."""
    if isinstance(result, UnmodelledEntity):
        return NotModelled(result.kind.name, (called,), called.span)
    if isinstance(result, StructureEntity | ArrayEntity):
        message = f"'{name}' gives {kind_name(result.kind)}, not one value"
        way = "assign it to a variable of that type first"
        raise wrong("structure-as-value", message, called.span, way)
    return called


def block_type_called(name: tree.Name) -> InputError:
    """The error for ``TON(IN := x)`` without an instance."""
    message = f"'{name.text}' is a block, of which an instance is called"
    way = f"declare one in VAR, for instance {name.text.lower()}1 : {name.text};"
    return wrong("block-type-called", message, name.span, way)


def call_function(
    scope: CallingScope, call: tree.Call, unit: tree.Unit
) -> tuple[CallFunction, Entity]:
    """The call of a user's function, and what its name means in it: where its value is.
    InputError for its arguments and for recursion."""
    frame = function_frame(scope.assembly, unit)
    called = call_routine(scope, call, frame, unit.name.text)
    if isinstance(called, CallBlock):
        raise without_value(call)
    return called, frame.entities[unit.name.key]


def without_value(call: tree.Call) -> InputError:
    """The error for a call that is used as a value and has none."""
    return wrong("call-without-value", f"'{call.name.text}' gives no value", call.span,
                  "call it in a statement of its own")  # fmt: skip


def parameters_of_function(frame: InstanceScope) -> Parameters:
    """The parameters of a function or method."""
    return parameters_of_frame(frame, frame.unit.name.text, frame.outer is None)


def call_routine(
    scope: CallingScope, call: tree.Call, frame: InstanceScope, title: str
) -> CallFunction | CallBlock:
    """The call of a function or method whose frame this is; without result it is a statement.
    InputError for its arguments and for recursion."""
    bound = bind(scope, call, parameters_of_function(frame))
    if bound.before:
        raise refusal(NotModelled("REAL", (), bound.before[0].span))
    given = {variable for variable, _ in bound.arguments}
    for variable in (v for entity in frame.inputs.values() for v in variables_of(entity)):
        if variable not in given:
            default = Literal(variable.initial, variable.type, call.span)
            bound.arguments.append((variable, default))
    routine = routine_of(scope.assembly, frame, bound.in_outs, call.name)
    warn_of_shared_in_outs(scope.assembly, frame, bound.in_outs, routine, call.span)
    arguments, outputs = tuple(bound.arguments), tuple(bound.outputs)
    refuse_moving_indices(outputs, written(routine))
    if frame.result is None:
        return CallBlock(title, arguments, routine, outputs, call.span)
    return CallFunction(title, arguments, routine, outputs, frame.result, call.span)


def routine_of(
    assembly: ProgramBuilder,
    frame: InstanceScope,
    in_outs: Mapping[str, Entity],
    name: tree.Name | tree.AccessPath,
) -> Routine:
    """The frame's body for these in-out parameters, resolved once."""
    key = tuple(entity_key(in_outs[parameter]) for parameter in frame.in_outs)
    known = frame.routines.get(key)
    if known is not None:
        assembly.naming[-1] |= frame.named[known]
        return known
    if frame in assembly.resolving or len(assembly.resolving) >= DEEPEST_CALLS:
        recursive = frame in assembly.resolving
        reason = "calls itself" if recursive else f"calls more than {DEEPEST_CALLS} levels deep"
        message = "recursion" if recursive else "nested-too-deep"
        way = (
            "a PLC program has no recursion; use a loop"
            if recursive
            else "let fewer functions call each other"
        )
        raise wrong(message, f"'{frame.unit.name.text}' {reason}", name.span, way)
    assembly.add_body(name.span)
    assembly.resolving.append(frame)
    assembly.naming.append(set())
    body = assembly.body(frame, in_outs)
    assembly.resolving.pop()
    named = frozenset(assembly.naming.pop())
    assembly.naming[-1] |= named
    routine = Routine(tuple(frame.temporaries), body)
    frame.routines[key], frame.named[routine] = routine, named
    assembly.check_depth(routine, frame.unit.name.span)
    return routine


def function_frame(assembly: ProgramBuilder, unit: tree.Unit) -> InstanceScope:
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
