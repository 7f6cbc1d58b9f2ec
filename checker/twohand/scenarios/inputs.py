"""What a scenario can set: inputs of its spec, by their own names and by those of hands."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from twohand.program import Expression, Literal, Operation, Operator, Read, Variable
from twohand.program.durations import Nanoseconds, Units
from twohand.program.types import BOOL, Duration, RealClasses, Value
from twohand.scan.concrete.execute import input_value
from twohand.scenarios.model import InputChange
from twohand.scenarios.syntax.nodes import RealBinding, Setting
from twohand.specification.model.specification import Hand, Specification
from twohand.specification.resolving.formula_builder import plain_expression
from twohand.specification.resolving.names import SpecificationScope, unknown
from twohand.specification.syntax.formulas import FormulaNode, start_name
from twohand.syntax import tree
from twohand.text.diagnostic import wrong
from twohand.text.source_text import Span
from twohand.typecheck.expressions.expressions import resolve_constant
from twohand.typecheck.reals.membership import as_number, class_of

_PLAIN = "set the inputs themselves"


def scope_of(specification: Specification) -> SpecificationScope:
    """The names of a spec: every variable, and its hands."""
    scope = SpecificationScope(specification.program)
    for hand in specification.hands:
        scope.hands[hand.name.casefold()] = (hand.name, hand.pressed)
    return scope


def writes_in_turn(variable: Variable, specification: Specification) -> bool:
    """Whether the program writes this input as well: what is set from outside is there for one
    scan, and then what the program left."""
    program = specification.program
    if variable.keeps_clock:
        return False
    return variable not in program.sampled or written_outside(variable, specification) is not None


def written_outside(variable: Variable, specification: Specification) -> Variable | None:
    """The program's variable that others write, of which this input is the value with which a scan
    begins."""
    if not variable.surroundings:
        return None
    names = {start_name(v.name): v for v in specification.program.variables}
    return names.get(variable.name)


class Inputs:
    """The inputs of one spec by the names that a scenario uses."""

    def __init__(self, specification: Specification) -> None:
        self.specification = specification
        self.scope = scope_of(specification)
        inputs = [v for v in specification.program.inputs if not v.keeps_clock]
        outside = {v: of for v in inputs if (of := written_outside(v, specification)) is not None}
        self._inputs = {outside.get(v, v): v for v in inputs}
        self._hands = {hand.name.casefold(): hand for hand in specification.hands}

    def names(self) -> list[str]:
        """Those of hands first."""
        own = (variable.name for variable in self._inputs)
        return list(dict.fromkeys([*(hand.name for hand in self._hands.values()), *own]))

    def at_first(self) -> dict[str, Value]:
        """Hands are off, the supply is on; everything else begins as its type does."""
        found: dict[str, Value] = {}
        for hand in self.specification.hands:
            for contact in hand.contacts:
                if (plain := _plain(contact)) is not None:
                    found[plain[0].name] = not plain[1]
        for variable in self._inputs:
            if isinstance(variable.type, RealClasses):  # 0.0 is in one but beside tiny constants
                found[variable.name] = class_of(variable.type, Fraction(0)) or 0
        power = self.specification.power
        return found if power is None else {**found, power.name: True}

    def changes(self, binding: Setting, time: Units) -> Iterator[InputChange]:
        """One for each input that is set; InputError where a name or a value is wrong."""
        name = binding.input
        hand = self._hands.get(name.text.casefold())
        if isinstance(binding, RealBinding):
            variable = self._input(name)
            value = self._class(variable, binding.text, binding.value_span)
            yield InputChange(time, variable, value, binding.span)
            return
        if hand is not None:
            on = bool(self._value(binding.value, Read(_boolean(hand), name.span), name.text))
            yield from (
                InputChange(time, v, on == as_on, binding.span) for v, as_on in contact_inputs(hand)
            )
            return
        variable = self._input(name)
        if isinstance(variable.type, RealClasses):
            place = binding.value.span
            yield InputChange(
                time, variable, self._class(variable, place.text, place), binding.span
            )
            return
        value = self._value(binding.value, Read(variable, name.span), name.text)
        yield InputChange(time, variable, value, binding.span)

    def takes_truth(self, name: tree.Name | tree.AccessPath) -> bool:
        """Whether it is a hand or a BOOL."""
        variable = self.scope.variable(name)
        is_hand = name.text.casefold() in self._hands
        return is_hand or (variable is not None and variable.type == BOOL)

    def supply(self, on: bool, time: Units, span: Span) -> InputChange:
        power = self.specification.power
        if power is None:
            message = "the spec has no POWER CYCLES, so its supply never goes"
            raise wrong("not-in-spec", message, span, "write POWER CYCLES; in the spec")
        return InputChange(time, power, on, span)

    def clock(self, shown: Units, time: Units, span: Span) -> InputChange:
        clock = self.specification.program.clock
        if clock is None:
            message = "the block does not read TIME(), so there is no clock to set"
            raise wrong("not-in-spec", message, span, "leave it out")
        return InputChange(time, clock, shown, span)

    def _input(self, name: tree.Name | tree.AccessPath) -> Variable:
        variable = self.scope.variable(name)
        if variable is None:
            raise unknown(name, self.names(), "input")
        if variable in self._inputs:
            return self._inputs[variable]
        message = f"'{variable.name}' is no input that is read from outside"
        known = ", ".join(f"'{each}'" for each in self.names()[:8])
        way = f"what is to be seen is written EXPECT; what can be set is {known}"
        raise wrong("not-an-input", message, name.span, way)

    def _value(self, node: FormulaNode, target: Read, shown: str) -> Value:
        kind = target.variable.type
        plain = plain_expression(node, "a value")
        literal = resolve_constant(plain, self.scope, kind)
        if literal.type != kind:
            message = f"'{shown}' is {kind.name}, not {literal.type.name}"
            way = f"write a value of type {kind.name}"
            raise wrong("type-mismatch", message, node.span, way)
        return self._within(literal, target.variable, node.span, shown)

    def _class(self, variable: Variable, text: str, place: Span) -> Value:
        """The class of a REAL: by its words, or by a number in it."""
        kind = variable.type
        if not isinstance(kind, RealClasses):
            message = f"'{variable.name}' is {kind.name}, and this is none"
            raise wrong("type-mismatch", message, place, f"write a value of type {kind.name}")
        words = text.strip().casefold()
        found = next((number for name, number in kind.values if name.casefold() == words), None)
        if found is None and (number := as_number(words)) is not None:
            found = class_of(kind, number)
        if found is None:
            shown = ", ".join(f"'{name}'" for name, _ in kind.values)
            message = f"'{variable.name}' has no such value, or platforms differ in where it is"
            raise wrong("value-out-of-range", message, place, f"write one of {shown}, or a number")
        return found

    def _within(self, literal: Literal, variable: Variable, span: Span, shown: str) -> Value:
        value = literal.value
        if isinstance(variable.type, Duration):
            try:
                value = self.specification.clocking.units(Nanoseconds(int(value)))
            except ValueError:
                message, way = "this is finer than the unit", "state a finer UNIT in the spec"
                raise wrong("finer-than-unit", message, span, way) from None
        try:
            return input_value(variable, value)
        except ValueError:
            message = f"'{shown}' cannot have this value"
            way = f"write a value of type {variable.type.name}"
            raise wrong("value-out-of-range", message, span, way) from None


def _boolean(hand: Hand) -> Variable:
    """A variable of the hand's type."""
    (contact, *_) = hand.contacts
    read = next(iter(contact_inputs(hand)), None)
    if read is None:
        message = f"the contacts of '{hand.name}' are no plain inputs, so it cannot be set"
        raise wrong("contact-not-plain", message, contact.span, _PLAIN)
    return read[0]


def contact_inputs(hand: Hand) -> list[tuple[Variable, bool]]:
    """The inputs of a hand and what each of them shows while it is on; InputError where one is no
    plain input."""
    found = []
    for contact in hand.contacts:
        plain = _plain(contact)
        if plain is None:
            message = f"this contact of '{hand.name}' is no plain input, so it cannot be set"
            raise wrong("contact-not-plain", message, contact.span, _PLAIN)
        found.append(plain)
    return found


def _plain(contact: Expression) -> tuple[Variable, bool] | None:
    match contact:
        case Read(variable) if variable.type == BOOL:
            return variable, True
        case Operation(Operator.NOT, (Read(variable),)) if variable.type == BOOL:
            return variable, False
    return None
