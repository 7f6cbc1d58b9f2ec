"""Marks change nothing of what one random block does."""

from __future__ import annotations

from random import Random

from twohand.analyses.inspect.kinds.registry import registry_of
from twohand.analyses.inspect.points import InspectionKind
from twohand.program import Program
from twohand.program.instrumentation import SIGN
from twohand.scan.clocking import Readings
from twohand.scan.concrete.execute import Machine
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.randomness.blocks import block_text
from tests.support.randomness.inputs import random_inputs
from tests.support.samples.inspected_blocks import CLOCKING, subject

SCANS = 12


def random_program(seed: int) -> Program | None:
    try:
        return load_program([SourceText("random.st", block_text(seed))], "Main")
    except InputError:
        return None


def marks_change_nothing(seed: int) -> bool:
    plain = random_program(seed)
    if plain is None:
        return False
    marked = registry_of(subject(plain), tuple(InspectionKind)).program
    random = Random(seed)
    readings = random.choice(Readings().choices())
    machines = [Machine(each, CLOCKING, readings, 4) for each in (plain, marked)]
    for _ in range(SCANS):
        inputs, elapsed = random_inputs(random, plain), random.randint(5, 20)
        first, second = (machine.scan(inputs, elapsed) for machine in machines)
        assert first.finding == second.finding
        assert first.values == {n: v for n, v in second.values.items() if not n.startswith(SIGN)}
        assert first.writers == {n: s for n, s in second.writers.items() if not n.startswith(SIGN)}
        if first.finding is not None:
            break
    return True
