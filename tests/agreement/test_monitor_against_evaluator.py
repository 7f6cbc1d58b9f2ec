"""Monitors and the direct evaluator are two readings of one language: they must agree."""

from __future__ import annotations

import pytest

from tests.search.monitors import (
    ENCODINGS,
    check_assumption,
    check_formula,
    check_property,
    chosen,
)
from tests.support.tiers import rows


@pytest.mark.parametrize("first", rows(range(0, 250, 50), lambda first: first > 0))
def test_random_formulas_have_one_value_in_every_scan(first: int) -> None:
    for seed in range(first, first + 50):
        random, clocking = chosen(seed)
        check_formula(random, ENCODINGS[clocking], traces=3)


def test_random_assumptions_are_met_by_the_same_runs() -> None:
    assumed = 0
    for seed in range(60):
        random, clocking = chosen(3_000_000 + seed)
        assumed += check_assumption(random, ENCODINGS[clocking], traces=3)
    assert assumed > 15


@pytest.mark.long
def test_random_properties_are_refuted_in_one_scan() -> None:
    refuted = 0
    for seed in range(250):
        random, clocking = chosen(1_000_000 + seed)
        refuted += check_property(random, ENCODINGS[clocking], traces=3)
    assert 100 < refuted < 580  # both answers are well represented


@pytest.mark.nightly
@pytest.mark.parametrize("block", range(0, 40, 8))
def test_many_more_formulas_and_properties_agree(block: int) -> None:
    for seed in range(block * 500, block * 500 + 250):
        random, clocking = chosen(2_000_000 + seed)
        check_formula(random, ENCODINGS[clocking], traces=5)
        check_property(random, ENCODINGS[clocking], traces=5)
        check_assumption(random, ENCODINGS[clocking], traces=5)
