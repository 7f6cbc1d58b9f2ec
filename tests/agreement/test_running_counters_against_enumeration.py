"""Blocks with a counter that comes round and with what keeps where it was: the engine's verdict is
that of visiting every reachable state, with open readings and assumptions, with and without power
cycles. Every proof is rechecked, every violation replayed."""

from __future__ import annotations

from collections import Counter

import pytest
from twohand.engine import portfolio
from twohand.engine.reduction.remainders import Undivided
from twohand.engine.reduction.running_counters import Clocked

from tests.search.engine import compare
from tests.support.randomness.running_counters import running_case


def answers(seeds: range, power: bool = False) -> list[str]:
    """The kind of answer to each."""
    return [type(compare(running_case(seed, power))).__name__ for seed in seeds]


def test_random_blocks_with_a_counter_are_decided_as_by_enumeration() -> None:
    assert Counter(answers(range(4))).keys() == {"Proved", "Violated"}


@pytest.mark.long
def test_more_random_blocks_with_a_counter_are_decided_as_by_enumeration() -> None:
    counts = Counter(answers(range(100, 125)))
    assert counts["Proved"] + counts["Violated"] >= 24
    assert min(counts["Proved"], counts["Violated"]) > 5


@pytest.mark.long
def test_counters_that_begin_anew_after_a_restart_are_decided_as_by_enumeration() -> None:
    counts = Counter(answers(range(15), power=True))
    assert counts["Proved"] + counts["Violated"] >= 14
    assert min(counts["Proved"], counts["Violated"]) > 2


@pytest.mark.long
def test_with_the_counter_as_it_is_the_answers_are_the_same(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    with_clocks = answers(range(200, 206))
    monkeypatch.setattr(portfolio, "with_clocks", lambda system, bad, _: Clocked(system, bad))
    monkeypatch.setattr(portfolio, "without_division", Undivided)
    assert answers(range(200, 206)) == with_clocks
