"""What a variable does not depend on changes nothing of it.

Blocks are executed twice, with other values at the inputs that are said to have no part in it.
"""

from __future__ import annotations

from random import Random

import pytest
from twohand.program import Program, Variable
from twohand.program.dependencies import Dependencies
from twohand.scan.clocking import Readings
from twohand.scan.concrete.execute import Machine

from tests.support.meaning.side_by_side import CLOCKINGS, LOOP_BOUND, random_program
from tests.support.randomness.inputs import random_inputs

SCANS = 8


def kept(program: Program, watched: Variable, random: Random) -> bool:
    """Whether inputs were changed. AssertionError where that changed ``watched``; a run is looked
    at until a finding ends it."""
    asked = Dependencies(program).of([watched])
    others = [variable.name for variable in program.inputs if variable not in asked]
    if not others:
        return False
    clocking, readings = CLOCKINGS[2], Readings().choices()[0]
    first, second = (Machine(program, clocking, readings, LOOP_BOUND) for _ in range(2))
    for _ in range(SCANS):
        inputs, elapsed = random_inputs(random, program), random.randint(5, 20)
        changed = random_inputs(random, program)
        given = inputs | {name: changed[name] for name in others}
        records = first.scan(inputs, elapsed), second.scan(given, elapsed)
        if any(record.finding is not None for record in records):
            return True
        assert records[0].values[watched.name] == records[1].values[watched.name], watched.name
    return True


def changed_runs(seeds: range) -> int:
    runs = 0
    for seed in seeds:
        program = random_program(seed)
        if program is None:
            continue
        random = Random(seed)
        for watched in random.sample(program.variables, min(6, len(program.variables))):
            runs += kept(program, watched, random)
    return runs


@pytest.mark.long
def test_what_a_variable_does_not_depend_on_does_not_change_it() -> None:
    assert changed_runs(range(40)) > 40


@pytest.mark.nightly
@pytest.mark.parametrize("first", range(5000, 5400, 200))
def test_what_many_variables_do_not_depend_on_does_not_change_them(first: int) -> None:
    assert changed_runs(range(first, first + 100)) > 100
