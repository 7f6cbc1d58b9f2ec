"""Audits of random specs, held against visiting every reachable state of every changed block."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.evidence.limits import open_pool

from tests.search.audits import OPEN, OPTIONS, compared_specs

CHEAP = (50004, 50013)
"""Seeds of specs with few states."""


@pytest.mark.long
def test_audits_of_random_specs_are_those_of_enumeration(tmp_path: Path) -> None:
    with open_pool(OPTIONS) as pool:
        counts = compared_specs(CHEAP, tmp_path, pool)
    assert counts["specs"] == len(CHEAP)
    assert counts["not noticed"] >= 3
    assert counts["noticed"] >= 3
    assert counts[OPEN] == 0
