"""Executor and transition system are two readings of one text, and agree on every value."""

from __future__ import annotations

import pytest

from tests.support.meaning.side_by_side import RUNS, run_block

BLOCKS = 20


@pytest.mark.long
@pytest.mark.parametrize("first", range(0, BLOCKS, 10))
def test_random_blocks_mean_the_same_in_both_rooms(first: int) -> None:
    results = [run_block(seed) for seed in range(first, first + 10)]
    assert sum(runs for runs, _ in results) > 7 * RUNS
    assert sum(scans for _, scans in results) > 30 * RUNS


@pytest.mark.long
@pytest.mark.parametrize("first", range(0, 15, 15))
def test_random_blocks_with_power_cycles_mean_the_same_in_both_rooms(first: int) -> None:
    results = [run_block(seed, power=True) for seed in range(first, first + 15)]
    assert sum(runs for runs, _ in results) > 10 * RUNS
    assert sum(scans for _, scans in results) > 60 * RUNS


@pytest.mark.long
@pytest.mark.parametrize("first", range(1000, 1150, 50))
def test_many_random_blocks_mean_the_same_in_both_rooms(first: int) -> None:
    for seed in range(first, first + 25):
        run_block(seed)
        run_block(seed, power=True)
