"""How long the scans of a played run take: as stated, else the shortest, the longest, and random
times of a seed that is told."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from random import Random

from twohand.program.durations import Units
from twohand.scan.clocking import Clocking
from twohand.scenarios.model import ScanTimes
from twohand.specification.phrases import listing

DEFAULT_SEED = 1
DEFAULT_TIMES = 8
"""Runs with random scan times, beside the shortest and the longest."""


@dataclass(frozen=True)
class Timing:
    """``words`` say it: 'shortest'. ``stated`` are the times of each scan;
    ``shortest`` and ``longest`` bound them where they are not stated, ``seed`` chooses between."""

    words: str
    shortest: Units
    longest: Units
    seed: str = ""
    stated: ScanTimes | None = None

    def elapsed(self) -> Iterator[Units]:
        """Of each scan, the first one included; the same ones each time."""
        if self.stated is not None:
            yield from self.stated.elapsed
            return
        random = Random(self.seed)
        while True:
            yield Units(random.randint(self.shortest, self.longest))

    def before(self, earliest: Units, first: Units) -> list[Units]:
        """Of each sample before the first scan, which is ``first`` after the last of them: so many
        that one is older than what happens ``earliest``, none where that is in the run."""
        if self.stated is not None:
            return list(self.stated.before)
        if earliest >= 0:
            return []
        random = Random(f"{self.seed} before")
        found = [Units(random.randint(self.shortest, self.longest))]
        time = -first
        while time >= earliest:
            time -= found[0]
            found.insert(0, Units(random.randint(self.shortest, self.longest)))
        return found


def timings(
    clocking: Clocking, stated: ScanTimes | None, times: int, seed: int
) -> Iterator[Timing]:
    """What is played: each scan as it was, or both ends of the range and ``times`` between."""
    if stated is not None:
        yield Timing("as stated", clocking.shortest, clocking.longest, stated=stated)
        return
    if clocking.fixed:
        yield Timing("fixed", clocking.shortest, clocking.longest)
        return
    yield Timing("shortest", clocking.shortest, clocking.shortest)
    yield Timing("longest", clocking.longest, clocking.longest)
    for number in range(1, times + 1):
        words = f"random, number {number} of seed {seed}"
        yield Timing(words, clocking.shortest, clocking.longest, f"{seed}/{number}")


def timings_words(asked: Sequence[Timing], seed: int) -> str:
    """All of them: 'shortest, longest and 8 at random (seed 1)'."""
    words = [each.words for each in asked if not each.seed]
    number = len(asked) - len(words)
    return listing([*words, f"{number} at random (seed {seed})"] if number else words)
