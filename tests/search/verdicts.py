"""Whole checks of random two-hand specs, held against visiting every reachable state."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable
from pathlib import Path

from twohand.analyses.check.check import check
from twohand.engine.workers.pool import Pool
from twohand.evidence.limits import Options
from twohand.specification.load import load_specification
from twohand.specification.model.specification import Specification
from twohand.text.diagnostic import Diagnostic, InputError

from tests.support.enumeration.checks_by_enumeration import (
    compare,
    compare_contradiction,
    compare_hands,
)
from tests.support.enumeration.enumerate_states import TooManyStatesError
from tests.support.randomness.specs import SpecText, drawn_spec

OPTIONS = Options(effort=30.0, processes=1)


def drawn(
    seed: int, folder: Path, more: bool = False, draw: Callable[[int], SpecText] | None = None
) -> Specification | None:
    """None where the changed tokens make no program."""
    text = drawn_spec(seed, more) if draw is None else draw(seed)
    folder.mkdir(parents=True)
    for name, content in (("block.st", text.block), ("rod.st", text.plant), ("a.spec", text.spec)):
        (folder / name).write_text(content, encoding="utf-8")
    try:
        return load_specification(folder / "a.spec")
    except InputError:
        return None


def compared(
    seeds: Iterable[int],
    folder: Path,
    pool: Pool,
    more: bool = False,
    draw: Callable[[int], SpecText] | None = None,
) -> Counter[str]:
    """How often each verdict came out; AssertionError where one is not what enumeration says."""
    counts: Counter[str] = Counter()
    for seed in seeds:
        specification = drawn(seed, folder / str(seed), more, draw)
        if specification is None:
            continue
        counts["specs"] += 1
        try:
            report = check(specification, OPTIONS, pool=pool)
        except InputError as error:
            (diagnostic,) = error.diagnostics
            counts[diagnostic.code] += _rightly_refused(specification, diagnostic)
            continue
        counts += compare(report)
    return counts


def _rightly_refused(specification: Specification, diagnostic: Diagnostic) -> int:
    try:
        if diagnostic.code == "hands-not-apart":
            compare_hands(specification, diagnostic)
        else:
            compare_contradiction(specification)
    except TooManyStatesError:
        return 0
    return 1
