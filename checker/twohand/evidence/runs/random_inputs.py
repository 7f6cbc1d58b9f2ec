"""Random inputs that bring a program on: values that its text names, held for a while."""

from __future__ import annotations

from collections.abc import Mapping
from random import Random

from twohand.program import Literal, Program, Variable
from twohand.program.durations import Units
from twohand.program.types import BitString, Boolean, Duration, Enumeration, Integer, Value
from twohand.program.walks import nodes_below
from twohand.scan.clocking import Clocking

_HOLD = (0.0, 0.6, 0.85, 0.97)
"""How often an input stays as it was, in one run and another."""


class RandomInputs:
    """Values for a program's inputs, mostly those that its text names and their neighbours."""

    def __init__(self, program: Program, clocking: Clocking) -> None:
        self._inputs = program.inputs
        self._clocking = clocking
        named = {
            int(node.value)
            for node in nodes_below(program.routine)
            if isinstance(node, Literal) and isinstance(node.type, Integer | BitString)
        }
        near = {number + step for number in named for step in (-1, 0, 1)}
        self._numbers = sorted({0, 1, 2, *near})

    def run(self, random: Random, scans: int) -> list[tuple[Mapping[str, Value], Units]]:
        """Inputs and elapsed time of each scan."""
        hold = random.choice(_HOLD)
        clocking = self._clocking
        now = {variable.name: self._value(random, variable) for variable in self._inputs}
        steps: list[tuple[Mapping[str, Value], Units]] = []
        for _ in range(scans):
            for variable in self._inputs:
                if random.random() >= hold:
                    now[variable.name] = self._value(random, variable)
            elapsed = random.choice((clocking.shortest, clocking.longest, clocking.longest))
            steps.append((dict(now), elapsed))
        return steps

    def _value(self, random: Random, variable: Variable) -> Value:
        match variable.type:
            case Boolean():
                return random.random() < 0.5
            case Integer() as kind:
                return min(max(random.choice(self._numbers), kind.lowest), kind.highest)
            case BitString() as kind:
                if random.random() < 0.5:
                    return random.randrange(kind.highest + 1)
                return min(max(random.choice(self._numbers), 0), kind.highest)
            case Duration():
                return random.choice((0, 1, 10, 100)) * self._clocking.longest
            case Enumeration(values=values) if values:
                return random.choice(values)[1]
        return 0
