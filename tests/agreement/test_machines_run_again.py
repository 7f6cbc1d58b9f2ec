"""A machine that has run before runs as one that is new."""

from __future__ import annotations

from random import Random

import pytest
from twohand.program import Program
from twohand.scan.clocking import Clocking, Readings
from twohand.scan.concrete.execute import Machine, run

from tests.support.meaning.side_by_side import CLOCKINGS, LOOP_BOUND, random_program
from tests.support.meaning.typed_programs import program
from tests.support.randomness.inputs import random_inputs

SCANS = 12
EDGES_AND_A_CLOCK = program(
    "VAR_INPUT i : BOOL; END_VAR VAR t : TON; f : F_TRIG; n : INT; now : TIME; END_VAR",
    "now := TIME(); t(IN := i, PT := T#30ms); f(CLK := i); IF f.Q OR t.Q THEN n := n + 1; END_IF;",
)


def runs_again(tested: Program, clocking: Clocking, random: Random) -> None:
    """AssertionError where a run differs from that of a new machine; now and then one ends early,
    or the machine was put elsewhere before."""
    readings = random.choice(list(Readings().choices()))
    machine = Machine(tested, clocking, readings, LOOP_BOUND)
    for _ in range(4):
        steps = [
            (random_inputs(random, tested), random.randint(clocking.shortest, clocking.longest))
            for _ in range(random.randint(2, SCANS))
        ]
        past = random.randint(0, 1)
        fresh = run(tested, clocking, readings, LOOP_BOUND, steps, past)
        again = []
        for record in machine.run(steps, past):
            again.append(record)
            if random.random() < 0.03:
                break
        assert again == fresh[: len(again)]
        assert [list(each.values) for each in again] == [
            list(each.values) for each in fresh[: len(again)]
        ]


def test_a_run_leaves_nothing_behind_for_the_next_one() -> None:
    for seed in range(6):
        runs_again(EDGES_AND_A_CLOCK, CLOCKINGS[seed % len(CLOCKINGS)], Random(seed))


@pytest.mark.long
def test_a_run_of_a_random_block_leaves_nothing_behind() -> None:
    tested = [each for each in map(random_program, range(60)) if each is not None]
    assert len(tested) > 20
    for seed, each in enumerate(tested):
        runs_again(each, CLOCKINGS[seed % len(CLOCKINGS)], Random(seed))
