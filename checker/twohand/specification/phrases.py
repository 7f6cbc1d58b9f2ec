"""Parts of sentences: values, times, counts and lists as people read them, quoted names, ways out.

This is the one place that writes a value or a time. Times are exact, never rounded.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from twohand.program.durations import Nanoseconds, Units
from twohand.program.types import BitString, Boolean, Duration, Enumeration, Type, Value
from twohand.scan.clocking import Clocking
from twohand.scan.finding import FindingKind
from twohand.text.comments import blank_comments
from twohand.text.source_text import SourceText, Span

NANOSECONDS_PER_SECOND = 1_000_000_000

# --- values and times -------------------------------------------------------------------------


def _decimal(nanoseconds: int, places: int) -> str:
    """``nanoseconds`` times ten to the power of ``-places``, without needless zeros."""
    text = format(Decimal(nanoseconds).scaleb(-places), "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def milliseconds(units: Units, clocking: Clocking) -> str:
    """A duration's number of milliseconds: ``490``, ``0.5``."""
    return _decimal(clocking.nanoseconds(units), 6)


def seconds(units: Units, clocking: Clocking) -> str:
    """A duration's number of seconds: ``61.53``."""
    return _decimal(clocking.nanoseconds(units), 9)


def duration_of(nanoseconds: Nanoseconds) -> str:
    """``490 ms``; from ten seconds on ``61.53 s``."""
    if abs(nanoseconds) >= 10 * NANOSECONDS_PER_SECOND:
        return f"{_decimal(nanoseconds, 9)} s"
    return f"{_decimal(nanoseconds, 6)} ms"


def duration(units: Units, clocking: Clocking) -> str:
    """The same of a duration in units."""
    return duration_of(clocking.nanoseconds(units))


def duration_range(low: Units, high: Units, clocking: Clocking) -> str:
    """``10 ms`` or ``5 ms to 20 ms``."""
    if low == high:
        return duration(low, clocking)
    return f"{duration(low, clocking)} to {duration(high, clocking)}"


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


# --- words ------------------------------------------------------------------------------------


def count(number: int, noun: str, plural: str = "") -> str:
    """``1 scan``, ``47 scans``."""
    return f"{number} {noun if number == 1 else plural or noun + 's'}"


def listing(words: Sequence[str], joint: str = "and") -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {joint} {words[-1]}"


def quoted(name: str) -> str:
    return f"'{name}'"


def one_line(text: str) -> str:
    """The user's text with its line ends and runs of blanks made single blanks."""
    return " ".join(text.split())


def written(span: Span) -> str:
    """The user's text in one line, without comments."""
    return one_line(blank_comments(SourceText(span.source.path, span.text)))


NO_FINDING = (
    "no overflow, division by zero, index or loop beyond its bound, duration below zero, or read "
    "before assignment"
)


def way_out(kind: FindingKind, happens: bool) -> str:
    """What helps where it is open whether a finding can happen, and of what is one on some
    platforms only also where it ``happens``; '' where only more time or another text does."""
    if kind is FindingKind.BELOW_ZERO:
        return (
            "compare the two durations instead of subtracting them (a > b for a - b > T#0s); or, "
            "where the platform's durations are signed, say READING durations_are_signed TRUE in a "
            "spec"
        )
    if kind is FindingKind.READ_UNSET:
        return (
            "assign it before it is read; or, where the platform gives such variables the default "
            "of their type at each call, say READING temporaries_begin_anew TRUE in a spec"
        )
    if happens or kind is not FindingKind.OVERFLOW:
        return ""
    return (
        "a number that only ever grows leaves its type in the end, if only after years: bound it "
        "(IF n < ...), or say INTEGERS WRAP in a spec where the platform's integers wrap around"
    )
