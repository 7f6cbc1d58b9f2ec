"""What the program of a sheet applies and judges: the parts of its trials."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from twohand.program.durations import Units


@dataclass(frozen=True)
class TrialPart:
    """From its first scan on the inputs ``given`` are so; all others stay as they were. It ends
    before the first scan that is ``length`` or more after its first one."""

    given: Mapping[str, bool]
    length: Units


@dataclass(frozen=True)
class Sequence:
    """The first part gives every input. Each part begins in a scan, so that what follows from it
    does not hang on how long scans take."""

    title: str
    parts: tuple[TrialPart, ...]


@dataclass(frozen=True)
class JudgedStretch:
    """``output`` is ``on`` in each scan of a part that is ``first`` to ``last`` (None: its end)
    after the first one: in all runs, whatever the reading and the scan times."""

    output: str
    on: bool
    first: Units
    last: Units | None


@dataclass(frozen=True)
class BenchTrial:
    """``judged`` has what is judged in each part."""

    sequence: Sequence
    judged: tuple[tuple[JudgedStretch, ...], ...]
