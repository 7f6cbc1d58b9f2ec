"""Random ladders and function-block diagrams: what the checker reads runs as they do when they are
evaluated element by element, in any order that the standard allows."""

from __future__ import annotations

from collections import Counter

import pytest

from tests.search.diagrams import compared
from tests.support.meaning.diagram_meaning import PINS
from tests.support.randomness.diagrams import NAMES


def outcomes(seeds: range, kind: str) -> Counter[str]:
    return Counter(compared(seed, kind) for seed in seeds)


@pytest.mark.long
@pytest.mark.parametrize("kind", ["LD", "FBD"])
def test_random_diagrams_mean_what_the_standard_says(kind: str) -> None:
    found = outcomes(range(40), kind)
    assert set(found) <= {"same", "open-evaluation-order", "wire-without-type"}
    assert found["same"] >= 12


@pytest.mark.nightly
@pytest.mark.parametrize("kind", ["LD", "FBD"])
@pytest.mark.parametrize("part", range(1))
def test_many_random_diagrams_mean_what_the_standard_says(kind: str, part: int) -> None:
    found = outcomes(range(1000 + 600 * part, 1600 + 600 * part), kind)
    assert set(found) <= {"same", "open-evaluation-order", "wire-without-type"}
    assert found["same"] >= 120


def test_the_names_of_the_samples_are_those_of_blocks_that_both_sides_know() -> None:
    assert set(NAMES.values()) <= {"BOOL", "INT", *PINS}
