"""Random inputs to run a program with."""

from __future__ import annotations

from random import Random

from twohand.program import Program
from twohand.program.types import (
    BitString,
    Boolean,
    Duration,
    Enumeration,
    Integer,
    Subrange,
    Value,
)


def random_inputs(random: Random, program: Program) -> dict[str, Value]:
    """Values for every input; numbers small most of the time, durations in units."""
    return {variable.name: _value(random, variable.type) for variable in program.inputs}


def _value(random: Random, kind: object) -> Value:
    match kind:
        case Boolean():
            return random.random() < 0.5
        case Subrange():
            return random.randint(kind.lowest, min(kind.highest, 9))
        case Integer():
            extreme = random.random() < 0.03
            if extreme:
                return random.choice((kind.lowest, kind.highest))
            return random.randint(-3 if kind.signed else 0, 9)
        case BitString():
            return random.randrange(1 << kind.bits)
        case Duration():
            return random.randint(-2, 50)
        case Enumeration():
            return random.choice(kind.values)[1]
    raise TypeError(kind)
