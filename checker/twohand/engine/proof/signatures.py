"""What states do in a few random runs: a guess at which of them are one and the same."""

from __future__ import annotations

from random import Random

import z3

from twohand.engine.system.contract import Step
from twohand.engine.system.runs import Simulator
from twohand.engine.system.terms import name
from twohand.program.durations import Ticks
from twohand.program.types import Value
from twohand.scan.transition_system import TransitionSystem

_RUNS = 6
_SCANS = 60
_CHANCE = 0.2
"""That an input gets another value in a scan."""
_FAR = 40
"""Integers of inputs lie between its negative and itself."""


def signatures(system: TransitionSystem, bad: z3.BoolRef) -> dict[str, tuple[Value, ...]]:
    """The values of each state, by name, one scan after the other; always the same ones. Ranges
    and assumptions are not asked: it is a guess."""
    random = Random(0)
    simulator = Simulator(system, bad)
    rows: list[tuple[Value, ...]] = []
    for _ in range(_RUNS):
        free = {s.name: random.random() < 0.5 for s in system.states if s.initial is None}
        state = simulator.first_state(free)
        inputs = {name(symbol): _value(symbol, random) for symbol in system.inputs}
        for _ in range(_SCANS if state is not None else 0):
            assert state is not None
            rows.append(state)
            for symbol in system.inputs:
                if random.random() < _CHANCE:
                    inputs[name(symbol)] = _value(symbol, random)
            elapsed = Ticks(random.randint(system.shortest, system.longest))
            state = simulator.after(state, Step(dict(inputs), elapsed))[2]
    columns = zip(*rows, strict=True) if rows else ((),) * len(system.states)
    return {s.name: column for s, column in zip(system.states, columns, strict=True)}


def _value(symbol: z3.ExprRef, random: Random) -> Value:
    if z3.is_bool(symbol):
        return random.random() < 0.5
    if z3.is_bv(symbol):
        return random.getrandbits(symbol.size())
    return random.randint(-_FAR, _FAR)
