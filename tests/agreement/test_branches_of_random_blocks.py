"""From any state, whether a run gets there or not, executing a random block is as its model."""

from __future__ import annotations

from collections import Counter
from random import Random

import pytest
import z3
from twohand.engine.jobs import Problem
from twohand.evidence.branches.comparison import ScanComparison
from twohand.evidence.branches.reach import ReachBranches
from twohand.evidence.branches.variations import Variations
from twohand.evidence.branches.ways import with_ways
from twohand.evidence.checks.branches import any_state, condition_of
from twohand.scan import serialisation as exchange
from twohand.scan.symbolic.encode import encode

from tests.support.meaning.powered_blocks import with_power_cycles
from tests.support.meaning.side_by_side import (
    CLOCKINGS,
    LOOP_BOUND,
    random_program,
    readings_for,
)
from tests.support.tiers import nightly

EFFORT = 6_000_000


def compared(seed: int, power: bool, clocked: bool = False) -> Counter[str]:
    """How many branches there are, and how many states were executed and compared."""
    program = random_program(seed, retained=power, clocked=clocked)
    if program is None:
        return Counter()
    if power:
        program = with_power_cycles(program)
    clocking = CLOCKINGS[seed % len(CLOCKINGS)]
    readings = readings_for(Random(f"branches {seed}"))
    encoded = encode(program, clocking, readings, LOOP_BOUND)
    marked, ways = with_ways(program)
    noted = encode(marked, clocking, readings, LOOP_BOUND, [way.mark for way in ways])
    conditions = [condition_of(way, noted) for way in ways]
    finding = z3.Or([*(term for _, term in noted.system.findings), z3.BoolVal(False)])
    problem = Problem(exchange.dump(any_state(encoded, noted), [*conditions, finding]))
    reached = ReachBranches(problem, EFFORT)()
    comparison, variations = ScanComparison(encoded, marked, ways, conditions), Variations(encoded)
    states = [each for state in reached.states for each in variations.of(state)]
    for state in states:
        assert comparison.went(state)[1] == "", (seed, power, state)
    return Counter(ways=len(ways), states=len(states), open=len(reached.open))


@pytest.mark.long
@pytest.mark.parametrize("seeds", [range(100, 108), nightly(range(100, 120))])
def test_random_blocks_are_executed_as_their_models_say(seeds: range) -> None:
    total = sum((compared(seed, power) for seed in seeds for power in (False, True)), Counter())
    assert total["ways"] > 400
    assert total["states"] > 400
    assert total["open"] < total["ways"] / 10


@pytest.mark.long
@pytest.mark.parametrize("power", [False, True])
def test_random_blocks_that_read_the_clock_are_executed_as_their_models_say(power: bool) -> None:
    total = sum((compared(seed, power, clocked=True) for seed in range(200, 206)), Counter())
    assert total["ways"] > 300
    assert total["states"] > 300
