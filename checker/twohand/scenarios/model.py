"""A scenario, resolved against its spec: what is sampled when, and what is to be seen."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from twohand.program import Variable
from twohand.program.durations import NO_TIME, Units
from twohand.program.types import Value
from twohand.scan.clocking import Readings
from twohand.specification.logic.formula import Formula
from twohand.specification.model.specification import Specification
from twohand.text.source_text import SourceText, Span

MOST_SCANS = 20_000
"""Of one run: what takes longer is no scenario but a search."""


@dataclass(frozen=True, eq=False)
class InputChange:
    """From ``time`` on ``input`` is sampled as ``value``: by the first scan that is not earlier.
    Before power-up the time is negative."""

    time: Units
    input: Variable
    value: Value
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Expected:
    """``formula`` from the first scan that is not earlier than ``first`` to the last one that is
    not later than ``last`` (None: that of the run), and at least in the first of them. ``within``
    (None: nothing of this is said): in some scan that is not later than so long behind ``first``,
    or in the first of them."""

    formula: Formula
    span: Span = field(repr=False)
    first: Units = NO_TIME
    last: Units | None = None
    within: Units | None = None


@dataclass(frozen=True)
class ScanTimes:
    """The elapsed time of every scan, and ``before`` that of each sample before the first one."""

    elapsed: tuple[Units, ...]
    before: tuple[Units, ...] = ()


@dataclass(frozen=True, eq=False)
class Scenario:
    """``at_first`` is what is sampled until something changes, by the names of inputs; ``changes``
    are in the order of their times. ``readings`` are those of the spec and of the scenario: what
    is open in them is played with every choice. Without ``scan_times`` the run ends with the first
    scan that is not earlier than ``end``."""

    name: str
    source: SourceText
    specification: Specification
    readings: Readings
    at_first: Mapping[str, Value]
    changes: Sequence[InputChange]
    expected: tuple[Expected, ...]
    scan_times: ScanTimes | None
    end: Units
    span: Span = field(repr=False)
