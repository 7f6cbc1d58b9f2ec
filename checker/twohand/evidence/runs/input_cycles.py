"""Short cycles of inputs that are worth repeating for long: held, alternating, a press over and
over, and a few at random (the same ones each time)."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random

from twohand.evidence.runs.known_runs import settings, usual_runs, wrong_after_a_stroke
from twohand.evidence.runs.random_inputs import RandomInputs
from twohand.evidence.runs.trace import Scan
from twohand.program.types import BOOL
from twohand.specification.model.specification import Specification

Cycle = tuple[Scan, ...]

_MOST_ALTERNATING = 8
"""Inputs of which each alternates by itself."""
_RANDOM_LENGTHS = (1, 1, 1, 2, 2, 2, 3, 3, 4, 4, 6, 8)
"""Scans of the cycles drawn at random."""


def cycles(specification: Specification) -> Iterator[Cycle]:
    """Each of one scan or more; the supply stays on."""
    program, clocking = specification.program, specification.clocking
    supply = {} if specification.power is None else {specification.power.name: True}
    names = [v.name for v in program.inputs if v.type == BOOL and v.name not in supply]
    for setting in settings(names):
        yield (Scan({**setting, **supply}, clocking.longest),)
    for trace in usual_runs(specification):
        yield trace.scans
    for name in names[:_MOST_ALTERNATING]:
        for setting in settings([other for other in names if other != name]):
            off = {**setting, **supply, name: False}
            yield (Scan(off, clocking.longest), Scan({**off, name: True}, clocking.longest))
    random = Random("long runs")
    inputs = RandomInputs(program, clocking)
    for length in _RANDOM_LENGTHS:
        yield tuple(Scan({**now, **supply}, units) for now, units in inputs.run(random, length))


def stroke_cycles(specification: Specification) -> Iterator[Cycle]:
    """A stroke, and then a hand that is on too long before the other or lets go between two: at
    some stroke the block may have forgotten what it forbids."""
    for trace in wrong_after_a_stroke(specification):
        yield trace.scans
