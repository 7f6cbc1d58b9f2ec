"""Timers, counters and edge blocks that some scan does not call, beside themselves called always.

A twin is the same program in which every scan that did not call the instance calls it at its end:
as if its signal were FALSE, or with the arguments of its only call. Where the block shows the same
as one of its twins in every scan, leaving the call out does nothing that such a call would not do.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from checker.source.program import (
    CallBlock,
    CallFunction,
    CallStandard,
    Element,
    Expression,
    Operation,
    Operator,
    Program,
    Read,
    Routine,
    ShortCircuit,
    StandardInstance,
    Statement,
    Variable,
)
from checker.source.types import BOOL
from checker.temporal.call_marks import COUNTERS, EDGES, SIGNALS, TIMERS, Calls, place
from checker.temporal.inspection import Kind, Point, Question, Status, Weight
from checker.temporal.marks import Watch, logic, mark, marked, negation, note, truth, when
from checker.temporal.requirement import Specification
from checker.temporal.side_by_side import SideBySide, shown, side_by_side
from checker.temporal.walk import nodes_below

PREFIXES = ("written.", "twin.")
WHY = {
    **dict.fromkeys(TIMERS, "a timer that is not called keeps its outputs while its time goes on"),
    **dict.fromkeys(EDGES, "an edge block that is not called keeps its output and its old input"),
    **dict.fromkeys(COUNTERS, "a counter that is not called misses edges, or sees old ones"),
}
_SAFE = (Operator.NOT, Operator.AND, Operator.OR, Operator.XOR, Operator.EQUAL, Operator.UNEQUAL,
         Operator.LESS, Operator.LESS_EQUAL, Operator.GREATER, Operator.GREATER_EQUAL)  # fmt: skip


@dataclass(frozen=True, eq=False)
class Twin:
    """``specification`` has the program and its twin side by side; ``question`` asks whether what
    they show can differ. ``compared`` are the variables, as the program has them."""

    words: str
    specification: Specification
    both: SideBySide
    question: Question
    compared: tuple[Variable, ...]


def twins_of(
    specification: Specification, block: CallBlock | None, calls: Calls, number: int
) -> Iterator[Twin]:
    """The twins for one instance of a declaration, those whose proof would say most first."""
    instance = calls.instances[number]
    signals = SIGNALS[instance.block]
    span = instance.span
    silent = tuple((instance.pins[pin], truth(False, span)) for pin in signals)
    words = " and ".join(f"{pin} FALSE" for pin in signals)
    yield _twin(specification, block, instance, silent, f"with {words}")
    arguments = _arguments(calls, instance, specification.program)
    if arguments is not None:
        what = "with the arguments of its call" if arguments else "with its inputs as they stand"
        yield _twin(specification, block, instance, arguments, what)


def _arguments(
    calls: Calls, instance: StandardInstance, program: Program
) -> tuple[tuple[Variable, Expression], ...] | None:
    """The arguments of the only call; none where there are several; None where evaluating them
    could fail or act, or where they are another routine's own."""
    sites = [
        node
        for node in nodes_below(program.routine)
        if isinstance(node, CallStandard) and node.instance is instance
    ]
    if len({id(site) for site in sites}) != 1:
        return ()
    arguments = sites[0].arguments
    own = set(_own(program))
    for _, value in arguments:
        for node in nodes_below(value):
            if isinstance(node, CallFunction | Element | ShortCircuit):
                return None
            if isinstance(node, Operation) and node.operator not in _SAFE:
                return None
            if isinstance(node, Read) and node.variable in own:
                return None
    return arguments


def _own(program: Program) -> Iterator[Variable]:
    """Variables that begin anew at each call of a routine that has them."""
    for node in nodes_below(program.routine):
        if isinstance(node, Routine) and node is not program.routine:
            yield from node.initialise


class _Twice(Watch):
    """Calls one instance at the end of each scan that ran the block without calling it."""

    def __init__(
        self, instance: StandardInstance, arguments: tuple[tuple[Variable, Expression], ...]
    ) -> None:
        super().__init__()
        self._instance = instance
        self._arguments = arguments
        self._called = mark("called", instance.span)
        self._runs = mark("runs", instance.span)
        self.anew = [self._called, self._runs]
        self._started = False

    def enter(self, node: Statement | Routine, way: int) -> Iterable[Statement]:
        if self._started:
            return ()
        self._started = True
        return (note(self._runs, self._runs.span),)

    def after(self, statement: Statement, last: bool) -> Iterable[Statement]:
        if isinstance(statement, CallStandard) and statement.instance is self._instance:
            return (note(self._called, statement.span),)
        return ()

    def end(self) -> Iterable[Statement]:
        span = self._instance.span
        skipped = logic(Operator.AND, Read(self._runs, span), negation(self._called, span))
        yield when(skipped, CallStandard(self._instance, self._arguments, (), span))


def _twin(
    specification: Specification,
    block: CallBlock | None,
    instance: StandardInstance,
    arguments: tuple[tuple[Variable, Expression], ...],
    words: str,
) -> Twin:
    program = specification.program
    other = marked(program, [_Twice(instance, arguments)], block)
    both = side_by_side(program, other, PREFIXES)
    compared = _compared(program, instance)
    first, second = both.first.variables, both.second.variables
    unequal = [
        logic(Operator.UNEQUAL, Read(first[v], v.span), Read(second[v], v.span))
        for v in compared
        if first[v] is not second[v]
    ]
    reached: Expression = truth(False, instance.span)
    if unequal:
        reached = unequal[0]
    if len(unequal) > 1:
        reached = Operation(Operator.OR, tuple(unequal), BOOL, instance.span)
    question = Question(f"{instance.name} called always, {words}", reached, run=True)
    together = replace(specification, program=both.program, outputs=(), requirements=(), lags=())
    return Twin(words, together, both, question, compared)


def _compared(program: Program, instance: StandardInstance) -> tuple[Variable, ...]:
    """What the block shows; where it shows nothing, all that it remembers but the instance."""
    visible = shown(program)
    if visible:
        return visible
    own = {*instance.pins.values(), *program.sampled}
    return tuple(v for v in program.variables if v not in own)


def unread_point(calls: Calls) -> Point:
    sentence = f"'{calls.name}' is not called in every scan, and nobody reads its outputs"
    return Point(Kind.SKIPPED_CALL, Weight.NOTE, sentence, place(calls), "it could be left out")


def skipped_point(calls: Calls, told: Sequence[tuple[Twin, Status]]) -> tuple[Point, int]:
    """What the answers about the twins of an instance say, and the number of the twin that is the
    evidence. ``told`` ends with the first twin that is never unlike."""
    declared, span = calls.declared, place(calls)
    others = tuple((call.span, "called here too") for call in list(calls.sites.values())[1:])
    name = f"'{calls.name}' ({declared.block.value})"
    twin, status = told[-1]
    if status is Status.NEVER:
        sentence = (
            f"{name} is not called in every scan; in scans without the call all goes on as if it "
            f"were called {twin.words}"
        )
        return (
            Point(
                Kind.SKIPPED_CALL,
                Weight.HARMLESS,
                sentence,
                span,
                others=others,
                question=twin.question,
            ),
            len(told) - 1,
        )
    for number, (twin, status) in enumerate(told):
        if status is Status.OPEN:
            sentence = (
                f"{name} is not called in every scan; whether that is the same as a call "
                f"{twin.words} was not decided"
            )
            point = Point(
                Kind.SKIPPED_CALL,
                Weight.OPEN,
                sentence,
                span,
                others=others,
                question=twin.question,
            )
            return point, number
    words = " or ".join(twin.words for twin, _ in told)
    sentence = f"{name} is not called in every scan, and that shows"
    why = f"{WHY[declared.block]}: not what it would be if such scans called it {words}"
    twin = told[0][0]
    return (
        Point(
            Kind.SKIPPED_CALL,
            Weight.FAULT,
            sentence,
            span,
            why,
            others,
            _shown(calls, twin),
            twin.question,
        ),
        0,
    )


def _shown(calls: Calls, twin: Twin) -> tuple[str, ...]:
    """What a run is told with: what is compared, in both, and the instance as it is."""
    first, second = twin.both.first.variables, twin.both.second.variables
    pins = [v for each in calls.instances[:1] for v in each.pins.values() if v.name[-2:] != "PT"]
    names = [first[v].name for v in pins]
    for variable in twin.compared:
        names += [first[variable].name, second[variable].name]
    return tuple(dict.fromkeys(names))
