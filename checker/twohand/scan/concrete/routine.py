"""The routine of a typed program on Python values: statements in order, until the first finding."""

from __future__ import annotations

from collections.abc import MutableMapping, Sequence
from enum import Enum, auto
from typing import TypeAlias

from twohand import program as typed
from twohand.program.durations import NO_TIME
from twohand.program.types import Value
from twohand.scan.arithmetic import Arithmetic, raise_finding
from twohand.scan.clocking import Readings
from twohand.scan.concrete.blocks import OUTPUT_PINS, InstanceCall, InstanceMemory, first_memory
from twohand.scan.concrete.expressions import Evaluator, position
from twohand.scan.finding import FindingKind
from twohand.text.source_text import Span

Arguments: TypeAlias = Sequence[tuple[typed.Variable, typed.Expression]]


class Flow(Enum):
    """Where control goes after a statement."""

    ON = auto()
    EXIT = auto()
    CONTINUE = auto()
    RETURN = auto()


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
        self._evaluate = Evaluator(arithmetic, values, self._call_function, self._chosen).value
        self.writers: dict[str, Span] = {}
        self.elapsed = NO_TIME

    def _chosen(self, reading: str) -> bool:
        return bool(getattr(self._readings, reading))

    def value(self, expression: typed.Expression) -> Value:
        return self._evaluate(expression)

    def run(self, routine: typed.Routine, arguments: Arguments = ()) -> None:
        """One call of a routine: all arguments are evaluated before the first one is bound."""
        values = [self._evaluate(expression) for _, expression in arguments]
        for variable in routine.initialise:
            initial = self._arithmetic.given(variable.initial, variable.type)
            self._write(variable, initial, variable.span)
        self._bind(arguments, values)
        self._run(routine.body)

    def _write(self, variable: typed.Variable, value: Value, span: Span) -> None:
        self._values[variable.name] = value
        self.writers[variable.name] = span

    # --- statements ---------------------------------------------------------------------------

    def _run(self, statements: Sequence[typed.Statement]) -> Flow:
        for statement in statements:
            flow = self._statement(statement)
            if flow is not Flow.ON:
                return flow
        return Flow.ON

    def _statement(self, statement: typed.Statement) -> Flow:
        match statement:
            case typed.Assign() | typed.AssignElement():
                self._assign(statement)
            case typed.If():
                return self._if(statement)
            case typed.Case():
                return self._case(statement)
            case typed.For():
                return self._for(statement)
            case typed.While():
                return self._while(statement)
            case typed.Repeat():
                return self._repeat(statement)
            case typed.Exit():
                return Flow.EXIT
            case typed.Continue():
                return Flow.CONTINUE
            case typed.Return():
                return Flow.RETURN
            case typed.Evaluate():
                self._evaluate(statement.expression)
            case typed.CallBlock():
                self.run(statement.routine, statement.arguments)
                self._assign_all(statement.outputs)
            case typed.CallStandard():
                self._call_standard(statement)
            case typed.Restart():
                self._restart(statement)
        return Flow.ON

    def _assign(self, statement: typed.Store) -> None:
        value = self._evaluate(statement.value)
        if isinstance(statement, typed.Assign):
            target = statement.target
        else:
            indices = [self._evaluate(each.index) for each in statement.dimensions]
            place = position(statement.dimensions, indices, statement.place)
            target = statement.targets[place]
        self._write(target, value, statement.span)

    def _assign_all(self, statements: Sequence[typed.Store]) -> None:
        for statement in statements:
            self._assign(statement)

    def _if(self, statement: typed.If) -> Flow:
        for condition, body in statement.branches:
            if self._evaluate(condition):
                return self._run(body)
        return self._run(statement.otherwise)

    def _case(self, statement: typed.Case) -> Flow:
        selector = self._evaluate(statement.selector)
        for ranges, body in statement.arms:
            if any(low <= selector <= high for low, high in ranges):
                return self._run(body)
        return self._run(statement.otherwise)

    # --- loops --------------------------------------------------------------------------------

    def _for(self, loop: typed.For) -> Flow:
        first, last = self._evaluate(loop.first), self._evaluate(loop.last)
        self._write(loop.variable, first, loop.span)
        iterations = Iterations(self._loop_bound, loop)
        going = _within(first, last, loop.step)
        while going:
            iterations.start()
            flow = self._run(loop.body)
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
        return Flow.ON

    def _while(self, loop: typed.While) -> Flow:
        iterations = Iterations(self._loop_bound, loop)
        while self._evaluate(loop.condition):
            iterations.start()
            flow = self._run(loop.body)
            if flow is Flow.EXIT:
                break
            if flow is Flow.RETURN:
                return flow
        return Flow.ON

    def _repeat(self, loop: typed.Repeat) -> Flow:
        iterations = Iterations(self._loop_bound, loop)
        while True:
            iterations.start()
            flow = self._run(loop.body)
            if flow is Flow.EXIT:
                break
            if flow is Flow.RETURN:
                return flow
            if self._evaluate(loop.until):
                break
        return Flow.ON

    # --- calls --------------------------------------------------------------------------------

    def _bind(self, arguments: Arguments, values: Sequence[Value]) -> None:
        for (variable, expression), value in zip(arguments, values, strict=True):
            self._write(variable, value, expression.span)

    def _call_standard(self, call: typed.CallStandard) -> None:
        self._bind(call.arguments, [self._evaluate(value) for _, value in call.arguments])
        instance = call.instance
        memory = self._memories[instance]
        InstanceCall(instance, memory, self._values, self.elapsed, self._readings).run()
        for pin in OUTPUT_PINS[instance.block]:
            self.writers[instance.pins[pin].name] = call.span
        self._assign_all(call.outputs)

    def _restart(self, statement: typed.Restart) -> None:
        for variable in statement.variables:
            initial = self._arithmetic.given(variable.initial, variable.type)
            self._write(variable, initial, statement.span)
        for instance in statement.instances:
            self._memories[instance] = first_memory(instance, self._readings)

    def _call_function(self, call: typed.CallFunction) -> Value:
        self.run(call.routine, call.arguments)
        # The value is taken before anything that an output's target could be.
        result = self._values[call.result.name]
        self._assign_all(call.outputs)
        return result


def _within(value: int, last: int, step: int) -> bool:
    """Whether a FOR loop with this step still runs with this value of its variable."""
    return value <= last if step > 0 else value >= last
