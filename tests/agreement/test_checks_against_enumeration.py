"""Whole checks of random two-hand specs, held against visiting every reachable state.

Assumptions over the past, hazards, bounds in scans, stations, contacts, plants with a timer, power
cycles, findings: the executor and the direct evaluator alone say what is right.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from random import Random

import pytest
from twohand.evidence.limits import open_pool
from twohand.evidence.runs import long_runs

from tests.search.verdicts import OPTIONS, compared
from tests.support.tiers import nightly
from tests.support.unanswered import leave_unanswered

OPEN = "without a second opinion"
CHEAP = (19, 20, 22, 30, 1000, 1007, 1012, 1013, 1016)
"""Seeds of specs with few states."""


@pytest.mark.long
def test_verdicts_of_random_specs_are_those_of_enumeration(tmp_path: Path) -> None:
    with open_pool(OPTIONS) as pool:
        counts = compared(CHEAP, tmp_path, pool)
    assert counts["specs"] == len(CHEAP)
    assert min(counts[word] for word in ("PROVED", "VIOLATED", "VACUOUS")) >= 5
    assert counts["UNDECIDED"] == 0
    assert counts["hands-not-apart"] >= 1
    assert counts[OPEN] <= 2


@pytest.mark.nightly
@pytest.mark.parametrize("block", range(1))
def test_verdicts_of_many_random_specs_are_those_of_enumeration(block: int, tmp_path: Path) -> None:
    with open_pool(OPTIONS) as pool:
        counts = compared(range(1000 + 10 * block, 1010 + 10 * block), tmp_path, pool)
    assert counts["specs"] >= 5
    assert counts["PROVED"] >= 5
    assert counts["UNDECIDED"] <= 2


@pytest.mark.long
@pytest.mark.parametrize(("start", "rounds"), [(1, 2), nightly(1, 4)])
def test_whatever_time_runs_out_for_nothing_that_is_said_is_wrong(
    start: int, rounds: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A part of all questions is left unanswered, each time other ones. A requirement is asked four
    times, so that four in a hundred to a third of them have no answer."""
    chance = Random(start)
    monkeypatch.setattr(long_runs, "_SHARE", 0.0)
    monkeypatch.setattr(long_runs, "_LEAST_EFFORT", 0.5)
    monkeypatch.setattr(long_runs, "_SHARE_OF_PROPERTY", 0.0)
    leave_unanswered(monkeypatch, lambda: chance.random() < 0.45 + 0.15 * start)
    with open_pool(OPTIONS) as pool:
        counts = sum((compared(CHEAP, tmp_path / str(n), pool) for n in range(rounds)), Counter())
    assert counts["specs"] == rounds * len(CHEAP)
    assert min(counts[word] for word in ("PROVED", "VIOLATED", "UNDECIDED")) >= 5


@pytest.mark.long
@pytest.mark.parametrize("seeds", [range(2001, 2003), nightly((2000, 2003))])
def test_verdicts_where_contacts_bounce_or_stations_are_out_of_use_are_those_of_enumeration(
    seeds: Sequence[int], tmp_path: Path
) -> None:
    with open_pool(OPTIONS) as pool:
        counts = compared(seeds, tmp_path, pool, more=True)
    assert counts["specs"] >= 1
    assert min(counts[word] for word in ("PROVED", "VIOLATED")) >= 4
