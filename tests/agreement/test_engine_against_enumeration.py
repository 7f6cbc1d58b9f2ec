"""Random small blocks: the engine's verdict is that of visiting every reachable state.

The enumeration runs the executor and the direct evaluator; the engine gets the encoded program
with monitors. Every proof is rechecked by another solver, every violation replayed.
"""

from __future__ import annotations

from collections import Counter

import pytest
from twohand.engine.system.contract import Answer, Proved, Unknown, Violated

from tests.support.decided import Question
from tests.support.enumeration.enumerate_states import TooManyStatesError, enumerate_readings
from tests.support.randomness.small_blocks import Case, small_case

MOST_STATES = 3000


def compare(case: Case, ask_evaluator_always: bool = False) -> Answer | None:
    """The engine's answer, held against the enumeration; None where that has too many states."""
    question = Question(case.program, case.clocking, case.asked, case.readings, case.assumptions)
    try:
        found = enumerate_readings(
            case.program,
            case.clocking,
            question.choices,
            case.asked,
            case.assumptions,
            MOST_STATES,
            ask_evaluator_always,
        )
    except TooManyStatesError:
        return None
    answer = question.decide(60)
    if found.refutation is None:
        assert not isinstance(answer, Violated), case.text
    else:
        assert not isinstance(answer, Proved), case.text
    if isinstance(answer, Unknown) and found.refutation is not None:
        assert len(found.refutation) > answer.scans, case.text
    return answer


def counted(seeds: range, ask_evaluator_always: bool = False, power: bool = False) -> Counter[str]:
    """How often each kind of answer was given; nothing is left out silently."""
    answers = (compare(small_case(seed, power), ask_evaluator_always) for seed in seeds)
    return Counter(type(answer).__name__ for answer in answers)


def test_random_blocks_are_decided_as_by_enumeration() -> None:
    counts = counted(range(40))
    assert counts["Proved"] + counts["Violated"] >= 38
    assert min(counts["Proved"], counts["Violated"]) > 8


def test_random_blocks_with_power_cycles_are_decided_as_by_enumeration() -> None:
    counts = counted(range(25), power=True)
    assert counts["Proved"] + counts["Violated"] >= 23
    assert min(counts["Proved"], counts["Violated"]) > 3


@pytest.mark.long
@pytest.mark.parametrize("block", range(31))
def test_many_more_random_blocks_are_decided_as_by_enumeration(block: int) -> None:
    seeds = range(block * 1000, block * 1000 + 100)
    counts = counted(seeds, ask_evaluator_always=True)
    assert counts["Proved"] + counts["Violated"] >= 97
    powered = counted(seeds, ask_evaluator_always=True, power=True)
    assert powered["Proved"] + powered["Violated"] >= 94
