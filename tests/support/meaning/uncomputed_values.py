"""Whether what a block does on one platform is among what it may do without computed REALs."""

from __future__ import annotations

from fractions import Fraction
from itertools import product
from random import Random

from twohand.program import Program
from twohand.program.types import RealClasses, Value
from twohand.scan.concrete.execute import Machine
from twohand.text.source_text import SourceText
from twohand.typecheck.reals.membership import class_of
from twohand.typecheck.resolve import load_program

from tests.support.meaning.both_rooms import TEN, both_rooms
from tests.support.meaning.typed_programs import PLAIN
from tests.support.randomness.uncomputed_reals import INPUTS, RealBlock, Values, real_block

MOST_CHOICES = 10
"""Inputs of which every value is tried."""


def held(random: Random, scans: int = 6) -> tuple[RealBlock, int]:
    """A random block of which each scan was found, and how many inputs stand for what nobody
    computes; AssertionError where a scan was not."""
    while True:
        block = real_block(random)
        tested = load_program([SourceText("b.st", block.text)], "B")
        if len(tested.uncomputed) <= MOST_CHOICES:
            break
    machine = Machine(tested, TEN, PLAIN, 20)
    values = dict(block.begin)
    for _ in range(scans):
        values |= {
            "a": random.choice(INPUTS),
            "b": random.choice(INPUTS),
            "u": random.random() > 0.5,
        }
        block.scan(values)
        assert _found(tested, machine, block, values), (block.text, values)
    rows = [
        {v.name: random.choice(_all_values(v.type)) for v in tested.inputs} for _ in range(scans)
    ]
    both_rooms(tested, rows, [])
    return block, len(tested.uncomputed)


def _all_values(kind: object) -> list[Value]:
    return [number for _, number in kind.values] if isinstance(kind, RealClasses) else [False, True]


def _found(tested: Program, machine: Machine, block: RealBlock, values: Values) -> bool:
    """Whether some choice of what nobody computes gives the values; the machine is then there."""
    before = machine.snapshot()
    given = {v.name: _sampled(v.type, values[v.name]) for v in tested.inputs if not v.uncomputed}
    names = [v.name for v in tested.uncomputed]
    for choice in product((False, True), repeat=len(names)):
        machine.restore(before)
        record = machine.scan({**given, **dict(zip(names, choice, strict=True))}, TEN.shortest)
        if all(
            record.values[name] == values[name] for name in block.shown if name in record.values
        ):
            return True
    return False


def _sampled(kind: object, value: float) -> Value:
    if not isinstance(kind, RealClasses):
        return bool(value)
    if value != value:
        return kind.values[-1][1]
    found = class_of(kind, Fraction(value))
    assert found is not None
    return found
