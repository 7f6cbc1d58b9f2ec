"""States near a given one, the same each time: what one state does not show, another may."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from random import Random

from twohand.program import Program
from twohand.program.types import BitString, Boolean, Enumeration, Integer, Type, Value
from twohand.scan.symbolic.encode import EncodedProgram
from twohand.scan.transition_system import StateKind

_OF_EACH = 4
_MOST = 120
"""Such states altogether."""
_CHANGED = 0.3
"""The part of the values that another state has differently."""


class Variations:
    """States that the types of a program allow; each has its inputs and its time with it."""

    def __init__(self, encoded: EncodedProgram) -> None:
        system = encoded.system
        self._types = _types(encoded.program)
        self._fixed = {system.scans.decl().name()}
        wrapping = [s.name for s in system.states if s.kind is StateKind.WRAPPING_CLOCK]
        clocks = [v.name for v in encoded.program.inputs if v.keeps_clock]
        last = encoded.clocking.clock_range - 1
        self._limits = dict.fromkeys((*wrapping, *clocks), (0, last))
        self._elapsed = system.elapsed.decl().name()
        self._times = (system.shortest, system.longest)
        self._random = Random("branches")
        self._left = _MOST

    def of(self, state: Mapping[str, Value]) -> Iterator[Mapping[str, Value]]:
        """The state itself, and some others."""
        yield state
        for _ in range(min(_OF_EACH, self._left)):
            self._left -= 1
            yield {
                name: self._other(name, value) if self._random.random() < _CHANGED else value
                for name, value in state.items()
            }

    def _other(self, name: str, value: Value) -> Value:
        if name in self._fixed:
            return value
        if name == self._elapsed:
            return self._random.randint(*self._times)
        if isinstance(value, bool):
            return not value
        kind = self._types.get(name)
        if isinstance(kind, Enumeration):
            return self._random.choice([number for _, number in kind.values])
        low, high = self._limits.get(name) or _limits(kind)
        some = (value - 1, value + 1, low, high, self._random.randint(low, high))
        return min(max(self._random.choice(some), low), high)


def _types(program: Program) -> dict[str, Type]:
    return {variable.name: variable.type for variable in program.variables}


def _limits(kind: Type | None) -> tuple[int, int]:
    """Of a number; durations and ages have none, and small ones are of more use."""
    match kind:
        case Integer():
            return kind.lowest, kind.highest
        case BitString():
            return 0, kind.highest
        case Boolean():
            return 0, 1
    return 0, 10_000
