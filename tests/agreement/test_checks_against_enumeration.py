"""Whole checks of random two-hand specs, held against visiting every reachable state.

Assumptions over the past, hazards, bounds in scans, stations, contacts, plants with a timer, power
cycles, findings: the executor and the direct evaluator alone say what is right.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from pathlib import Path
from random import Random

import pytest
from twohand.analyses.check.check import check
from twohand.engine.workers.pool import Pool
from twohand.evidence.limits import Options, open_pool
from twohand.evidence.runs import long_runs
from twohand.specification.load import load_specification
from twohand.specification.model.specification import Specification
from twohand.text.diagnostic import InputError

from tests.support.enumeration.checks_by_enumeration import compare, compare_contradiction
from tests.support.enumeration.enumerate_states import TooManyStatesError
from tests.support.randomness.specs import drawn_spec
from tests.support.unanswered import leave_unanswered

OPTIONS = Options(seconds=30.0, processes=2)
OPEN = "without a second opinion"
CHEAP = (19, 20, 22, 30, 31, 1007, 1012)
"""Seeds of specs with few states."""


def drawn(seed: int, folder: Path, more: bool = False) -> Specification | None:
    """None where the changed tokens make no program."""
    text = drawn_spec(seed, more)
    folder.mkdir(parents=True)
    for name, content in (("block.st", text.block), ("rod.st", text.plant), ("a.spec", text.spec)):
        (folder / name).write_text(content, encoding="utf-8")
    try:
        return load_specification(folder / "a.spec")
    except InputError:
        return None


def compared(seeds: Iterable[int], folder: Path, pool: Pool, more: bool = False) -> Counter[str]:
    """How often each verdict came out; AssertionError where one is not what enumeration says."""
    counts: Counter[str] = Counter()
    for seed in seeds:
        specification = drawn(seed, folder / str(seed), more)
        if specification is None:
            continue
        counts["specs"] += 1
        try:
            report = check(specification, OPTIONS, pool=pool)
        except InputError as error:
            counts[error.diagnostics[0].code] += _contradicts(specification)
            continue
        counts += compare(report)
    return counts


def _contradicts(specification: Specification) -> int:
    try:
        compare_contradiction(specification)
    except TooManyStatesError:
        return 0
    return 1


@pytest.mark.long
def test_verdicts_of_random_specs_are_those_of_enumeration(tmp_path: Path) -> None:
    with open_pool(OPTIONS) as pool:
        counts = compared(CHEAP, tmp_path, pool)
    assert counts["specs"] == len(CHEAP)
    assert min(counts[word] for word in ("PROVED", "VIOLATED", "VACUOUS")) >= 5
    assert counts["UNDECIDED"] == 0
    assert counts[OPEN] <= 2


@pytest.mark.long
@pytest.mark.parametrize("block", range(4))
def test_verdicts_of_many_random_specs_are_those_of_enumeration(block: int, tmp_path: Path) -> None:
    with open_pool(OPTIONS) as pool:
        counts = compared(range(1000 + 10 * block, 1010 + 10 * block), tmp_path, pool)
    assert counts["specs"] >= 5
    assert counts["PROVED"] >= 5
    assert counts["UNDECIDED"] <= 2


@pytest.mark.long
@pytest.mark.parametrize("start", range(3))
def test_whatever_time_runs_out_for_nothing_that_is_said_is_wrong(
    start: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A part of all questions is left unanswered, each time other ones."""
    chance = Random(start)
    monkeypatch.setattr(long_runs, "_SHARE", 0.0)
    monkeypatch.setattr(long_runs, "_LEAST_SECONDS", 0.5)
    leave_unanswered(monkeypatch, lambda: chance.random() < 0.2 + 0.2 * start)
    with open_pool(OPTIONS) as pool:
        counts = sum((compared(CHEAP, tmp_path / str(n), pool) for n in range(4)), Counter())
    assert counts["specs"] == 4 * len(CHEAP)
    assert min(counts[word] for word in ("PROVED", "VIOLATED", "UNDECIDED")) >= 5


@pytest.mark.long
@pytest.mark.parametrize("block", range(2))
def test_verdicts_where_contacts_bounce_or_stations_are_out_of_use_are_those_of_enumeration(
    block: int, tmp_path: Path
) -> None:
    with open_pool(OPTIONS) as pool:
        counts = compared(range(2000 + 8 * block, 2008 + 8 * block), tmp_path, pool, more=True)
    assert counts["specs"] >= 5
    assert counts["PROVED"] >= 5
