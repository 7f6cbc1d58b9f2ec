"""What is measured of a random small block is what visiting all its states gives."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from pathlib import Path
from random import Random

from twohand.analyses.measure.figures import Figure, FigureKind, figures_of
from twohand.analyses.measure.query import Extreme, FindExtreme
from twohand.engine.workers.pool import Pool
from twohand.evidence.encoding import Encoding
from twohand.program.types import Value
from twohand.scan.clocking import Readings
from twohand.specification.load import load_specification
from twohand.specification.model.specification import Specification

from tests.support.enumeration.figures_by_enumeration import (
    FAR,
    Predicate,
    TooManyStatesError,
    Watch,
    between_starts,
    extreme,
    lag,
    on_time,
    until_off,
)
from tests.support.randomness.small_blocks import SmallBlock

MOST_SECONDS = 600.0
SCANS = ("T#1ms", "T#2ms", "T#1ms..T#2ms")
OPEN = "edge_call_counts"


def small_specification(folder: Path, seed: int) -> Specification:
    """A random block of two hands and an output, with ``m`` as a stop condition."""
    random = Random(seed)
    block = SmallBlock(random)
    block.inputs = ["a", "b"]
    (folder / "small.st").write_text(block.text(), encoding="utf-8")
    fixed = [name for name in Readings().open if name != OPEN]
    readings = " ".join(f"READING {name} FALSE;" for name in fixed)
    hazard = random.choice(("", "HAZARD NOT b;")) if seed % 3 == 0 else ""
    path = folder / "small.spec"
    path.write_text(
        f"SPEC Small SOURCE 'small.st'; SCAN {random.choice(SCANS)}; {readings}\n"
        f"HAND left = a; HAND right = b; OUTPUT q; STOPPED_BY m; {hazard}\n"
        "REQUIRE TWO_HAND LOGIC TYPE I;\nEND_SPEC\n",
        encoding="utf-8",
    )
    return load_specification(path)


def on(name: str, wanted: bool = True) -> Predicate:
    return lambda values: bool(values[name]) is wanted


def watch_of(figure: Figure, hazard: bool) -> Watch:
    def exposed(values: Mapping[str, Value]) -> bool:
        return bool(values["q"]) and not (hazard and values["b"])

    match figure.kind:
        case FigureKind.LAG:
            return lag(on("a"), on("b"), on("q"))
        case FigureKind.REACTION:
            return until_off(
                on("a" if figure.subject == "left" else "b", False), exposed, older=True
            )
        case FigureKind.STOP:
            return until_off(on("m"), on("q"), older=False)
        case FigureKind.BETWEEN_STARTS:
            return between_starts(on("q"))
    return on_time(on("q"))


def agreed(figure: Figure, found: Extreme, specification: Specification, tick: int) -> str:
    """What kind of answer both give; '' where the enumeration is too long."""
    hazard = specification.hazard is not None
    try:
        value = extreme(specification, watch_of(figure, hazard), figure.time.least)
    except TooManyStatesError:
        return ""
    reached = None if found.value is None else found.value * tick
    if found.pumped is not None or found.without is not None:
        assert value is not None
        assert value >= FAR
        return "no limit"
    if found.proof is None:
        assert reached is None or value is not None
        return "undecided"
    assert found.proof.recheck.accepted
    if found.bound is None:
        assert value is None
        return "never"
    if found.bound != found.value:
        return "undecided"
    assert (value == reached) or (value == FAR <= found.value * tick)
    return "exact"


def compared(folder: Path, seeds: range) -> Counter[str]:
    """How often each kind of answer was given by both. Questions are asked of a worker, where an
    answer does not depend on what else the process did."""
    with Pool(1) as pool:
        return sum((_compared(folder, seed, pool) for seed in seeds), Counter())


def _compared(folder: Path, seed: int, pool: Pool) -> Counter[str]:
    counts: Counter[str] = Counter()
    specification = small_specification(folder, seed)
    questions = Encoding(specification)
    figures = figures_of(specification)
    firsts = [questions.quantity(figure.time) for figure in figures]
    problem = questions.problem()
    for figure, first in zip(figures, firsts, strict=True):
        pool.submit(FindExtreme(problem, first, figure.time.least, False, 15.0), MOST_SECONDS)
        ((_, found),) = pool.results()
        assert isinstance(found, Extreme)
        counts[agreed(figure, found, specification, questions.tick)] += 1
    return counts
