"""The ASCII form of AIGER 1.9, read and run: a reader of the tests that shares nothing with the
writer (A. Biere, K. Heljanko, S. Wieringa: AIGER 1.9 And Beyond, FMV report 11/2, 2011)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class Circuit:
    """``latches`` are literal, next literal and reset."""

    inputs: list[int]
    latches: list[tuple[int, int, int]]
    bad: int
    constraints: list[int]
    ands: list[tuple[int, int, int]]
    names: Mapping[str, int]
    """The literal of each named input and latch."""

    def start(self) -> dict[int, bool]:
        """The first state."""
        assert {reset for _, _, reset in self.latches} <= {0, 1}
        return {literal: bool(reset) for literal, _, reset in self.latches}

    def step(
        self, state: Mapping[int, bool], inputs: Mapping[int, bool]
    ) -> tuple[bool, bool, dict[int, bool]]:
        """Whether the step is bad, whether it is allowed, and the next state."""
        values = {0: False, **state, **inputs}

        def value(literal: int) -> bool:
            return values[literal & ~1] ^ bool(literal & 1)

        for made, left, right in self.ands:
            values[made] = value(left) and value(right)
        allowed = all(value(literal) for literal in self.constraints)
        return value(self.bad), allowed, {own: value(then) for own, then, _ in self.latches}


def circuit_of(text: str) -> Circuit:
    lines = iter(text.splitlines())
    kind, *counts = next(lines).split()
    assert kind == "aag"
    most, inputs, latches, outputs, ands, bads, constraints = map(int, counts)
    assert (outputs, bads) == (0, 1)
    read_inputs = [int(next(lines)) for _ in range(inputs)]
    read_latches = [_three(next(lines)) for _ in range(latches)]
    bad = int(next(lines))
    read_constraints = [int(next(lines)) for _ in range(constraints)]
    read_ands = [_three(next(lines)) for _ in range(ands)]
    defined = [*read_inputs, *(own for own, _, _ in read_latches), *(a for a, _, _ in read_ands)]
    assert sorted(defined) == [2 * number for number in range(1, most + 1)]
    names = {}
    for line in lines:
        if line == "c":
            break
        place, _, name = line.partition(" ")
        number = int(place[1:])
        names[name] = read_inputs[number] if place[0] == "i" else read_latches[number][0]
    return Circuit(read_inputs, read_latches, bad, read_constraints, read_ands, names)


def _three(line: str) -> tuple[int, int, int]:
    one, two, three = map(int, line.split())
    return one, two, three


def binary(text: str) -> bytes:
    """The same in the binary form, for tools that read nothing else."""
    circuit = circuit_of(text)
    first = text.partition("\n")[0].replace("aag", "aig", 1)
    rows = [f"{then} {reset}" for _, then, reset in circuit.latches]
    rows += [str(circuit.bad), *map(str, circuit.constraints)]
    steps = b"".join(
        _differences(made - left) + _differences(left - right) for made, left, right in circuit.ands
    )
    return "\n".join([first, *rows, ""]).encode() + steps


def _differences(number: int) -> bytes:
    found = b""
    while number >= 128:
        found += bytes([number & 127 | 128])
        number >>= 7
    return found + bytes([number])
