"""A run that is too long to be shown whole: its beginning and its end."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

from checker.report.numbers import count, duration
from checker.scan.record import ScanRecord
from checker.scan.timing import Clocking

MOST_BLOCKS = 16
"""Blocks of columns that are shown whole."""
_BEGINNING = 4
_END = 3

Block = TypeVar("Block")


def outer_blocks(blocks: Sequence[Block]) -> list[Block | None]:
    """All blocks, or the first and last ones with None for those between them."""
    if len(blocks) <= MOST_BLOCKS:
        return [*blocks]
    return [*blocks[:_BEGINNING], None, *blocks[-_END:]]


def gap_words(first: int, last: int, records: Sequence[ScanRecord], clocking: Clocking) -> str:
    """What stands for the scans ``first`` to ``last`` (inclusive, from 0)."""
    times = [duration(records[scan].time, clocking) for scan in (first, last)]
    return (
        f"({count(last - first + 1, 'scan')} not shown: scan {first + 1} at {times[0]} to "
        f"scan {last + 1} at {times[1]})"
    )
