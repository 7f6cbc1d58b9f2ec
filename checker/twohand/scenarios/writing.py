"""A run as the text of a scenario that plays to the same end: each scan's time and every input."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby

from twohand.evidence.verdict import Counterexample
from twohand.program import Read, Variable
from twohand.program.durations import Units
from twohand.program.types import BitString, Boolean, Duration, Enumeration, RealClasses, Value
from twohand.program.walks import variables_read
from twohand.scan.concrete.execute import input_value
from twohand.scenarios.inputs import writes_in_turn, written_outside
from twohand.specification.model.specification import Specification
from twohand.specification.phrases import milliseconds, one_line

WIDTH = 100
Assigned = list[tuple[Variable, Value]]
"""Inputs and what they are set to."""
_OTHER = re.compile(r"\W")


def scenario_text(
    name: str,
    spec: str,
    specification: Specification,
    run: Counterexample,
    readings: Mapping[str, bool],
    comments: Iterable[str] = (),
) -> str:
    """``spec`` is what follows FOR, ``readings`` are fixed; ``comments`` say where it is from."""
    lines = [each for text in comments for each in _comment(text)]
    lines.append(f"SCENARIO {_OTHER.sub('_', name)} FOR {spec};")
    lines += [f"    READING {each} {_truth(value)};" for each, value in readings.items()]
    lines += _Written(specification, run).lines()
    return "\n".join([*lines, "END_SCENARIO", ""])


def _comment(text: str) -> list[str]:
    return textwrap.wrap(
        one_line(text), WIDTH, initial_indent="// ", subsequent_indent="//   ",
        break_long_words=False, break_on_hyphens=False,
    )  # fmt: skip


def _truth(value: Value) -> str:
    return "TRUE" if value else "FALSE"


class _Written:
    """The statements of one run."""

    def __init__(self, specification: Specification, run: Counterexample) -> None:
        self.specification = specification
        self.run = run
        self.hands = {
            contact.variable.name: hand.name
            for hand in specification.hands
            if len(hand.contacts) == 1 and isinstance(contact := hand.contacts[0], Read)
        }

        self.moved = {
            variable.name: {r.variable.name for c in hand.contacts for r in variables_read(c)}
            for hand in specification.hands
            for variable in specification.program.inputs
            if len(hand.contacts) > 1 and variable.name.casefold() == hand.name.casefold()
        }
        """By inputs that bear the name of a hand: all that is set with them."""

    def lines(self) -> Iterator[str]:
        """Scan times first, then what is sampled."""
        records, past = self.run.records, self.run.past
        if past:
            yield from self._times("BEFORE", [each.elapsed for each in records[:past]])
        yield from self._times("SCAN", [each.elapsed for each in records[past:]])
        plain, others = self._at_first()
        if plain:
            yield from _statement("INITIALLY", plain)
        zero = "AT T#0ms"
        yield from (f"    {zero} {each};" for each in others)
        for position in range(1, len(records)):
            at = f"AT T#{self._milliseconds(records[position].time)}ms"
            plain, others = self._changes(position)
            if plain:
                yield from _statement(at, plain)
            yield from (f"    {at} {each};" for each in others)

    def _times(self, word: str, elapsed: Sequence[Units]) -> list[str]:
        groups = [(len(list(same)), units) for units, same in groupby(elapsed)]
        shown = (
            f"{f'{number} * ' if number > 1 else ''}T#{self._milliseconds(units)}ms"
            for number, units in groups
        )
        return _statement(word, list(shown))

    # --- what is sampled --------------------------------------------------------------------

    def _at_first(self) -> tuple[list[str], list[str]]:
        """Every input as it is before anything changes: those that are older than the run from its
        first sample on."""
        program = self.specification.program
        found: Assigned = []
        older = {v.name for v in program.older}
        for variable in program.inputs:
            position = 0 if variable.name in older else self.run.past
            found.append((variable, self._sampled(variable, position)))
        return self._told(self._with_contacts(found, 0))

    def _changes(self, position: int) -> tuple[list[str], list[str]]:
        """What is not as the scan before left it."""
        program, past = self.specification.program, self.run.past
        older = {v.name for v in program.older}
        found: Assigned = []
        for variable in program.inputs:
            if position <= past and variable.name not in older:
                continue
            before = self._before(variable, position)
            now = self._sampled(variable, position)
            if before is None or now != before:
                found.append((variable, now))
        return self._told(self._with_contacts(found, position))

    def _with_contacts(self, found: Assigned, position: int) -> Assigned:
        """What is set with a hand is said behind it, as it may be otherwise."""
        first = [each for each in found if each[0].name in self.moved]
        with_it = {name for variable, _ in first for name in self.moved[variable.name]}
        with_it -= {variable.name for variable, _ in found}
        inputs = self.specification.program.inputs
        further = [(v, self._sampled(v, position)) for v in inputs if v.name in with_it]
        return [*first, *(each for each in found if each not in first), *further]

    def _before(self, variable: Variable, position: int) -> Value | None:
        """What a scan would see if nothing were set in it."""
        if not writes_in_turn(variable, self.specification):
            return self._sampled(variable, position - 1)
        itself = written_outside(variable, self.specification) or variable
        return self.run.records[position - 1].values.get(itself.name)

    def _sampled(self, variable: Variable, position: int) -> Value:
        return input_value(variable, self.run.sampled[position].get(variable.name))

    # --- in words ---------------------------------------------------------------------------

    def _told(self, values: Assigned) -> tuple[list[str], list[str]]:
        """Assignments, and statements of their own."""
        plain, others = [], []
        power = self.specification.power
        for variable, value in values:
            if variable.keeps_clock:
                others.append(f"CLOCK T#{self._milliseconds(Units(int(value)))}ms")
            elif variable is power:
                others.append(f"POWER {'ON' if value else 'OFF'}")
            else:
                plain.append(f"{self._name(variable)} := {self._value(variable, value)}")
        return plain, others

    def _name(self, variable: Variable) -> str:
        outside = written_outside(variable, self.specification)
        if outside is not None:
            return outside.name
        return self.hands.get(variable.name, variable.name)

    def _value(self, variable: Variable, value: Value) -> str:
        match variable.type:
            case Boolean():
                return _truth(value)
            case Duration(name):
                return f"{name}#{self._milliseconds(Units(int(value)))}ms"
            case RealClasses() as kind:
                return f"'{kind.value_name(int(value))}'"
            case Enumeration() as kind:
                return kind.value_name(int(value))
            case BitString():
                return f"16#{int(value):X}"
        return str(int(value))

    def _milliseconds(self, units: Units) -> str:
        return milliseconds(units, self.specification.clocking)


def _statement(begin: str, parts: Sequence[str]) -> list[str]:
    """One statement over as many lines as it needs."""
    lines = [f"    {begin}"]
    for number, part in enumerate(parts):
        text = part + (";" if number == len(parts) - 1 else ",")
        if len(lines[-1]) + 1 + len(text) > WIDTH:
            lines.append("       ")
        lines[-1] += f" {text}"
    return lines
