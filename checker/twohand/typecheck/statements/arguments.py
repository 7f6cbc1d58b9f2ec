"""The arguments of a call against what is called: inputs, in-out parameters, outputs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from twohand.program import (
    Assign,
    AssignElement,
    Expression,
    Operation,
    Operator,
    Read,
    Role,
    Store,
    Variable,
)
from twohand.program.effects import reads
from twohand.program.types import BOOL, BitString, Boolean
from twohand.syntax import tree
from twohand.text.diagnostic import AlreadyReported, Diagnostic, InputError, wrong
from twohand.typecheck.expressions.expressions import infer, resolve_expression
from twohand.typecheck.expressions.folding import fold
from twohand.typecheck.expressions.names import joined, unknown_name
from twohand.typecheck.expressions.operators import without_model
from twohand.typecheck.expressions.standard_functions import refuse_en
from twohand.typecheck.expressions.widening import NotModelled, fit, refusal, unranged
from twohand.typecheck.statements.aggregates import parts_read, same_kind, whole
from twohand.typecheck.units.kinds import kind_name
from twohand.typecheck.variables.access import Access, is_value
from twohand.typecheck.variables.body_scope import BodyScope
from twohand.typecheck.variables.instance_scope import (
    ArrayEntity,
    BlockEntity,
    Entity,
    InOut,
    InstanceScope,
    StandardEntity,
    StructureEntity,
    UnmodelledEntity,
    VariableEntity,
    kind_of,
    variables_of,
)


@dataclass(eq=False)
class BoundArguments:
    """The arguments of one call, in the order in which they are written."""

    arguments: list[tuple[Variable, Expression]] = field(default_factory=list)
    outputs: list[Store] = field(default_factory=list)
    in_outs: dict[str, Entity] = field(default_factory=dict)
    before: list[Expression] = field(default_factory=list)
    """What is evaluated although its value goes to an input without model."""


@dataclass(frozen=True, eq=False)
class Parameters:
    """What a block or function may be given; ``positional``: the names of its inputs and in-out
    parameters in their order."""

    name: str
    inputs: Mapping[str, Entity]
    outputs: Mapping[str, Entity]
    in_outs: Mapping[str, InOut] = field(default_factory=dict)
    positional: tuple[str, ...] = ()
    complete: bool = False
    """Whether every one of those has to be given where none has a name: of a function."""
    spelling: Mapping[str, str] = field(default_factory=dict)
    """Names as they are declared, by name in upper case."""

    def spelled(self, names: Iterable[str]) -> list[str]:
        return [self.spelling.get(name, name) for name in names]


def parameters_of(entity: StandardEntity | BlockEntity, name: str) -> Parameters:
    """The parameters of a block's instance."""
    if isinstance(entity, BlockEntity):
        return parameters_of_frame(entity.frame, name)
    pins = entity.instance.pins.items()
    inputs = {key: VariableEntity(p, p.role) for key, p in pins if p.role is Role.INPUT}
    outputs = {key: VariableEntity(p, p.role) for key, p in pins if p.role is Role.OUTPUT}
    return Parameters(name, inputs, outputs, positional=tuple(inputs))


def parameters_of_frame(frame: InstanceScope, name: str, complete: bool = False) -> Parameters:
    """The parameters of a user's unit."""
    order = tuple(each.key for each in frame.unit.declared("VAR_INPUT", "VAR_IN_OUT"))
    spelling = {each.upper(): each for each in frame.names()}
    return Parameters(
        name, frame.inputs, frame.outputs, frame.in_outs, order, complete, spelling
    )  # fmt: skip


def refuse_moving_indices(outputs: Sequence[Store], changed: Iterable[Variable]) -> None:
    """InputError (``effect-in-index``) where an output goes to an element whose index the call
    itself changes: platforms differ in when the index is evaluated."""
    indexed = [output for output in outputs if isinstance(output, AssignElement)]
    if not indexed:
        return
    moving = set(changed)
    for output in outputs:
        targets = output.targets if isinstance(output, AssignElement) else (output.target,)
        moving.update(targets)
    for output in indexed:
        own = set(output.targets)
        for dimension in output.dimensions:
            if any(v in moving and v not in own for v in reads(dimension.index)):
                raise wrong("effect-in-index", "the call changes what this index depends on, and "
                             "platforms differ in when it is evaluated", output.place,
                             "read the output behind the call")  # fmt: skip


def bind(
    scope: BodyScope, call: tree.Call | tree.PathCall, parameters: Parameters
) -> BoundArguments:
    """The arguments of a call against its parameters; one InputError with all that is wrong."""
    return _Binder(scope, call, parameters).bind()


@dataclass(eq=False)
class _Binder:
    scope: BodyScope
    call: tree.Call | tree.PathCall
    parameters: Parameters
    bound: BoundArguments = field(default_factory=BoundArguments)
    given: set[str] = field(default_factory=set)
    unread: bool = False
    """Whether an argument without name is wrong, so that counting them says nothing."""

    def bind(self) -> BoundArguments:
        errors: list[InputError] = []
        for position, argument in enumerate(self.call.arguments):
            try:
                self._argument(position, argument)
            except InputError as error:
                errors.append(error)
                self.unread = self.unread or argument.name is None
        for each in self.call.unconnected:
            try:
                self._unconnected(each)
            except InputError as error:
                errors.append(error)
        errors.extend(InputError(problem) for problem in self._missing())
        if errors:
            raise joined(errors)
        return self.bound

    def _argument(self, position: int, argument: tree.Argument) -> None:
        parameters = self.parameters
        name = "" if argument.name is None else argument.name.key
        if name not in parameters.outputs and name not in parameters.inputs:
            refuse_en(argument)
        if argument.name is None:
            self._positional(position, argument)
            return
        key = argument.name.key
        if key in self.given and not argument.output:
            raise wrong("duplicate-argument", f"'{argument.name.text}' is given twice",
                         argument.span, "remove one of them")  # fmt: skip
        if argument.output:
            self._output(argument, argument.name)
            return
        self._given(key, argument, argument.name)

    def _unconnected(self, pin: tree.Unconnected) -> None:
        """An input that keeps its value, an output that goes nowhere: they only have to exist."""
        parameters, key = self.parameters, pin.name.key
        if pin.output:
            self._output_of(pin.name)
        elif key in self.given:
            raise wrong("duplicate-argument", f"'{pin.name.text}' is given twice", pin.span,
                         "remove one of them")  # fmt: skip
        elif key in parameters.inputs:
            self.given.add(key)
        elif key not in parameters.in_outs:  # which is missing then
            raise self._no_input(pin.name)

    def _positional(self, position: int, argument: tree.Argument) -> None:
        order = self.parameters.positional
        self._refuse_comparison(argument)
        named = any(each.name is not None and not each.output for each in self.call.arguments)
        if named or any(not each.output for each in self.call.unconnected):
            raise wrong("mixed-arguments", "this argument has no name, but others have",
                         argument.span, "name all arguments or none")  # fmt: skip
        if position >= len(order):
            raise wrong("argument-count", f"'{self.parameters.name}' takes {len(order)} arguments",
                         argument.span, "remove this one")  # fmt: skip
        self._given(order[position], argument, None)

    def _refuse_comparison(self, argument: tree.Argument) -> None:
        """``t(IN = x)``: meant is hardly a comparison with something that is called like the
        input."""
        node = argument.value
        if self.parameters.complete or not isinstance(node, tree.Binary):
            return
        named = isinstance(node.left, tree.Name) and node.left.text.upper() in (
            *self.parameters.inputs, *self.parameters.in_outs,
        )  # fmt: skip
        if named and node.operator is Operator.EQUAL:
            raise wrong("equals-for-assignment", "'=' compares", node.operator_span,
                         "write := to give an input its value")  # fmt: skip

    def _given(self, key: str, argument: tree.Argument, name: tree.Identifier | None) -> None:
        parameters = self.parameters
        self.given.add(key)
        if key in parameters.in_outs:
            self.bound.in_outs[key] = self._in_out(parameters.in_outs[key], argument)
        elif key in parameters.inputs:
            self._input(parameters.inputs[key], argument.value)
        elif key in parameters.outputs:
            assert name is not None
            raise wrong("not-assignable", f"'{name.text}' is an output", argument.span,
                         f"write {name.text} => variable")  # fmt: skip
        elif name is not None:
            raise self._no_input(name)
        else:
            raise AlreadyReported()  # a parameter whose declaration is already reported

    def _no_input(self, name: tree.Identifier) -> InputError:
        names = self.parameters.spelled([*self.parameters.inputs, *self.parameters.in_outs])
        return unknown_name(name, names, "input", "unknown-argument", f"'{self.parameters.name}'")

    def _input(self, parameter: Entity, node: tree.Expression) -> None:
        match parameter:
            case VariableEntity(variable=variable):
                value = resolve_expression(node, self.scope, variable.type)
                self.bound.arguments.append((variable, value))
            case UnmodelledEntity():
                self.bound.before.extend(without_model((infer(node, self.scope),), node.span).parts)
            case StructureEntity() | ArrayEntity():
                source = whole(self.scope, node, parameter)
                values = parts_read(source)
                if not values:
                    self.bound.before.extend(source.checks())
                self.bound.arguments.extend(zip(variables_of(parameter), values, strict=True))
            case _:
                raise AlreadyReported()

    def _in_out(self, parameter: InOut, argument: tree.Argument) -> Entity:
        node = argument.value
        needed = kind_name(parameter.kind)
        computed = argument.span.text.endswith(")")  # in parentheses it is an expression
        if computed or not isinstance(node, tree.Name | tree.AccessPath):
            raise wrong("in-out-needs-variable",
                         f"'{parameter.name.text}' is an in-out parameter and needs a variable",
                         node.span, f"pass a variable of type {needed}"
                         + (", without parentheses; in a diagram, at an InOutVariable"
                            if computed else ""))  # fmt: skip
        access = self.scope.access(node)
        if not isinstance(access.entity, StandardEntity | BlockEntity):
            access = self.scope.assignable(node)
        if access.dimensions or access.bit is not None:
            raise wrong("in-out-needs-variable",
                         f"'{node.text}' is not one variable here: its index is known only when "
                         "the program runs, or it is a single bit",
                         node.span, "copy it to a variable before the call and back after it",
                         )  # fmt: skip
        entity = access.entity
        if isinstance(entity, VariableEntity):
            entity = VariableEntity(entity.variable, Role.IN_OUT)
        if kind_of(entity) != parameter.kind:
            found = kind_of(entity)
            message = (
                f"'{node.text}' is {kind_name(found) if found else 'of another type'}, but the "
                f"in-out parameter '{parameter.name.text}' needs {needed}"
            )
            raise wrong("type-mismatch", message, node.span, "an in-out parameter is not converted")
        return entity

    def _output_of(self, name: tree.Identifier) -> Entity:
        parameter = self.parameters.outputs.get(name.key)
        if parameter is None:
            outputs = self.parameters.spelled(self.parameters.outputs)
            owner = f"'{self.parameters.name}'"
            raise unknown_name(name, outputs, "output", "unknown-argument", owner)
        return parameter

    def _output(self, argument: tree.Argument, name: tree.Identifier) -> None:
        parameter = self._output_of(name)
        assert isinstance(argument.value, tree.Name | tree.AccessPath)
        target = self.scope.assignable(argument.value)
        if isinstance(parameter, VariableEntity):
            self._output_value(parameter.variable, target, argument, name)
        elif isinstance(parameter, UnmodelledEntity):
            if not isinstance(target.entity, UnmodelledEntity) or target.dimensions:
                raise refusal(NotModelled(parameter.kind.name, (), argument.span))
        elif isinstance(parameter, StructureEntity | ArrayEntity) and not target.dimensions:
            same_kind(target.kind, parameter.kind, argument.span)
            pairs = zip(variables_of(target.entity), variables_of(parameter), strict=True)
            self.bound.outputs.extend(
                Assign(to, Read(of, name.span), argument.span) for to, of in pairs
            )
        else:
            raise wrong("not-assignable", f"'{target.text}' cannot be given this output",
                         argument.span, "read it behind the call")  # fmt: skip

    def _output_value(
        self, variable: Variable, target: Access, argument: tree.Argument, name: tree.Identifier
    ) -> None:
        value = fit(unranged(Read(variable, name.span)), None)
        if argument.negated:
            if not isinstance(value.type, Boolean | BitString):
                raise wrong("operator-types", f"'NOT' does not work on {value.type.name}",
                             argument.span)  # fmt: skip
            value = Operation(Operator.NOT, (value,), value.type, argument.span)
        if isinstance(target.entity, UnmodelledEntity):
            if target.dimensions:
                raise refusal(NotModelled(target.entity.kind.name, (), target.span))
            return
        kind = BOOL if target.bit is not None else target.kind
        if not is_value(kind):
            target.read()
        fitted = fold(fit(value, kind))  # type: ignore[arg-type]
        self.bound.outputs.append(target.store(fitted, argument.span))

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
        inputs = [argument for argument in self.call.arguments if not argument.output]
        named = bool(self.call.unconnected) or any(argument.name for argument in inputs)
        counted = not named and not missing and not self.unread
        if counted and (inputs or parameters.complete):
            needed = len(parameters.positional)
            lacking = [key for key in parameters.positional if key not in self.given]
            if lacking:
                message = (
                    f"'{parameters.name}' needs {needed} argument{'' if needed == 1 else 's'}, "
                    f"not {len(self.given)}"
                )
                way = f"its inputs are {', '.join(parameters.positional)}"
                missing.append(Diagnostic("argument-count", message, self.call.span, way))
        return missing
