"""Executor and transition system are two readings of one text, and agree on every value."""

from __future__ import annotations

from random import Random

import pytest
from twohand.scan.clocking import Clocking, Readings
from twohand.scan.symbolic.encode import encode

from tests.support.meaning.side_by_side import LOOP_BOUND, RUNS, Pair, random_program, run_block

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


def test_random_blocks_that_read_the_clock_mean_the_same_in_both_rooms() -> None:
    assert run_block(2, clocked=True)[1] > 3 * RUNS
    assert run_block(3, power=True, clocked=True)[1] > 3 * RUNS


def test_random_blocks_that_compare_reals_mean_the_same_in_both_rooms() -> None:
    assert run_block(2, measured=True)[1] > 3 * RUNS


@pytest.mark.long
@pytest.mark.parametrize("power", [False, True])
def test_more_random_blocks_that_compare_reals_mean_the_same_in_both_rooms(power: bool) -> None:
    results = [run_block(seed, power, measured=True) for seed in range(100, 110)]
    assert sum(scans for _, scans in results) > 30 * RUNS


@pytest.mark.long
def test_a_scan_in_which_the_clock_comes_round_twice_means_the_same_in_both_rooms() -> None:
    program = random_program(2, clocked=True)
    assert program is not None
    clocking = Clocking(1_000_000, 5, 20, clock_milliseconds=8)
    pair = Pair(encode(program, clocking, Readings(), LOOP_BOUND))
    random = Random("twice round")
    assert sum(pair.run(random) for _ in range(RUNS)) > 3 * RUNS


@pytest.mark.long
@pytest.mark.parametrize("power", [False, True])
def test_more_random_blocks_that_read_the_clock_mean_the_same_in_both_rooms(power: bool) -> None:
    results = [run_block(seed, power, clocked=True) for seed in range(100, 112)]
    assert sum(scans for _, scans in results) > 30 * RUNS


@pytest.mark.nightly
@pytest.mark.parametrize("first", range(1000, 1150, 50))
def test_many_random_blocks_mean_the_same_in_both_rooms(first: int) -> None:
    for seed in range(first, first + 25):
        run_block(seed)
        run_block(seed, power=True)
