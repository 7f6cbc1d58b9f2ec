"""What an executed run leaves behind: one record a scan."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from twohand.program.durations import Units
from twohand.program.types import Value
from twohand.scan.finding import Finding
from twohand.text.source_text import Span


@dataclass(frozen=True)
class ScanRecord:
    """One scan.

    ``time`` is when the inputs were sampled, counted from the first scan (which is at 0);
    ``elapsed`` the time since the scan before (for the first scan: what a platform that counts
    the edge call's scan would count). ``values`` holds every program variable by name: inputs as
    sampled, all others (in-out variables too) as they are at the end of the scan. ``writers``
    names the statement that last wrote a variable in this scan. With a ``finding`` the scan was
    cut short there and ``values`` are those of that moment.
    """

    time: Units
    elapsed: Units
    values: Mapping[str, Value]
    writers: Mapping[str, Span] = field(default_factory=dict)
    finding: Finding | None = None
