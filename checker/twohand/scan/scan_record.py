"""What an executed run leaves behind: one record a scan."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from twohand.program.durations import Scans, Units
from twohand.program.types import Value
from twohand.scan.finding import Finding
from twohand.text.source_text import Span


@dataclass(frozen=True)
class ScanRecord:
    """One scan of a run, or one sample of the inputs before its first scan.

    ``time`` is when the inputs were sampled, counted from the first scan (which is at 0);
    ``elapsed`` the time since the scan before (for the first scan: what a platform that counts
    the edge call's scan would count). ``values`` holds every program variable by name: inputs as
    sampled, all others (in-out variables too) as they are at the end of the scan. ``writers``
    names the statement that last wrote a variable in this scan. With a ``finding`` the scan was
    cut short there and ``values`` are those of that moment.

    ``older`` names the inputs that were there before the first scan. Before it (``time`` is then
    negative) the program does not run: there is no value but theirs.
    """

    time: Units
    elapsed: Units
    values: Mapping[str, Value]
    writers: Mapping[str, Span] = field(default_factory=dict)
    finding: Finding | None = None
    older: frozenset[str] = frozenset()

    @property
    def before_power_up(self) -> bool:
        return self.time < 0


def scans_before(records: Sequence[ScanRecord]) -> Scans:
    """How many of them, which come first, are before power-up."""
    return Scans(sum(record.before_power_up for record in records))
