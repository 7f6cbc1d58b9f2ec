"""What is measured of small blocks is what visiting all their states gives.

The figures are defined anew in ``figures_by_enumeration``; nothing is shared but the executor.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.search.figures import compared


@pytest.mark.long
def test_figures_of_random_blocks_are_those_of_enumeration(tmp_path: Path) -> None:
    counts = compared(tmp_path, range(4))
    assert counts["exact"] >= 2
    assert counts["no limit"] >= 10
    assert counts["never"] >= 2
    assert counts["undecided"] == 0


@pytest.mark.nightly
def test_figures_of_many_random_blocks_are_those_of_enumeration(tmp_path: Path) -> None:
    counts = compared(tmp_path, range(12, 16))
    assert counts["exact"] >= 4
    assert counts["no limit"] >= 12
    assert counts["undecided"] <= 2
