"""Statements: from syntax tree to typed program."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from twohand import program
from twohand.program import Expression, Literal, Statement, Variable
from twohand.program.effects import reads, written
from twohand.program.standard_blocks import BLOCKS_BY_NAME, FUNCTION_NAMES
from twohand.program.types import BOOL, BitString, Enumeration, Integer
from twohand.program.walks import nodes_below
from twohand.syntax import tree
from twohand.text.diagnostic import AlreadyReported, InputError, collected, wrong
from twohand.text.source_text import Span
from twohand.typecheck.expressions.expressions import infer, resolve_constant, resolve_expression
from twohand.typecheck.expressions.names import unknown_name
from twohand.typecheck.expressions.operators import is_total
from twohand.typecheck.expressions.widening import (
    NotModelled,
    Untyped,
    conversion_help,
    fit,
    refusal,
)
from twohand.typecheck.statements.arguments import bind, parameters_of, refuse_moving_indices
from twohand.typecheck.statements.assignments import assign, choose
from twohand.typecheck.statements.calls import (
    block_type_called,
    call_routine,
    function_frame,
    parameters_of_function,
    routine_of,
)
from twohand.typecheck.statements.en_eno import enabled, without_en
from twohand.typecheck.statements.member_calls import (
    call_of_instance,
    instance_behind,
    member_call,
    run,
)
from twohand.typecheck.statements.properties import PropertyScope, write_property
from twohand.typecheck.statements.shared_in_outs import warn_of_shared_in_outs
from twohand.typecheck.variables.access import Access
from twohand.typecheck.variables.body_scope import loop_variable_changed
from twohand.typecheck.variables.changed_inputs import check_copies_given, first_statements
from twohand.typecheck.variables.instance_scope import (
    ArrayEntity,
    BlockEntity,
    Entity,
    ErrorEntity,
    InstanceScope,
    ProgramBuilder,
    StandardEntity,
    VariableEntity,
)

MOST_CALLED = 64
"""Instances that one call with a variable index chooses among; each is written out."""


def resolve_body(
    assembly: ProgramBuilder, frame: InstanceScope, in_outs: Mapping[str, Entity]
) -> tuple[Statement, ...]:
    """The body of a frame; what is wrong in it goes to the assembly, statement by statement."""
    body = _Body(PropertyScope(assembly, frame, in_outs))
    return (*first_statements(frame), *body.statements(frame.unit.body))


class _Body:
    def __init__(self, scope: PropertyScope) -> None:
        self.scope = scope
        self.loops = 0

    def statements(self, nodes: tuple[tree.Statement, ...]) -> tuple[Statement, ...]:
        resolved: list[Statement] = []
        for node in nodes:
            with collected(self.scope.assembly.problems):
                resolved.extend(self._statement(node))
        return tuple(resolved)

    def _statement(self, node: tree.Statement) -> Sequence[Statement]:
        """What a statement becomes: one, or none or several where it is about more than one
        variable, or about what is not modelled."""
        match node:
            case tree.Assign():
                return self._assign(node)
            case tree.SetAssign():
                return self._set(node)
            case tree.CallStatement(call=tree.PathCall() as call):
                if node.bare:
                    raise _no_statement(node)
                return self._call_element(call, node.span)
            case tree.CallStatement():
                return self._call(node)
            case tree.If():
                made = self._if(node)
                return [] if _only_of_reals(made) else [made]
            case tree.Case():
                return [self._case(node)]
            case tree.For():
                return [self._for(node)]
            case tree.While(condition=condition, body=body):
                test = self._noted_condition(condition)
                return [program.While(test, self._loop(body), node.span)]
            case tree.Repeat(body=body, until=until):
                inner = self._loop(body)
                return [program.Repeat(inner, self._noted_condition(until), node.span)]
            case tree.Exit() | tree.Continue():
                return [self._leave(node)]
            case tree.Return():
                return [program.Return(node.span)]
            case tree.Empty():
                return []

    def _assign(self, node: tree.Assign) -> Sequence[Statement]:
        written = write_property(self.scope, node.target, node.value, node.span)
        if written is not None:
            return written
        return assign(self.scope, node.target, node.value, node.span)

    def _set(self, node: tree.SetAssign) -> Sequence[Statement]:
        """``x S= e`` is IF e THEN x := TRUE; END_IF."""
        condition = self._noted_condition(node.value)
        literal = tree.Literal(not node.reset, BOOL, node.value.span)
        inner = self._assign(tree.Assign(node.target, literal, node.span))
        return (program.If(((condition, tuple(inner)),), (), node.span),)

    # --- calls --------------------------------------------------------------------------------

    def _call(self, node: tree.CallStatement) -> Sequence[Statement]:
        assert isinstance(node.call, tree.Call)
        name = node.call.name
        called = member_call(self.scope, node.call)
        if called is not None:
            return (run(called[0]),)
        entity, _ = self.scope.begin(name)
        if isinstance(entity, ErrorEntity):
            raise AlreadyReported()
        if node.bare and not self._is_instance(name, entity):
            raise _no_statement(node)
        if entity is None or isinstance(entity, VariableEntity):
            return self._call_function(node.call, entity, node.span)
        access = self.scope.access(name)
        if isinstance(access.entity, StandardEntity | BlockEntity):
            return self._call_instance(access.entity, node.call, access.text, node.span)
        return self._call_function(node.call, access.entity, node.span)

    def _is_instance(self, name: tree.Name, entity: Entity | None) -> bool:
        if entity is None or isinstance(entity, VariableEntity):
            return False
        return isinstance(self.scope.access(name).entity, StandardEntity | BlockEntity)

    def _call_element(self, call: tree.PathCall, span: Span) -> Sequence[Statement]:
        """A call of an instance in an array, or of a method of one; with variable indices one of
        several."""
        behind = instance_behind(self.scope, call.path)
        if behind is not None:
            access, member = behind
            name = tree.Name((member,), call.path.span)
            plain = tree.Call(name, call.arguments, call.span, call.unconnected)
            return self._choose(
                access, lambda one: [run(call_of_instance(self.scope, one, member, plain)[0])], span
            )
        access = self.scope.access(call.path)
        if isinstance(access.entity, ErrorEntity):
            raise AlreadyReported()
        if not isinstance(access.entity, StandardEntity | BlockEntity):
            message = f"'{call.path.text}' is not an instance of a block"
            raise wrong("not-callable", message, call.path.span, "assign to it with :=")
        return self._choose(
            access, lambda one: self._call_instance(one.entity, call, call.path.text, span), span
        )

    def _choose(
        self, access: Access, make: Callable[[Access], Sequence[Statement]], span: Span
    ) -> Sequence[Statement]:
        if len(access.entities) > MOST_CALLED:
            message = f"this index chooses among more than {MOST_CALLED} instances to call"
            way = "use a smaller array, or constant indices"
            raise wrong("array-too-large", message, access.span, way)
        return choose(access, make, span)

    def _call_instance(
        self, entity: Entity, call: tree.Call | tree.PathCall, text: str, span: Span
    ) -> Sequence[Statement]:
        assert isinstance(entity, StandardEntity | BlockEntity)
        parameters = parameters_of(entity, text)
        call, pins = without_en(call, parameters)
        bound = bind(self.scope, call, parameters)
        before = [program.Evaluate(part, part.span) for part in bound.before]
        arguments, outputs = tuple(bound.arguments), tuple(bound.outputs)
        made: Statement
        if isinstance(entity, StandardEntity):
            refuse_moving_indices(outputs, ())
            made = program.CallStandard(entity.instance, arguments, outputs, span)
        else:
            place = call.name if isinstance(call, tree.Call) else call.path
            check_copies_given(entity.frame, (variable for variable, _ in arguments), place.span)
            assembly, frame = self.scope.assembly, entity.frame
            routine = routine_of(assembly, frame, bound.in_outs, place)
            warn_of_shared_in_outs(assembly, frame, bound.in_outs, routine, span)
            refuse_moving_indices(outputs, written(routine))
            made = program.CallBlock(entity.name, arguments, routine, outputs, span)
        return enabled(self.scope, pins, [*before, made], arguments)

    def _call_function(
        self, call: tree.Call, entity: Entity | None, span: Span
    ) -> Sequence[Statement]:
        name = call.name
        library = self.scope.assembly.library
        unit = library.units.get(name.text.upper())
        if unit is None and entity is not None:
            message = f"'{name.parts[0].text}' is a variable, not an instance of a block"
            way = (
                f"call one element: {name.text}[1](...)"
                if isinstance(entity, ArrayEntity)
                else "assign to it with :="
            )
            raise wrong("not-callable", message, name.span, way)
        if name.text.upper() in BLOCKS_BY_NAME:
            raise block_type_called(name)
        try:
            if unit is not None and unit.kind is tree.UnitKind.FUNCTION:
                frame = function_frame(self.scope.assembly, unit)
                call, pins = without_en(call, parameters_of_function(frame))
                called = call_routine(self.scope, call, frame, unit.name.text)
                return enabled(self.scope, pins, [run(called)], called.arguments)
            return [program.Evaluate(resolve_expression(call, self.scope), span)]
        except InputError as error:
            if any(problem.code == "unknown-function" for problem in error.diagnostics[:1]):
                names = [*self.scope.frame.names(), *library.function_names(), *FUNCTION_NAMES]
                raise unknown_name(name, names, "block or function", "unknown-function") from None
            raise

    # --- branches -----------------------------------------------------------------------------

    def condition(self, node: tree.Expression) -> Expression:
        """An expression that must be BOOL as it is."""
        result = infer(node, self.scope, BOOL)
        if isinstance(result, NotModelled):
            raise refusal(result)
        if isinstance(result, Untyped) or result.type != BOOL:
            found = "a number" if isinstance(result, Untyped) else result.type.name
            way = "compare it with a value" if isinstance(result, Untyped) else conversion_help(
                result.type, BOOL
            )  # fmt: skip
            message = f"a condition is BOOL, not {found}"
            raise wrong("condition-not-boolean", message, node.span, way)
        return result

    def _noted_condition(self, node: tree.Expression) -> Expression:
        """The condition; if it is wrong, that is noted and the statements under it are read."""
        with collected(self.scope.assembly.problems):
            return self.condition(node)
        return Literal(True, BOOL, node.span)

    def _if(self, node: tree.If) -> program.If:
        branches: list[tuple[Expression, tuple[Statement, ...]]] = []
        open_from: NotModelled | None = None
        for branch in node.branches:
            condition = self._tested(branch.condition)
            if isinstance(condition, NotModelled):
                open_from = open_from or condition
                condition = Literal(False, BOOL, branch.condition.span)
            branches.append((condition, self.statements(branch.body)))
            if open_from is not None and (branches.pop()[1] or not is_total(condition)):
                raise refusal(open_from)
        otherwise = self.statements(node.otherwise)
        if open_from is not None and otherwise:
            raise refusal(open_from)
        return program.If(tuple(branches), otherwise, node.span)

    def _tested(self, node: tree.Expression) -> Expression | NotModelled:
        """A condition; one without model where nothing but that hangs on it."""
        try:
            result = infer(node, self.scope, BOOL)
        except InputError:
            return self._noted_condition(node)
        if isinstance(result, NotModelled) and not result.parts:
            return result
        return self._noted_condition(node)

    def _case(self, node: tree.Case) -> Statement:
        selector: Expression | None = None
        with collected(self.scope.assembly.problems):
            selector = self._selector(node.selector)
        arms = []
        for arm in node.arms:
            ranges = self._ranges(arm.labels, selector) if selector is not None else ()
            arms.append((ranges, self.statements(arm.body)))
        otherwise = self.statements(node.otherwise)
        if selector is None:
            raise AlreadyReported()
        return program.Case(selector, tuple(arms), otherwise, node.span)

    def _selector(self, node: tree.Expression) -> Expression:
        selector = fit(infer(node, self.scope), None)
        if not isinstance(selector.type, Integer | BitString | Enumeration):
            message = f"CASE chooses by a number or an enumeration, not by {selector.type.name}"
            raise wrong("type-mismatch", message, node.span, "use IF")
        return selector

    def _ranges(
        self, labels: tuple[tree.Label, ...], selector: Expression
    ) -> tuple[tuple[int, int], ...]:
        ranges: list[tuple[int, int]] = []
        for label in labels:
            with collected(self.scope.assembly.problems):
                low = int(resolve_constant(label.low, self.scope, selector.type).value)
                high = low
                if label.high is not None:
                    high = int(resolve_constant(label.high, self.scope, selector.type).value)
                if low > high:
                    message = f"the range {low}..{high} is empty"
                    raise wrong("empty-range", message, label.span, f"write {high}..{low}")
                ranges.append((low, high))
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
            message = f"a FOR variable is an integer, not {variable.type.name}"
            way = "declare an INT to count with"
            raise wrong("type-mismatch", message, node.variable.span, way)
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
        if isinstance(result, NotModelled):
            raise refusal(result)
        step = result.value if isinstance(result, Untyped) else int(
            resolve_constant(node, self.scope, variable.type).value
        )  # fmt: skip
        if step == 0:
            message = "a FOR loop cannot step by 0"
            raise wrong("zero-step", message, node.span, "step up or down by a number")
        return step

    def _leave(self, node: tree.Exit | tree.Continue) -> Statement:
        if not self.loops:
            word = "EXIT" if isinstance(node, tree.Exit) else "CONTINUE"
            message = f"{word} is outside of any loop"
            raise wrong("outside-of-loop", message, node.span, "use RETURN to leave the block")
        leave = program.Exit if isinstance(node, tree.Exit) else program.Continue
        return leave(node.span)


def _no_statement(node: tree.CallStatement) -> InputError:
    """The error for a name alone that is no action and no instance."""
    message = f"'{node.call.span.text}' alone is no statement"
    way = "assign with :=, call with (), or make it a comment"
    return wrong("not-a-statement", message, node.call.span, way)


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
            message = f"the loop changes '{bound.name}', on which its last value depends"
            way = "copy the last value to a variable of its own before, or use WHILE"
            raise wrong("loop-bound-changed", message, node.last.span, way)


def _only_of_reals(node: program.If) -> bool:
    """Whether nothing but REALs hangs on a comparison of such."""
    conditions = [condition for condition, _ in node.branches]
    empty = not node.otherwise and not any(body for _, body in node.branches)
    uncomputed = any(isinstance(part, program.Uncomputed) for part in nodes_below(conditions[0]))
    return empty and uncomputed and all(map(is_total, conditions))
