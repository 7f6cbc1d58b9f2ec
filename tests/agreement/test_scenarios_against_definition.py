"""Played scenarios of random specs are as defined, and written runs play as they were.

What a scan sees, which readings make a difference and where something fails is computed anew."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.search.scenarios import played_as_defined, written_and_played
from tests.support.randomness.written_outside import drawn_with_outside


@pytest.mark.parametrize("more", [False, True], ids=["direct", "bouncing"])
def test_a_few_random_scenarios_are_played_as_defined(more: bool, tmp_path: Path) -> None:
    assert sum(played_as_defined(seed, tmp_path, more) for seed in (1, 14, 17)) >= 6


def test_a_few_random_runs_are_written_and_played_as_they_were(tmp_path: Path) -> None:
    done = [written_and_played(seed, tmp_path, draw=drawn_with_outside) for seed in (8, 28, 30)]
    assert all(done)


@pytest.mark.long
@pytest.mark.parametrize("more", [False, True], ids=["direct", "bouncing"])
def test_many_random_scenarios_are_played_as_defined(more: bool, tmp_path: Path) -> None:
    assert sum(played_as_defined(seed, tmp_path, more) for seed in range(100, 130)) >= 60


@pytest.mark.long
@pytest.mark.parametrize("more", [False, True], ids=["direct", "bouncing"])
def test_many_random_runs_are_written_and_played_as_they_were(more: bool, tmp_path: Path) -> None:
    assert sum(written_and_played(seed, tmp_path, more) for seed in range(100, 125)) >= 20
