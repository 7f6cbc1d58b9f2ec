"""Clocks that are compared for equality, and pass the value between two comparisons."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from twohand import program as typed
from twohand.analyses.inspect.marking.source_words import shortly
from twohand.analyses.inspect.points import (
    Answers,
    InspectionKind,
    Marked,
    Place,
    Point,
    Question,
    Said,
    Status,
    Weight,
    answered,
    place_of,
)
from twohand.program.instrumentation import Probe, keep, logic, mark
from twohand.program.types import BOOL, Duration
from twohand.program.walks import nodes_below
from twohand.text.source_text import Span

PASSED = "a clock goes on by whole scan times, so that it meets one value only by chance; use >="

CHANGES = "whether it can pass such a value unseen is not asked"


@dataclass(eq=False)
class _Compared(Marked):
    """``value`` is what the clock (``name``) is compared with; ``moves``: whether that can change,
    so that not every way past it is marked."""

    value: str = ""
    moves: bool = False


class ClockMarks(Probe):
    """Marks comparisons with = and <> of a clock (an ET, or what takes its value from one) with
    something else that stands still: below it the last time, and now above it."""

    def __init__(self, program: typed.Program, routine: typed.Routine) -> None:
        super().__init__()
        self._clocks = clocks_of(program, routine)
        self._moving = _moving(program)
        self._found: dict[Place, _Compared] = {}

    def comparing(self, comparison: typed.Operation) -> Iterable[typed.Statement]:
        if comparison.operator not in (typed.Operator.EQUAL, typed.Operator.UNEQUAL):
            return ()
        first, second = comparison.operands
        pair = self._pair(first, second) or self._pair(second, first)
        return () if pair is None else self._watched(*pair, comparison.span)

    def _pair(
        self, clock: typed.Expression, other: typed.Expression
    ) -> tuple[typed.Read, typed.Read | typed.Literal] | None:
        if not isinstance(clock, typed.Read) or clock.variable not in self._clocks:
            return None
        still = isinstance(other, typed.Literal) or (
            isinstance(other, typed.Read) and other.variable not in self._clocks
        )
        return (clock, other) if still and isinstance(other, typed.Read | typed.Literal) else None

    def _watched(
        self, clock: typed.Read, other: typed.Read | typed.Literal, span: Span
    ) -> list[typed.Statement]:
        number = len(self.anew)
        passed = mark(f"passed.{number}", span)
        below = mark(f"below.{number}", span)
        bound = mark(f"bound.{number}", span, other.type, 0)
        self.anew.append(passed)
        self.lasting += [below, bound]
        name, value = shortly(clock.span), shortly(other.span)
        asks = f"whether '{name}' is below {value} in one comparison at line {span.line} "
        asks += "and above it in the next"
        made = _Compared(name, span, asks, value=value)
        found = self._found.setdefault(place_of(span), made)
        found.moves |= isinstance(other, typed.Read) and other.variable in self._moving
        found.marks.append(passed)
        now = logic(
            typed.Operator.AND,
            typed.Read(below, span),
            logic(typed.Operator.GREATER, clock, other),
            logic(typed.Operator.EQUAL, typed.Read(bound, span), other),
        )
        ever = typed.Operation(typed.Operator.OR, (typed.Read(passed, span), now), BOOL, span)
        return [
            typed.Assign(passed, ever, span),
            keep(below, logic(typed.Operator.LESS, clock, other)),
            keep(bound, other),
        ]

    def questions(self) -> Iterable[Question]:
        return [found.question for found in self._found.values()]

    def points(self, answers: Answers) -> Iterator[Point]:
        kind = InspectionKind.PASSED_CLOCK
        for found in self._found.values():
            clock, value = f"'{found.name}'", found.value
            never = (Weight.HARMLESS, f"{clock} never passes {value} unseen by this comparison", "")
            if found.moves:
                sentence = f"{clock} is compared for equality with {value}, which changes"
                never = (Weight.NOTE, sentence, CHANGES)
            passes = f"{clock} can pass {value} without being equal to it in any comparison"
            open_ = f"whether {clock} can pass {value} unseen was not decided"
            said: dict[Status, Said] = {
                Status.REACHED: (Weight.FAULT, passes, PASSED),
                Status.NEVER: never,
                Status.OPEN: (Weight.OPEN, open_, ""),
            }
            yield from answered(kind, found.question, answers, found.span, said, (found.name,))


def _moving(program: typed.Program) -> frozenset[typed.Variable]:
    """What is sampled, or has more than one value beside the 0 that no clock is below."""
    values = {v: {v.initial} - {0} for v in program.variables}
    moving = set(program.inputs)
    for node in nodes_below(program.routine):
        match node:
            case typed.Assign(target=target, value=value):
                given = [(target, value)]
            case typed.AssignElement(targets=targets, value=value):
                given = [(target, value) for target in targets]
            case typed.CallBlock() | typed.CallFunction() | typed.CallStandard():
                given = list(node.arguments)
            case _:
                continue
        for variable, value in given:
            plain = _plain(value)
            if isinstance(plain, typed.Literal):
                values.setdefault(variable, set()).add(plain.value)
            else:
                moving.add(variable)
    return frozenset(moving | {v for v, known in values.items() if len(known) > 1})


def clocks_of(program: typed.Program, routine: typed.Routine) -> frozenset[typed.Variable]:
    """The ETs, and the durations that take a value from one and are otherwise given literals."""
    clocks = {each.pins["ET"] for each in program.instances if "ET" in each.pins}
    given: dict[typed.Variable, list[typed.Expression]] = {}
    for node in nodes_below(routine):
        if isinstance(node, typed.Assign) and isinstance(node.target.type, Duration):
            given.setdefault(node.target, []).append(_plain(node.value))
    inputs = set(program.inputs)
    grown = True
    while grown:
        more = {
            variable
            for variable, values in given.items()
            if variable not in clocks | inputs
            and any(isinstance(v, typed.Read) and v.variable in clocks for v in values)
            and all(isinstance(v, typed.Literal) or _reads(v, clocks) for v in values)
        }
        clocks |= more
        grown = bool(more)
    return frozenset(clocks)


def _reads(value: typed.Expression, clocks: set[typed.Variable]) -> bool:
    return isinstance(value, typed.Read) and value.variable in clocks


def _plain(value: typed.Expression) -> typed.Expression:
    while isinstance(value, typed.Convert) and isinstance(value.operand.type, Duration):
        value = value.operand
    return value
