"""Whether leaving a call out can be seen at all: an instance with a shadow beside it.

The shadow gets every call and every assignment that the instance gets, and at the end of each scan
that ran the block without calling the instance one call more. As long as no read of a pin finds the
two unlike, the program does with the instance what it would do with the shadow in its place; so
where none ever does, it is the same program as its twin (``skipped_calls``).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from twohand import program as typed
from twohand.analyses.inspect.marking.rest import given_without_call
from twohand.analyses.inspect.points import Question, any_of
from twohand.evidence.calls.called_marks import CalledMarks
from twohand.evidence.calls.further_calls import Arguments
from twohand.program.instrumentation import SIGN, keep, logic, mark, note, when
from twohand.program.walks import nodes_below
from twohand.text.source_text import Span


@dataclass(eq=False)
class Shadow:
    """``arguments`` are those of the further calls, ``words`` the same in words."""

    instance: typed.StandardInstance
    words: str
    arguments: Arguments
    number: int
    copy: typed.StandardInstance = field(init=False)
    unlike: typed.Variable = field(init=False)
    question: Question = field(init=False)

    def __post_init__(self) -> None:
        stem = f"{SIGN}shadow.{self.number}."
        pins = {p: replace(v, name=stem + v.name) for p, v in self.instance.pins.items()}
        self.copy = replace(self.instance, name=stem + self.instance.name, pins=pins)
        self.unlike = mark(f"unlike.{self.number}", self.instance.span)
        name = f"{self.instance.name} and its shadow"
        asks = (
            f"whether some scan reads '{self.instance.name}' with another value than if every scan "
            f"that left it out had called it {self.words}"
        )
        self.question = Question(name, any_of([self.unlike]), asks)

    def of(self, pin: typed.Variable) -> typed.Variable | None:
        """The shadow's pin."""
        names = (name for name, each in self.instance.pins.items() if each is pin)
        name = next(names, None)
        return None if name is None else self.copy.pins[name]

    def with_own_pins(self, value: typed.Expression) -> typed.Expression:
        """An argument that reads the shadow where it read the instance."""
        match value:
            case typed.Read(variable=variable):
                own = self.of(variable)
                return value if own is None else replace(value, variable=own)
            case typed.Operation(operands=operands):
                return replace(value, operands=tuple(map(self.with_own_pins, operands)))
            case typed.Convert(operand=operand):
                return replace(value, operand=self.with_own_pins(operand))
        return value


class ShadowMarks(CalledMarks):
    def __init__(self, shadows: Iterable[Shadow]) -> None:
        self._shadows = list(shadows)
        super().__init__(dict.fromkeys(s.instance for s in self._shadows))
        self.anew += [s.unlike for s in self._shadows]
        self.lasting = [pin for s in self._shadows for pin in s.copy.pins.values()]
        self.copies = {s.copy: s.instance for s in self._shadows}
        self._by_pin: dict[typed.Variable, list[Shadow]] = {}
        for shadow in self._shadows:
            for pin in shadow.instance.pins.values():
                self._by_pin.setdefault(pin, []).append(shadow)

    def stored(self, store: typed.Store) -> Iterable[typed.Assign]:
        if isinstance(store, typed.AssignElement):  # not followed (``can_be_shadowed``)
            return ()
        pins = [(s, s.of(store.target)) for s in self._by_pin.get(store.target, ())]
        return [
            keep(pin, typed.Read(store.target, store.span)) for _, pin in pins if pin is not None
        ]

    def reading(self, read: typed.Read) -> Iterable[typed.Statement]:
        shadows = self._by_pin.get(read.variable, ())
        return [self._compared(s, read.variable, read.span) for s in shadows]

    def _compared(self, shadow: Shadow, pin: typed.Variable, span: Span) -> typed.Statement:
        own = shadow.of(pin)
        assert own is not None
        unlike = logic(typed.Operator.UNEQUAL, typed.Read(pin, span), typed.Read(own, span))
        return when(unlike, note(shadow.unlike, span))

    def after(self, statement: typed.Statement, last: bool) -> Iterable[typed.Statement]:
        if not isinstance(statement, typed.CallStandard):
            return ()
        found: list[typed.Statement] = [*super().after(statement, last)]
        span = statement.span
        for shadow in self._shadows:
            if shadow.instance is not statement.instance:
                continue
            given = [
                (
                    shadow.of(pin),
                    value if isinstance(value, typed.Literal) else typed.Read(pin, span),
                )
                for pin, value in statement.arguments
            ]
            arguments = tuple((pin, value) for pin, value in given if pin is not None)
            found.append(typed.CallStandard(shadow.copy, arguments, (), span))
            if statement.outputs:
                pins = shadow.instance.pins.values()
                found += [self._compared(shadow, pin, span) for pin in pins]
        return found

    def end(self) -> Iterable[typed.Statement]:
        for shadow in self._shadows:
            span = shadow.instance.span
            arguments = tuple(
                (own, shadow.with_own_pins(value))
                for pin, value in shadow.arguments
                if (own := shadow.of(pin)) is not None
            )
            yield when(
                self.skipped(shadow.instance), typed.CallStandard(shadow.copy, arguments, (), span)
            )


def can_be_shadowed(
    instance: typed.StandardInstance, program: typed.Program, routine: typed.Routine
) -> bool:
    """Whether every read of the instance is in the block, and no assignment chooses it by index."""
    if given_without_call(instance, program):
        return False
    pins = set(instance.pins.values())
    inside = {id(node) for node in nodes_below(routine)}
    for node in nodes_below(program.routine):
        if isinstance(node, typed.Read) and node.variable in pins and id(node) not in inside:
            return False
        if isinstance(node, typed.AssignElement) and not pins.isdisjoint(node.targets):
            return False
    return True
