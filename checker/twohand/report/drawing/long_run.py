"""A run that is too long to be shown whole: its beginning and its end."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from twohand.report.drawing.lanes import Picture
from twohand.specification.phrases import count

MOST_BLOCKS = 16
"""Blocks of columns that are shown whole."""
_BEGINNING = 4
_END = 3

Block = TypeVar("Block")


@dataclass(frozen=True)
class Gap:
    """Scans ``first`` to ``last`` (inclusive, from 0) are not shown."""

    first: int
    last: int

    def words(self, picture: Picture) -> str:
        """What is shown in their place."""
        first, last = (
            f"{picture.name(scan)} at {picture.time(scan)}" for scan in (self.first, self.last)
        )
        return f"({count(self.last - self.first + 1, 'scan')} not shown: {first} to {last})"


def outer_blocks(
    blocks: Sequence[Block], scans: Callable[[Block], tuple[int, int]]
) -> list[Block | Gap]:
    """All blocks, or the first and last ones with a gap for those between them; ``scans`` are the
    first and the last one that a block shows."""
    if len(blocks) <= MOST_BLOCKS:
        return [*blocks]
    begin, end = blocks[:_BEGINNING], blocks[-_END:]
    return [*begin, Gap(scans(begin[-1])[1] + 1, scans(end[0])[0] - 1), *end]
