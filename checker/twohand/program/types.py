"""The elementary types of IEC 61131-3 that the checker knows, and their values."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import TypeAlias

Value: TypeAlias = bool | int
"""A value of an elementary type: ``bool`` for BOOL, ``int`` for all others.

Bit strings are unsigned integers. Durations in the typed program (literals, initial values) are
whole nanoseconds; once a program runs (executor, transition system, trace) they are whole units
of time (``twohand.scan.clocking``). An enumeration value is its integer.
"""


@dataclass(frozen=True)
class Boolean:
    name: str = "BOOL"


@dataclass(frozen=True)
class Integer:
    name: str
    bits: int
    signed: bool

    @property
    def lowest(self) -> int:
        return -(1 << (self.bits - 1)) if self.signed else 0

    @property
    def highest(self) -> int:
        return (1 << (self.bits - 1)) - 1 if self.signed else (1 << self.bits) - 1


@dataclass(frozen=True)
class Subrange(Integer):
    """``base`` restricted to ``low`` to ``high``: a value outside is never assigned, but a finding,
    whether integers wrap or not. Expressions have the base type; only variables have this one."""

    low: int
    high: int
    base: Integer

    @property
    def lowest(self) -> int:
        return self.low

    @property
    def highest(self) -> int:
        return self.high


@dataclass(frozen=True)
class BitString:
    name: str
    bits: int

    @property
    def highest(self) -> int:
        return (1 << self.bits) - 1


@dataclass(frozen=True)
class Duration:
    """TIME or LTIME: a mathematical integer of time units; overflow is not modelled."""

    name: str


@dataclass(frozen=True)
class ClockTime(Duration):
    """A reading of the scan's clock (``TIME()``), or what holds one: a count of time that wraps
    around. Such values are copied, and subtracted from each other, which gives a duration; nothing
    else is done with them."""


@dataclass(frozen=True)
class Enumeration:
    name: str
    values: tuple[tuple[str, int], ...] = field(default=())

    def value_name(self, value: int) -> str:
        return next((name for name, number in self.values if number == value), str(value))


@dataclass(frozen=True)
class RealConstant:
    """What a REAL or LREAL is compared with: the number as it is written, as which a platform has a
    neighbour of it in the format of ``bits`` where that cannot hold it. Which one may hang on its
    ``form``: the types that it is written with."""

    exact: Fraction
    bits: int
    form: str
    text: str = field(compare=False)


@dataclass(frozen=True)
class RealClasses(Enumeration):
    """The values of a REAL or LREAL, as far as comparisons with ``constants`` (in rising order)
    tell them apart. The numbers of the classes are in rising order, the last one is not-a-number.

    ``places`` says of each but the last where it is: 0 below all constants, 1 at the first one, 2
    between it and the second, and so on; ``samples`` has a value of each, None for not-a-number."""

    constants: tuple[RealConstant, ...] = ()
    places: tuple[int, ...] = ()
    samples: tuple[Fraction | None, ...] = ()


Type: TypeAlias = Boolean | Integer | BitString | Duration | Enumeration

BOOL = Boolean()
SINT = Integer("SINT", 8, True)
INT = Integer("INT", 16, True)
DINT = Integer("DINT", 32, True)
LINT = Integer("LINT", 64, True)
USINT = Integer("USINT", 8, False)
UINT = Integer("UINT", 16, False)
UDINT = Integer("UDINT", 32, False)
ULINT = Integer("ULINT", 64, False)
INTEGERS = (SINT, USINT, INT, UINT, DINT, UDINT, LINT, ULINT)
"""From the narrowest to the widest."""
BYTE = BitString("BYTE", 8)
WORD = BitString("WORD", 16)
DWORD = BitString("DWORD", 32)
LWORD = BitString("LWORD", 64)
TIME = Duration("TIME")
LTIME = Duration("LTIME")
CLOCK_TIME = ClockTime("TIME")

ELEMENTARY: dict[str, Type] = {
    kind.name: kind
    for kind in (
        BOOL, SINT, INT, DINT, LINT, USINT, UINT, UDINT, ULINT,
        BYTE, WORD, DWORD, LWORD, TIME, LTIME,
    )
}  # fmt: skip
