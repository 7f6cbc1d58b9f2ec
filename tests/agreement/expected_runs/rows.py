"""What a row of the tables says. Values stand in columns, one for each scan, from power-up on.

Columns before a `|` are of samples before power-up.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True)
class BlockRun:
    """A small block, its inputs scan by scan, and what it must then show at each scan's end.

    `given` maps a name (BOOL), or 'name : TYPE', to its values; times are in milliseconds.
    `elapsed`: milliseconds since the scan before; the first is 0. A reading that is not named in
    `readings` must not matter: the run is the same under both of its values.
    """

    what: str
    source: str
    declarations: str
    body: str
    given: Mapping[str, str]
    expected: Mapping[str, str]
    elapsed: str = ""
    readings: Mapping[str, bool] = field(default_factory=dict)
    before: str = ""
    #: Functions and function blocks that the block uses.
    finding: str = ""
    #: The kind of the finding in which the last scan ends, of which nothing is expected else.


@dataclass(frozen=True)
class ValueRun:
    """A formula about now and the past, and its value in each scan."""

    what: str
    source: str
    formula: str
    given: Mapping[str, str]
    value: str
    elapsed: str = ""


@dataclass(frozen=True)
class PropertyRun:
    """A property of the whole run, and the number of the first scan (from 1) that breaks it.

    An answer that is waited for is
    """

    what: str
    source: str
    formula: str
    given: Mapping[str, str]
    broken_in: int | None
    elapsed: str = ""


def elapsed_times(row: BlockRun | ValueRun | PropertyRun, usual: int) -> list[int]:
    """Milliseconds since the scan before; a run's first scan has none, and takes the shortest."""
    scans = len(_words(next(iter(row.given.values()))))
    later = [int(word) for word in _words(row.elapsed)[1:]] or [usual] * (scans - 1)
    return [min(later, default=usual), *later]


def _words(text: str) -> list[str]:
    return text.replace("|", " ").split()


def before_power_up(row: BlockRun | ValueRun | PropertyRun) -> int:
    """How many samples there are before power-up."""
    past, mark, _ = next(iter(row.given.values())).partition("|")
    return len(past.split()) if mark else 0


def column(kind: str, words: str) -> list[bool | int]:
    """The values of a variable of this type, scan by scan."""
    return [word == "1" if kind == "BOOL" else int(word) for word in _words(words)]


def typed(given: Mapping[str, str]) -> dict[str, tuple[str, str]]:
    """Type and values of each name."""
    split = {key.partition(" : "): words for key, words in given.items()}
    return {name: (kind or "BOOL", words) for (name, _, kind), words in split.items()}
