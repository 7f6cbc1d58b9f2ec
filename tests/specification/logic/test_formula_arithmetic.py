"""Arithmetic in formulas: mathematical, and the same for monitors as for the direct evaluator."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.search.arithmetic import check_agreement
from tests.support.tiers import nightly


@pytest.mark.long
def test_arithmetic_has_one_value_however_large(tmp_path: Path) -> None:
    for seed in range(8):
        check_agreement(tmp_path, seed, 25)


@pytest.mark.long
@pytest.mark.parametrize("first", [100, *map(nightly, range(140, 300, 40))])
def test_much_more_arithmetic_has_one_value(first: int, tmp_path: Path) -> None:
    for seed in range(first, first + 20):
        check_agreement(tmp_path, seed, 40)
