"""Numbers, times and values as people read them; times are exact, never rounded."""

from __future__ import annotations

from decimal import Decimal

from twohand.program.durations import Units
from twohand.program.types import BitString, Boolean, Duration, Enumeration, Type, Value
from twohand.scan.clocking import Clocking

NANOSECONDS_PER_SECOND = 1_000_000_000


def _decimal(numerator: int, denominator: int) -> str:
    """A quotient whose denominator is a power of ten, exactly and without needless zeros."""
    text = format(Decimal(numerator).scaleb(1 - len(str(denominator))), "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def milliseconds(units: Units, clocking: Clocking) -> str:
    """A duration's number of milliseconds: ``490``, ``0.5``."""
    return _decimal(clocking.nanoseconds(units), 1_000_000)


def seconds(units: Units, clocking: Clocking) -> str:
    """A duration's number of seconds: ``61.53``."""
    return _decimal(clocking.nanoseconds(units), NANOSECONDS_PER_SECOND)


def duration(units: Units, clocking: Clocking) -> str:
    """``490 ms``; from ten seconds on ``61.53 s``."""
    if abs(clocking.nanoseconds(units)) >= 10 * NANOSECONDS_PER_SECOND:
        return f"{seconds(units, clocking)} s"
    return f"{milliseconds(units, clocking)} ms"


def duration_range(low: Units, high: Units, clocking: Clocking) -> str:
    """``10 ms`` or ``5 ms to 20 ms``."""
    if low == high:
        return duration(low, clocking)
    return f"{duration(low, clocking)} to {duration(high, clocking)}"


def count(number: int, noun: str, plural: str = "") -> str:
    """``1 scan``, ``47 scans``."""
    return f"{number} {noun if number == 1 else plural or noun + 's'}"


def listing(words: list[str] | tuple[str, ...], joint: str = "and") -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {joint} {words[-1]}"


def value(value: Value | None, kind: Type, clocking: Clocking) -> str:
    """A value as structured text writes it; durations with their unit; ``?`` where unknown."""
    if value is None:
        return "?"
    if isinstance(kind, Boolean):
        return "TRUE" if value else "FALSE"
    if isinstance(kind, Duration):
        return duration(Units(value), clocking)
    if isinstance(kind, Enumeration):
        return kind.value_name(int(value))
    if isinstance(kind, BitString):
        return f"16#{int(value):X}"
    return str(int(value))


def wall_time(spent: float) -> str:
    """Time spent on the wall clock, in seconds: ``0.15 s``, ``12 s``, ``2 min 05 s``."""
    if spent < 10:
        return f"{spent:.2f} s"
    whole = round(spent)
    if whole < 120:
        return f"{whole} s"
    return f"{whole // 60} min {whole % 60:02d} s"
