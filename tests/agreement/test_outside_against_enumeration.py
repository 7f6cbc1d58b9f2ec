"""Whole checks of random specs in which others write variables between scans, values at the
beginning of a scan are asked for, and entries are asked in one mode only: held against visiting
every reachable state, with the executor and the direct evaluator alone."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest
from twohand.evidence.limits import open_pool

from tests.search.verdicts import OPTIONS, compared
from tests.support.randomness.written_outside import drawn_with_outside
from tests.support.tiers import nightly


@pytest.mark.long
@pytest.mark.parametrize("seeds", [(3000, 3001, 3002, 3004), nightly((3003, 3005))])
def test_verdicts_with_variables_of_others_are_those_of_enumeration(
    seeds: Sequence[int], tmp_path: Path
) -> None:
    with open_pool(OPTIONS) as pool:
        counts = compared(seeds, tmp_path, pool, draw=drawn_with_outside)
    assert counts["specs"] >= 1
    assert min(counts[word] for word in ("PROVED", "VIOLATED")) >= 3
    assert counts["UNDECIDED"] <= 2
