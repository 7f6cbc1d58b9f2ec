"""Units of time, the range of the scan time, and the readings in which platforms differ."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from itertools import product

from twohand.program.durations import Nanoseconds, Units

NANOSECONDS_PER_MILLISECOND = 1_000_000

PARAMETER_PREFIX = "#reading."
"""Begins an open reading's name in the transition system; no program's name has a '#'."""

CLOCK_AT_FIRST = "#clock at first"
"""The transition system's parameter for what ``TIME()`` would have shown one scan time before the
first scan, plus any multiple of its range."""


@dataclass(frozen=True)
class Clocking:
    """How much time passes between scans.

    ``shortest`` and ``longest`` scan time are at least one unit. A fixed period has
    ``shortest == longest``.
    """

    unit: Nanoseconds
    shortest: Units
    longest: Units
    clock_milliseconds: int = 1 << 32
    """After so many ``TIME()`` shows the same again."""

    @property
    def fixed(self) -> bool:
        return self.shortest == self.longest

    def units(self, nanoseconds: Nanoseconds) -> Units:
        """A duration in units; ValueError where it is not a whole number of them."""
        quotient, remainder = divmod(nanoseconds, self.unit)
        if remainder:
            raise ValueError(f"{nanoseconds} ns is not a whole number of units of {self.unit} ns")
        return Units(quotient)

    def nanoseconds(self, units: Units) -> Nanoseconds:
        return Nanoseconds(units * self.unit)

    @property
    def units_per_millisecond(self) -> int:
        """Units are one millisecond or a whole fraction of it."""
        return NANOSECONDS_PER_MILLISECOND // self.unit

    @property
    def clock_range(self) -> Units:
        """After so many units ``TIME()`` shows the same again."""
        return Units(self.clock_milliseconds * self.units_per_millisecond)


@dataclass(frozen=True)
class Readings:
    """What the standard leaves open and platforms read differently.

    ``None`` means that every reading is checked; the executor needs a definite choice. The field
    names are the spec's READING words and, behind ``PARAMETER_PREFIX``, the names of the system's
    parameters.
    """

    edge_call_counts: bool | None = None
    """A timer's edge call already counts its scan's elapsed time (else it contributes none)."""
    first_scan_has_time: bool | None = None
    """The time of a scan that an edge call counts is there in the program's first scan, after a
    restart as well (else none has passed yet)."""
    zero_preset_at_once: bool | None = None
    """PT <= 0 is over in the edge call itself (else one call later)."""
    preset_latched: bool | None = None
    """PT is read at the edge only (else at every call)."""
    falling_edge_at_first_call: bool | None = None
    """F_TRIG with CLK FALSE on its first call gives Q TRUE."""
    counter_stops_at_preset: bool | None = None
    """CTU, CTD and CTUD count only within 0..PV (else to the limits of CV's type)."""
    loop_leaves_past_end: bool | None = None
    """After a normal end a FOR variable is one step past its last value (else that value)."""
    disabled_call_takes_inputs: bool | None = None
    """A call whose EN is FALSE still gives its block the inputs (else they stay as they are)."""
    clock_is_signed: bool | None = None
    """The clock of TIME() is a signed number, as are differences of its readings: it wraps from its
    greatest value to its least one, below 0 (else from its greatest value to 0)."""
    durations_are_signed: bool | None = None
    """A duration may be below zero (else a result below zero is a finding, and no input is below
    it). The standard says nothing of it (common practice)."""
    temporaries_begin_anew: bool | None = None
    """What begins anew at each call, and has no initial value in its declaration, has that of its
    type then (IEC 61131-3 Ed. 3, 6.5.2, from memory). Else whatever was there before, and to read
    it before something is assigned to it is a finding (common practice)."""
    integers_wrap: bool = False
    """Integer results outside their type wrap around (else they are overflow findings)."""

    @property
    def open(self) -> tuple[str, ...]:
        """Names of the readings that are not fixed."""
        return tuple(f.name for f in fields(self) if getattr(self, f.name) is None)

    @property
    def stated(self) -> dict[str, bool]:
        """The readings that are fixed, by name."""
        values = ((f.name, getattr(self, f.name)) for f in fields(self))
        return {name: value for name, value in values if value is not None}

    def choices(self) -> list[Readings]:
        """Every definite choice of the open readings."""
        names = self.open
        return [
            replace(self, **dict(zip(names, values, strict=True)))
            for values in product((False, True), repeat=len(names))
        ]
