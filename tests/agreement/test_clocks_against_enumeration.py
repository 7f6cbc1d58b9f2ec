"""Blocks that read the scan's clock, whose range is a few scans: the engine's verdict is that of
visiting every reachable state from everything that the clock can show at first, under either
reading of it, with and without power cycles. Every proof is rechecked, every violation replayed."""

from __future__ import annotations

from collections import Counter

import pytest

from tests.search.engine import compare
from tests.support.randomness.clock_readings import clocked_case


def counted(seeds: range, power: bool = False) -> Counter[str]:
    """How often each kind of answer was given."""
    return Counter(type(compare(clocked_case(seed, power))).__name__ for seed in seeds)


@pytest.mark.long
def test_random_blocks_that_read_the_clock_are_decided_as_by_enumeration() -> None:
    counts = counted(range(8))
    assert counts["Proved"] + counts["Violated"] == 8
    assert min(counts["Proved"], counts["Violated"]) >= 2


@pytest.mark.long
def test_more_random_blocks_that_read_the_clock_are_decided_as_by_enumeration() -> None:
    counts = counted(range(100, 150))
    assert counts["Proved"] + counts["Violated"] >= 48
    assert min(counts["Proved"], counts["Violated"]) > 10


@pytest.mark.long
def test_a_clock_that_begins_anew_after_a_restart_is_decided_as_by_enumeration() -> None:
    counts = counted(range(20), power=True)
    assert counts["Proved"] + counts["Violated"] >= 19
    assert min(counts["Proved"], counts["Violated"]) > 3
