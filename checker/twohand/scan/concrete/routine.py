"""The routine of a typed program on Python values: statements in order, until the first finding.

A body is made into nested functions once, when it runs for the first time.
"""

from __future__ import annotations

from collections.abc import Callable, MutableMapping, Sequence
from enum import Enum, auto
from functools import partial
from typing import TypeAlias

from twohand import program as typed
from twohand.program.durations import NO_TIME, Units
from twohand.program.types import Value
from twohand.scan.arithmetic import Arithmetic, raise_finding
from twohand.scan.clocking import Readings
from twohand.scan.concrete.blocks import OUTPUT_PINS, InstanceCall, InstanceMemory, first_memory
from twohand.scan.concrete.expressions import Evaluator, position
from twohand.scan.finding import FindingKind
from twohand.text.source_text import Span

Arguments: TypeAlias = Sequence[tuple[typed.Variable, typed.Expression]]


class Flow(Enum):
    """Where control goes after a statement, where it does not just go on."""

    EXIT = auto()
    CONTINUE = auto()
    RETURN = auto()


_Step: TypeAlias = Callable[[], Flow | None]
"""A statement or several; None goes on to the next one."""


class Iterations:
    """Counts the iterations of one run of a loop; one more than ``bound`` is a finding."""

    def __init__(self, bound: int, loop: typed.For | typed.While | typed.Repeat) -> None:
        self._left = bound
        self._span = loop.span

    def start(self) -> None:
        if self._left == 0:
            raise_finding(FindingKind.LOOP_BOUND, self._span)
        self._left -= 1


class Executor:
    """Runs routines over ``values``, by variable name, changing them and ``memories`` in place.

    ``writers`` collects the place that last wrote each variable; ``elapsed`` is the time in
    units since the scan before. Every method raises FindingRaised at the first finding, with
    what ran before it done and nothing after it.
    """

    def __init__(
        self,
        arithmetic: Arithmetic,
        readings: Readings,
        loop_bound: int,
        values: dict[str, Value],
        memories: MutableMapping[typed.StandardInstance, InstanceMemory],
    ) -> None:
        self._arithmetic = arithmetic
        self._readings = readings
        self._loop_bound = loop_bound
        self._values = values
        self._memories = memories
        self.unset: set[str] = set()
        """Names of the variables to which nothing was assigned since their routine began."""
        self._evaluator = Evaluator(arithmetic, self._call_function, self._chosen, self.unset)
        self._bodies: dict[typed.Routine | typed.CallFunction, _Step] = {}
        """What is known already: of a routine its body, of a call what it does with outputs."""
        self.writers: dict[str, Span] = {}
        self.elapsed = NO_TIME
        self.restarted_clock: tuple[str, Units] | None = None
        """The name of the clock and what it shows after a restart in this scan."""

    def _chosen(self, reading: str) -> bool:
        return bool(getattr(self._readings, reading))

    def _evaluate(self, expression: typed.Expression) -> Value:
        return self._evaluator.value(expression, self._values)

    def run(self, routine: typed.Routine, arguments: Arguments = ()) -> None:
        """One call of a routine: all arguments are evaluated before the first one is bound."""
        values = [self._evaluate(expression) for _, expression in arguments]
        for variable in routine.initialise:
            initial = self._arithmetic.given(variable.initial, variable.type)
            self._write(variable, initial, variable.span)
            if variable.unset_at_call:
                self.unset.add(variable.name)
        self._bind(arguments, values)
        self._run(routine, routine.body)

    def _run(
        self, owner: typed.Routine | typed.CallFunction, statements: Sequence[typed.Statement]
    ) -> None:
        body = self._bodies.get(owner)
        if body is None:
            body = self._bodies[owner] = self._body(statements)
        body()

    def _write(self, variable: typed.Variable, value: Value, span: Span) -> None:
        self._values[variable.name] = value
        self.writers[variable.name] = span
        self.unset.discard(variable.name)

    # --- statements ---------------------------------------------------------------------------

    def _body(self, statements: Sequence[typed.Statement]) -> _Step:
        steps = [self._statement(statement) for statement in statements]

        def body() -> Flow | None:
            for step in steps:
                flow = step()
                if flow is not None:
                    return flow
            return None

        return body

    def _statement(self, statement: typed.Statement) -> _Step:
        match statement:
            case typed.Assign():
                return self._assign(statement)
            case typed.AssignElement():
                return partial(self._assign_element, statement)
            case typed.If():
                return self._if(statement)
            case typed.Case():
                return self._case(statement)
            case typed.For():
                return partial(self._for, statement, self._body(statement.body))
            case typed.While():
                return partial(self._while, statement, self._body(statement.body))
            case typed.Repeat():
                return partial(self._repeat, statement, self._body(statement.body))
            case typed.Exit():
                return lambda: Flow.EXIT
            case typed.Continue():
                return lambda: Flow.CONTINUE
            case typed.Return():
                return lambda: Flow.RETURN
            case typed.Evaluate():
                return partial(self._drop, statement.expression)
            case typed.CallBlock():
                return partial(self._call_block, statement, self._body(statement.outputs))
            case typed.CallStandard():
                return self._call_standard(statement)
            case typed.Restart():
                return partial(self._restart, statement)

    def _drop(self, expression: typed.Expression) -> None:
        if isinstance(expression, typed.CallFunction):
            self._call_function(expression, used=False)
        else:
            self._evaluate(expression)

    def _assign(self, statement: typed.Assign) -> _Step:
        valued, values = self._evaluator.compiled(statement.value), self._values
        name, span = statement.target.name, statement.span

        def assign() -> None:
            values[name] = valued(values)
            self.writers[name] = span

        def assign_unset() -> None:
            assign()
            self.unset.discard(name)

        return assign_unset if statement.target.unset_at_call else assign

    def _assign_element(self, statement: typed.AssignElement) -> None:
        value = self._evaluate(statement.value)
        indices = [self._evaluate(each.index) for each in statement.dimensions]
        place = position(statement.dimensions, indices, statement.place)
        self._write(statement.targets[place], value, statement.span)

    def _if(self, statement: typed.If) -> _Step:
        values = self._values
        branches = [
            (self._evaluator.compiled(condition), self._body(body))
            for condition, body in statement.branches
        ]
        otherwise = self._body(statement.otherwise)

        def chosen() -> Flow | None:
            for condition, body in branches:
                if condition(values):
                    return body()
            return otherwise()

        return chosen

    def _case(self, statement: typed.Case) -> _Step:
        arms = [(ranges, self._body(body)) for ranges, body in statement.arms]
        otherwise = self._body(statement.otherwise)

        def chosen() -> Flow | None:
            selector = self._evaluate(statement.selector)
            for ranges, body in arms:
                if any(low <= selector <= high for low, high in ranges):
                    return body()
            return otherwise()

        return chosen

    # --- loops --------------------------------------------------------------------------------

    def _for(self, loop: typed.For, body: _Step) -> Flow | None:
        first, last = self._evaluate(loop.first), self._evaluate(loop.last)
        self._write(loop.variable, first, loop.span)
        iterations = Iterations(self._loop_bound, loop)
        going = _within(first, last, loop.step)
        while going:
            iterations.start()
            flow = body()
            if flow is Flow.EXIT:
                break
            if flow is Flow.RETURN:
                return flow
            following = self._values[loop.variable.name] + loop.step
            going = _within(following, last, loop.step)
            if going or self._readings.loop_leaves_past_end:
                following = self._arithmetic.fit(following, loop.variable.type, loop.span)
                self._write(loop.variable, following, loop.span)
                going = _within(following, last, loop.step)
        return None

    def _while(self, loop: typed.While, body: _Step) -> Flow | None:
        iterations = Iterations(self._loop_bound, loop)
        while self._evaluate(loop.condition):
            iterations.start()
            flow = body()
            if flow is Flow.EXIT:
                break
            if flow is Flow.RETURN:
                return flow
        return None

    def _repeat(self, loop: typed.Repeat, body: _Step) -> Flow | None:
        iterations = Iterations(self._loop_bound, loop)
        while True:
            iterations.start()
            flow = body()
            if flow is Flow.EXIT:
                break
            if flow is Flow.RETURN:
                return flow
            if self._evaluate(loop.until):
                break
        return None

    # --- calls --------------------------------------------------------------------------------

    def _bind(self, arguments: Arguments, values: Sequence[Value]) -> None:
        for (variable, expression), value in zip(arguments, values, strict=True):
            self._write(variable, value, expression.span)

    def _call_block(self, call: typed.CallBlock, outputs: _Step) -> None:
        self.run(call.routine, call.arguments)
        outputs()

    def _call_standard(self, call: typed.CallStandard) -> _Step:
        instance, values = call.instance, self._values
        arguments = [self._evaluator.compiled(expression) for _, expression in call.arguments]
        shown = [instance.pins[pin].name for pin in OUTPUT_PINS[instance.block]]
        called, outputs = InstanceCall(instance, values, self._readings), self._body(call.outputs)

        def run() -> None:
            self._bind(call.arguments, [valued(values) for valued in arguments])
            called.run(self._memories[instance], self.elapsed)
            for name in shown:
                self.writers[name] = call.span
            outputs()

        return run

    def _restart(self, statement: typed.Restart) -> None:
        if self.restarted_clock is not None:
            name, shown = self.restarted_clock
            self._values[name] = shown
        for variable in statement.variables:
            initial = self._arithmetic.given(variable.initial, variable.type)
            self._write(variable, initial, statement.span)
        for instance in statement.instances:
            self._memories[instance] = first_memory(instance, self._readings)

    def _call_function(self, call: typed.CallFunction, used: bool = True) -> Value:
        """``used``: somebody uses the value."""
        self.run(call.routine, call.arguments)
        if used:
            self._evaluator.check_set(call.result.name, call.span)
        # The value is taken before anything that an output's target could be.
        result = self._values[call.result.name]
        self._run(call, call.outputs)
        return result


def _within(value: int, last: int, step: int) -> bool:
    """Whether a FOR loop with this step still runs with this value of its variable."""
    return value <= last if step > 0 else value >= last
