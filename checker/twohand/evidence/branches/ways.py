"""The branches of a scan: the ways through each statement, and what the call of a standard block
can come to. They are taken from the text, so that none is missed where its model misses one."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from twohand import program as typed
from twohand.program import Operator, StandardBlock
from twohand.program.instrumentation import Probe, instrumented, keep, logic, mark, note, when
from twohand.text.source_text import Span

Memory = tuple[tuple[str, bool], ...]


@dataclass(frozen=True, eq=False)
class Way:
    """``mark`` is TRUE at the end of a scan that went it; ``memory`` is what an instance remembers
    before such a scan, by the name of its state. ``words`` say what happens at ``span``."""

    mark: typed.Variable
    span: Span
    words: str
    memory: Memory = ()


@dataclass(frozen=True)
class _Outcome:
    """What a call can come to: a condition over the pins after it."""

    words: str
    condition: typed.Expression
    memory: Memory = ()


def with_ways(program: typed.Program) -> tuple[typed.Program, tuple[Way, ...]]:
    """The program with a mark for each branch, each instance of a block having its own."""
    ways = _Ways()
    return instrumented(program, [ways]), tuple(ways.found)


class _Ways(Probe):
    def __init__(self) -> None:
        super().__init__()
        self.found: list[Way] = []
        self._ran: dict[int, typed.Variable] = {}
        """For a loop that may be passed over, whether it ran since it was reached last."""
        self._counts: dict[int, typed.Variable] = {}
        """For a counter's call, CV before it."""

    def before(self, statement: typed.Statement) -> Iterable[typed.Statement]:
        match statement:
            case typed.For() | typed.While() if not _surely_runs(statement):
                ran = self._ran[id(statement)] = self._variable("ran", statement.span)
                return (note(ran, statement.span, False),)
            case typed.CallStandard(instance=instance) if "CV" in instance.pins:
                pin = instance.pins["CV"]
                count = mark(f"count.{len(self._counts)}", statement.span, pin.type, pin.initial)
                self.anew.append(count)
                self._counts[id(statement)] = count
                return (keep(count, typed.Read(pin, statement.span)),)
        return ()

    def enter(
        self, node: typed.Statement | typed.Routine, branch: int
    ) -> Iterable[typed.Statement]:
        if isinstance(node, typed.Routine):
            outermost = not self.found and bool(node.body)
            return (self._noted(node.body[0].span, "the whole scan"),) if outermost else ()
        span, words = _entered(node, branch)
        found = [self._noted(span, words)]
        if id(node) in self._ran:
            found.append(note(self._ran[id(node)], node.span))
        return found

    def after(self, statement: typed.Statement, last: bool) -> Iterable[typed.Statement]:
        if isinstance(statement, typed.CallStandard):
            count = self._counts.get(id(statement))
            outcomes = () if statement.instance.surroundings else _outcomes(statement, count)
            return [self._outcome(statement, each) for each in outcomes]
        ran = self._ran.get(id(statement))
        if ran is None:
            return ()
        idle = logic(Operator.NOT, typed.Read(ran, statement.span))
        return (when(idle, self._noted(statement.span, "a loop that is passed over")),)

    def _outcome(self, call: typed.CallStandard, outcome: _Outcome) -> typed.Statement:
        words = f"{call.instance.name} {outcome.words}"
        return when(outcome.condition, self._noted(call.span, words, outcome.memory))

    def _noted(self, span: Span, words: str, memory: Memory = ()) -> typed.Statement:
        way = Way(self._variable("way", span), span, words, memory)
        self.found.append(way)
        return note(way.mark, span)

    def _variable(self, name: str, span: Span) -> typed.Variable:
        made = mark(f"{name}.{len(self.anew)}", span)
        self.anew.append(made)
        return made


def _surely_runs(loop: typed.For | typed.While) -> bool:
    return (
        isinstance(loop, typed.For)
        and isinstance(loop.first, typed.Literal)
        and isinstance(loop.last, typed.Literal)
    )


def _entered(node: typed.Statement, branch: int) -> tuple[Span, str]:
    match node:
        case typed.If(branches=branches):
            if branch < len(branches):
                return branches[branch][0].span, "this condition TRUE"
            every = "its condition" if len(branches) == 1 else "each of its conditions"
            return node.span, f"{every} FALSE"
        case typed.Case(arms=arms):
            if branch == len(arms):
                return node.span, "a value in no arm of CASE"
            body = arms[branch][1]
            place = body[0].span if body else node.span
            return place, f"arm {branch + 1} of CASE"
    return node.span, "a loop that runs"


# --- what a call can come to ------------------------------------------------------------------


def _outcomes(call: typed.CallStandard, count: typed.Variable | None) -> Sequence[_Outcome]:
    match call.instance.block:
        case StandardBlock.TON | StandardBlock.TOF | StandardBlock.TP:
            return _of_timer(call)
        case StandardBlock.R_TRIG | StandardBlock.F_TRIG:
            return _of_edge(call)
        case StandardBlock.SR:
            return _of_bistable("is set", _pin(call, "S1"), "is reset", _pin(call, "R"))
        case StandardBlock.RS:
            return _of_bistable("is reset", _pin(call, "R1"), "is set", _pin(call, "S"))
    assert count is not None
    return _of_counter(call, count)


def _of_timer(call: typed.CallStandard) -> Sequence[_Outcome]:
    given, on = _pin(call, "IN"), _pin(call, "Q")
    name = call.instance.name

    def last(value: bool) -> Memory:
        return ((f"{name}#last", value),)

    def pulsing(value: bool) -> Memory:
        return ((f"{name}#pulsing", value),)

    match call.instance.block:
        case StandardBlock.TON:
            return (
                _Outcome("starts", given, last(False)),
                _Outcome("runs", _and(given, _not(on)), last(True)),
                _Outcome("is over", _and(given, on), last(True)),
                _Outcome("is off", _not(given)),
            )
        case StandardBlock.TOF:
            return (
                _Outcome("is on", given),
                _Outcome("starts", _not(given), last(True)),
                _Outcome("runs", _and(_not(given), on), last(False)),
                _Outcome("is over", _and(_not(given), _not(on)), last(False)),
            )
    return (
        _Outcome("starts", given, (*last(False), *pulsing(False))),
        _Outcome("runs", on, pulsing(True)),
        _Outcome("is over", _not(on), pulsing(True)),
        _Outcome("is off", _not(on), pulsing(False)),
    )


def _of_edge(call: typed.CallStandard) -> Sequence[_Outcome]:
    on, fires = _pin(call, "CLK"), _pin(call, "Q")
    rising = call.instance.block is StandardBlock.R_TRIG
    level, other = (on, _not(on)) if rising else (_not(on), on)
    return (
        _Outcome("fires", fires),
        _Outcome("sees no edge", _and(level, _not(fires))),
        _Outcome("is ready again", other),
    )


def _of_bistable(
    stronger: str, first: typed.Expression, weaker: str, second: typed.Expression
) -> Sequence[_Outcome]:
    return (
        _Outcome(stronger, first),
        _Outcome(weaker, _and(_not(first), second)),
        _Outcome("stays", _and(_not(first), _not(second))),
    )


def _of_counter(call: typed.CallStandard, count: typed.Variable) -> Sequence[_Outcome]:
    pins = call.instance.pins
    before, now = typed.Read(count, call.span), _pin(call, "CV")
    found: list[_Outcome] = []
    free: list[typed.Expression] = []
    for pin, words in (("R", "is reset"), ("LD", "is loaded")):
        if pin in pins:
            found.append(_Outcome(words, _and(*free, _pin(call, pin))))
            free.append(_not(_pin(call, pin)))
    for pin, words, operator in (
        ("CU", "up", Operator.GREATER),
        ("CD", "down", Operator.LESS),
    ):
        if pin in pins:
            again = ((f"{call.instance.name}#last_{words}", True),)
            found.append(_Outcome(f"counts {words}", _and(*free, logic(operator, now, before))))
            found.append(_Outcome(f"sees no edge of {pin}", _and(*free, _pin(call, pin)), again))
    found.append(_Outcome("stays", _and(*free, logic(Operator.EQUAL, now, before))))
    return found


def _pin(call: typed.CallStandard, name: str) -> typed.Expression:
    return typed.Read(call.instance.pins[name], call.span)


def _not(operand: typed.Expression) -> typed.Expression:
    return logic(Operator.NOT, operand)


def _and(*operands: typed.Expression) -> typed.Expression:
    return operands[0] if len(operands) == 1 else logic(Operator.AND, *operands)
