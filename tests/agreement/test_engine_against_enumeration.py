"""Random small blocks: the engine's verdict is that of visiting every reachable state.

The enumeration runs the executor and the direct evaluator; the engine gets the encoded program
with monitors. Every proof is rechecked by another solver, every violation replayed.
"""

from __future__ import annotations

from collections import Counter

import pytest

from tests.search.engine import compare
from tests.support.randomness.small_blocks import small_case


def counted(seeds: range, ask_evaluator_always: bool = False, power: bool = False) -> Counter[str]:
    """How often each kind of answer was given; nothing is left out silently."""
    answers = (compare(small_case(seed, power), ask_evaluator_always) for seed in seeds)
    return Counter(type(answer).__name__ for answer in answers)


@pytest.mark.long
def test_random_blocks_are_decided_as_by_enumeration() -> None:
    counts = counted(range(40))
    assert counts["Proved"] + counts["Violated"] >= 38
    assert min(counts["Proved"], counts["Violated"]) > 8


@pytest.mark.long
def test_random_blocks_with_power_cycles_are_decided_as_by_enumeration() -> None:
    counts = counted(range(25), power=True)
    assert counts["Proved"] + counts["Violated"] >= 23
    assert min(counts["Proved"], counts["Violated"]) > 3


@pytest.mark.nightly
@pytest.mark.parametrize("block", [0, 16])
def test_many_more_random_blocks_are_decided_as_by_enumeration(block: int) -> None:
    seeds = range(block * 1000, block * 1000 + 100)
    counts = counted(seeds, ask_evaluator_always=True)
    assert counts["Proved"] + counts["Violated"] >= 97


@pytest.mark.nightly
@pytest.mark.parametrize("block", [1, 17])
def test_many_more_random_blocks_with_power_cycles_are_decided_as_by_enumeration(
    block: int,
) -> None:
    seeds = range(block * 1000, block * 1000 + 100)
    counts = counted(seeds, ask_evaluator_always=True, power=True)
    assert counts["Proved"] + counts["Violated"] >= 94
