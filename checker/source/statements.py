"""Statements: from syntax tree to typed program."""

from __future__ import annotations

from collections.abc import Mapping

from checker.source import program, tree
from checker.source.body_scope import loop_variable_changed
from checker.source.calls import (
    CallingScope,
    Parameters,
    bind,
    block_type_called,
    routine_of,
)  # fmt: skip
from checker.source.diagnostic import Diagnostic, InputError
from checker.source.effects import reads, written
from checker.source.expressions import infer, resolve_constant, resolve_expression
from checker.source.frame import Assembly, BlockEntity, Broken, Entity, Frame, StandardEntity
from checker.source.program import Expression, Literal, Role, Statement, Variable
from checker.source.scope import unknown_name
from checker.source.standard import BLOCKS_BY_NAME, FUNCTION_NAMES
from checker.source.text import Span
from checker.source.types import BOOL, BitString, Enumeration, Integer
from checker.source.widening import Untyped, conversion_help, fit


def resolve_body(
    assembly: Assembly, frame: Frame, in_outs: Mapping[str, Entity]
) -> tuple[Statement, ...]:
    """The body of a frame; what is wrong in it goes to the assembly, statement by statement."""
    body = _Body(CallingScope(assembly, frame, in_outs))
    return body.statements(frame.unit.body)


class _Body:
    def __init__(self, scope: CallingScope) -> None:
        self.scope = scope
        self.loops = 0

    def statements(self, nodes: tuple[tree.Statement, ...]) -> tuple[Statement, ...]:
        resolved: list[Statement] = []
        for node in nodes:
            if isinstance(node, tree.Empty):
                continue
            try:
                resolved.append(self._statement(node))
            except InputError as error:
                self.scope.assembly.note(error)
        return tuple(resolved)

    def _statement(self, node: tree.Statement) -> Statement:
        match node:
            case tree.Assign():
                return self._assign(node)
            case tree.CallStatement():
                return self._call(node)
            case tree.If():
                return self._if(node)
            case tree.Case():
                return self._case(node)
            case tree.For():
                return self._for(node)
            case tree.While(condition=condition, body=body):
                test = self._noted_condition(condition)
                return program.While(test, self._loop(body), node.span)
            case tree.Repeat(body=body, until=until):
                inner = self._loop(body)
                return program.Repeat(inner, self._noted_condition(until), node.span)
            case tree.Exit() | tree.Continue():
                return self._leave(node)
            case tree.Return():
                return program.Return(node.span)
        raise AssertionError(node)

    def _assign(self, node: tree.Assign) -> Statement:
        try:
            target = self.scope.target(node.target)
        except InputError as error:
            self.scope.assembly.note(error)
            infer(node.value, self.scope)  # for what is wrong in it
            raise InputError(()) from None
        value = resolve_expression(node.value, self.scope, target.type)
        return program.Assign(target, value, node.span)

    # --- calls --------------------------------------------------------------------------------

    def _call(self, node: tree.CallStatement) -> Statement:
        name = node.call.name
        entity = self.scope.find(name.parts[0])
        if isinstance(entity, Broken):
            raise InputError(())
        if isinstance(entity, StandardEntity | BlockEntity):
            if len(name.parts) > 1:
                raise InputError(
                    Diagnostic(
                        "unsupported-method",
                        f"'{name.text}' is not called: methods, actions and inner blocks of an "
                        "instance are not read",
                        name.span,
                        f"call the instance itself: {name.parts[0].text}(...)",
                    )
                )
            return self._call_instance(node, entity)
        return self._call_function(node, entity)

    def _call_instance(
        self, node: tree.CallStatement, entity: StandardEntity | BlockEntity
    ) -> Statement:
        call, name = node.call, node.call.name
        if isinstance(entity, StandardEntity):
            pins = entity.instance.pins
            inputs = {key: pin for key, pin in pins.items() if pin.role is Role.INPUT}
            outputs = {key: pin for key, pin in pins.items() if pin.role is Role.OUTPUT}
            bound = bind(self.scope, call, Parameters(name.text, inputs, outputs))
            return program.CallStandard(
                entity.instance, tuple(bound.arguments), tuple(bound.outputs), node.span
            )
        frame = entity.frame
        parameters = Parameters(name.text, frame.inputs, frame.outputs, frame.in_outs)
        bound = bind(self.scope, call, parameters)
        routine = routine_of(self.scope.assembly, frame, bound.in_outs, name)
        return program.CallBlock(
            entity.name, tuple(bound.arguments), routine, tuple(bound.outputs), node.span
        )

    def _call_function(self, node: tree.CallStatement, entity: Entity | None) -> Statement:
        name = node.call.name
        library = self.scope.assembly.library
        unit = library.units.get(name.text.upper())
        if unit is None and entity is not None:
            raise InputError(
                Diagnostic(
                    "not-callable",
                    f"'{name.parts[0].text}' is a variable, not an instance of a block",
                    name.span,
                    "assign to it with :=",
                )
            )
        if name.text.upper() in BLOCKS_BY_NAME:
            raise block_type_called(name)
        try:
            return program.Evaluate(resolve_expression(node.call, self.scope), node.span)
        except InputError as error:
            if any(problem.code == "unknown-function" for problem in error.diagnostics[:1]):
                names = [*self.scope.frame.names(), *library.function_names(), *FUNCTION_NAMES]
                raise unknown_name(name, names, "block or function", "unknown-function") from None
            raise

    # --- branches -----------------------------------------------------------------------------

    def condition(self, node: tree.Expression) -> Expression:
        """An expression that must be BOOL as it stands."""
        result = infer(node, self.scope, BOOL)
        if isinstance(result, Untyped) or result.type != BOOL:
            found = "a number" if isinstance(result, Untyped) else result.type.name
            way = "compare it with a value" if isinstance(result, Untyped) else conversion_help(
                result.type, BOOL
            )  # fmt: skip
            raise InputError(
                Diagnostic(
                    "condition-not-boolean", f"a condition is BOOL, not {found}", node.span, way
                )
            )
        return result

    def _noted_condition(self, node: tree.Expression) -> Expression:
        """The condition; if it is wrong, that is noted and the statements under it are read."""
        try:
            return self.condition(node)
        except InputError as error:
            self.scope.assembly.note(error)
            return Literal(True, BOOL, node.span)

    def _if(self, node: tree.If) -> Statement:
        branches = tuple(
            (self._noted_condition(branch.condition), self.statements(branch.body))
            for branch in node.branches
        )
        return program.If(branches, self.statements(node.otherwise), node.span)

    def _case(self, node: tree.Case) -> Statement:
        selector: Expression | None = None
        try:
            selector = self._selector(node.selector)
        except InputError as error:
            self.scope.assembly.note(error)
        arms = []
        for arm in node.arms:
            ranges = self._ranges(arm.labels, selector) if selector is not None else ()
            arms.append((ranges, self.statements(arm.body)))
        otherwise = self.statements(node.otherwise)
        if selector is None:
            raise InputError(())
        return program.Case(selector, tuple(arms), otherwise, node.span)

    def _selector(self, node: tree.Expression) -> Expression:
        selector = fit(infer(node, self.scope), None)
        if not isinstance(selector.type, Integer | BitString | Enumeration):
            raise InputError(
                Diagnostic(
                    "type-mismatch",
                    f"CASE chooses by a number or an enumeration, not by {selector.type.name}",
                    node.span,
                    "use IF",
                )
            )
        return selector

    def _ranges(
        self, labels: tuple[tree.Label, ...], selector: Expression
    ) -> tuple[tuple[int, int], ...]:
        ranges: list[tuple[int, int]] = []
        for label in labels:
            try:
                low = int(resolve_constant(label.low, self.scope, selector.type).value)
                high = low
                if label.high is not None:
                    high = int(resolve_constant(label.high, self.scope, selector.type).value)
                if low > high:
                    raise InputError(
                        Diagnostic(
                            "empty-range",
                            f"the range {low}..{high} is empty",
                            label.span,
                            f"write {high}..{low}",
                        )
                    )
                ranges.append((low, high))
            except InputError as error:
                self.scope.assembly.note(error)
        return tuple(ranges)

    # --- loops --------------------------------------------------------------------------------

    def _loop(self, body: tuple[tree.Statement, ...]) -> tuple[Statement, ...]:
        self.loops += 1
        inner = self.statements(body)
        self.loops -= 1
        return inner

    def _for(self, node: tree.For) -> Statement:
        variable = self.scope.target(node.variable)
        if not isinstance(variable.type, Integer):
            raise InputError(
                Diagnostic(
                    "type-mismatch",
                    f"a FOR variable is an integer, not {variable.type.name}",
                    node.variable.span,
                    "declare an INT to count with",
                )
            )
        first = resolve_expression(node.first, self.scope, variable.type)
        last = resolve_expression(node.last, self.scope, variable.type)
        step = self._step(node.step, variable)
        self.scope.controlled.append(variable)
        body = self._loop(node.body)
        self.scope.controlled.pop()
        _check_bounds(node, variable, last, body)
        return program.For(variable, first, last, step, body, node.span)

    def _step(self, node: tree.Expression | None, variable: Variable) -> int:
        if node is None:
            return 1
        result = infer(node, self.scope)
        step = result.value if isinstance(result, Untyped) else int(
            resolve_constant(node, self.scope, variable.type).value
        )  # fmt: skip
        if step == 0:
            raise _zero_step(node.span)
        return step

    def _leave(self, node: tree.Exit | tree.Continue) -> Statement:
        if not self.loops:
            word = "EXIT" if isinstance(node, tree.Exit) else "CONTINUE"
            raise InputError(
                Diagnostic(
                    "outside-of-loop",
                    f"{word} stands outside of any loop",
                    node.span,
                    "use RETURN to leave the block",
                )
            )
        if isinstance(node, tree.Exit):
            return program.Exit(node.span)
        return program.Continue(node.span)


def _check_bounds(
    node: tree.For, variable: Variable, last: Expression, body: tuple[Statement, ...]
) -> None:
    """IEC 61131-3:2003, 3.3.2.4: the body alters neither the control variable nor the final
    value. Platforms differ in whether they would see it."""
    changed = set(written(body))
    if variable in changed:
        raise loop_variable_changed(node.variable)
    for bound in reads(last):
        if bound in changed:
            raise InputError(
                Diagnostic(
                    "loop-bound-changed",
                    f"the loop changes '{bound.name}', on which its last value depends",
                    node.last.span,
                    "copy the last value to a variable of its own before, or use WHILE",
                )
            )


def _zero_step(span: Span) -> InputError:
    return InputError(
        Diagnostic("zero-step", "a FOR loop cannot step by 0", span, "step up or down by a number")
    )
