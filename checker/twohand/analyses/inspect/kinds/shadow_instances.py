"""Whether leaving a call out can be seen at all: an instance with a shadow beside it.

The shadow gets every call and every assignment that the instance gets, and at the end of each scan
that ran the block without calling the instance one call more. As long as no read of a pin finds the
two unlike, the program does with the instance what it would do with the shadow in its place; so
where none ever does, it is the same program as its twin (``skipped_calls``).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from twohand.analyses.inspect.marking.called import CalledMarks
from twohand.analyses.inspect.marking.instrumentation import SIGN, keep, logic, mark, note, when
from twohand.analyses.inspect.marking.rest import given_without_call
from twohand.analyses.inspect.points import Question, any_of
from twohand.program import (
    Assign,
    AssignElement,
    CallStandard,
    Convert,
    Expression,
    Literal,
    Operation,
    Operator,
    Program,
    Read,
    Routine,
    StandardInstance,
    Statement,
    Store,
    Variable,
)
from twohand.program.walks import nodes_below
from twohand.text.source_text import Span

Arguments = tuple[tuple[Variable, Expression], ...]


@dataclass(eq=False)
class Shadow:
    """``arguments`` are those of the further calls."""

    instance: StandardInstance
    arguments: Arguments
    number: int
    copy: StandardInstance = field(init=False)
    unlike: Variable = field(init=False)
    question: Question = field(init=False)

    def __post_init__(self) -> None:
        stem = f"{SIGN}shadow.{self.number}."
        pins = {p: replace(v, name=stem + v.name) for p, v in self.instance.pins.items()}
        self.copy = replace(self.instance, name=stem + self.instance.name, pins=pins)
        self.unlike = mark(f"unlike.{self.number}", self.instance.span)
        name = f"{self.instance.name} and its shadow"
        self.question = Question(name, any_of([self.unlike]))

    def of(self, pin: Variable) -> Variable | None:
        """The shadow's pin."""
        names = (name for name, each in self.instance.pins.items() if each is pin)
        name = next(names, None)
        return None if name is None else self.copy.pins[name]

    def with_own_pins(self, value: Expression) -> Expression:
        """An argument that reads the shadow where it read the instance."""
        match value:
            case Read(variable=variable):
                own = self.of(variable)
                return value if own is None else replace(value, variable=own)
            case Operation(operands=operands):
                return replace(value, operands=tuple(map(self.with_own_pins, operands)))
            case Convert(operand=operand):
                return replace(value, operand=self.with_own_pins(operand))
        return value


class ShadowMarks(CalledMarks):
    def __init__(self, shadows: Iterable[Shadow]) -> None:
        self._shadows = list(shadows)
        super().__init__(dict.fromkeys(s.instance for s in self._shadows))
        self.anew += [s.unlike for s in self._shadows]
        self.lasting = [pin for s in self._shadows for pin in s.copy.pins.values()]
        self.copies = {s.copy: s.instance for s in self._shadows}
        self._by_pin: dict[Variable, list[Shadow]] = {}
        for shadow in self._shadows:
            for pin in shadow.instance.pins.values():
                self._by_pin.setdefault(pin, []).append(shadow)

    def stored(self, store: Store) -> Iterable[Assign]:
        if isinstance(store, AssignElement):  # not followed (``can_be_shadowed``)
            return ()
        pins = [(s, s.of(store.target)) for s in self._by_pin.get(store.target, ())]
        return [keep(pin, Read(store.target, store.span)) for _, pin in pins if pin is not None]

    def reading(self, read: Read) -> Iterable[Statement]:
        shadows = self._by_pin.get(read.variable, ())
        return [self._compared(s, read.variable, read.span) for s in shadows]

    def _compared(self, shadow: Shadow, pin: Variable, span: Span) -> Statement:
        own = shadow.of(pin)
        assert own is not None
        unlike = logic(Operator.UNEQUAL, Read(pin, span), Read(own, span))
        return when(unlike, note(shadow.unlike, span))

    def after(self, statement: Statement, last: bool) -> Iterable[Statement]:
        if not isinstance(statement, CallStandard):
            return ()
        found: list[Statement] = [*super().after(statement, last)]
        span = statement.span
        for shadow in self._shadows:
            if shadow.instance is not statement.instance:
                continue
            given = [
                (shadow.of(pin), value if isinstance(value, Literal) else Read(pin, span))
                for pin, value in statement.arguments
            ]
            arguments = tuple((pin, value) for pin, value in given if pin is not None)
            found.append(CallStandard(shadow.copy, arguments, (), span))
            if statement.outputs:
                pins = shadow.instance.pins.values()
                found += [self._compared(shadow, pin, span) for pin in pins]
        return found

    def end(self) -> Iterable[Statement]:
        for shadow in self._shadows:
            span = shadow.instance.span
            arguments = tuple(
                (own, shadow.with_own_pins(value))
                for pin, value in shadow.arguments
                if (own := shadow.of(pin)) is not None
            )
            yield when(
                self.skipped(shadow.instance), CallStandard(shadow.copy, arguments, (), span)
            )


def can_be_shadowed(instance: StandardInstance, program: Program, routine: Routine) -> bool:
    """Whether every read of the instance is in the block, and no assignment chooses it by index."""
    if given_without_call(instance, program):
        return False
    pins = set(instance.pins.values())
    inside = {id(node) for node in nodes_below(routine)}
    for node in nodes_below(program.routine):
        if isinstance(node, Read) and node.variable in pins and id(node) not in inside:
            return False
        if isinstance(node, AssignElement) and not pins.isdisjoint(node.targets):
            return False
    return True
