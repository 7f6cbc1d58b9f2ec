"""Requirements that look back to before power-up: the engine's verdict is that of visiting every
reachable state after every past, which the executor and the direct evaluator make scan by scan."""

from __future__ import annotations

from collections import Counter

import pytest
from twohand.engine.system.contract import Violated
from twohand.specification.logic.power_up import POWER_UP

from tests.search.engine import compare
from tests.support.randomness.blocks_with_a_past import past_case


def counted(seeds: range) -> Counter[str]:
    """How often each kind of answer was given, and how many runs begin before power-up."""
    counts: Counter[str] = Counter()
    for seed in seeds:
        answer = compare(past_case(seed), ask_evaluator_always=True)
        counts[type(answer).__name__] += 1
        if isinstance(answer, Violated) and not answer.steps[0].inputs.get(POWER_UP, True):
            counts["with a past"] += 1
    return counts


@pytest.mark.long
def test_random_blocks_with_a_past_are_decided_as_by_enumeration() -> None:
    counts = counted(range(2, 13))
    assert counts["Proved"] + counts["Violated"] == 11
    assert counts["Proved"] >= 4
    assert counts["with a past"] >= 3


@pytest.mark.nightly
@pytest.mark.parametrize("block", range(3))
def test_many_more_random_blocks_with_a_past_are_decided_as_by_enumeration(block: int) -> None:
    counts = counted(range(1000 + 50 * block, 1050 + 50 * block))
    assert counts["Proved"] + counts["Violated"] >= 48
    assert min(counts["Proved"], counts["with a past"]) >= 5
