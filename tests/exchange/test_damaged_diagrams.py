"""Diagrams with something changed, lost or doubled: they are read, or refused in the file, and
never as anything else."""

from __future__ import annotations

import pytest

from tests.search.damaged_diagrams import damaged_file, refused
from tests.support.tiers import nightly


@pytest.mark.parametrize("seed", range(12))
def test_a_damaged_diagram_is_read_or_refused_in_its_file(seed: int) -> None:
    refused(damaged_file(seed))


@pytest.mark.long
@pytest.mark.parametrize("first", [1000, nightly(1500), nightly(2000)])
def test_damaged_diagrams_are_read_or_refused_in_their_file(first: int) -> None:
    found = [refused(damaged_file(seed)) for seed in range(first, first + 250)]
    assert 0.5 < sum(found) / len(found) < 1
