"""Safety distances from stopping times: plain arithmetic in exact fractions.

ISO 13855 in its editions of 2010 and 2024, and 29 CFR 1910.217(c)(3). Times are seconds, distances
are the rule's own unit; one inch is 25.4 mm.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from twohand.program.durations import Nanoseconds
from twohand.specification.model.specification import Clutch, Stopping
from twohand.specification.phrases import NANOSECONDS_PER_SECOND, count

MILLIMETRES_PER_INCH = Fraction(254, 10)

HAND_SPEED_MM = 1600
"""K of ISO 13855 in mm/s. For two-hand controls there is no step to 2000 mm/s (clause 8)."""
LEAST_DISTANCE_MM = 100
"""The least S in mm where C is 0 because encroachment is prevented (clause 8)."""


@dataclass(frozen=True)
class Edition:
    """An edition of ISO 13855: its C in mm for two-hand controls, and where that is from."""

    year: int
    reach: int
    source: str


EDITIONS = (
    Edition(2010, 250, "from memory; seen in a national adoption of the 2002 edition, clause 8"),
    Edition(2024, 550, "from a secondary source on a draft, not seen in the edition itself"),
)
"""In the order of their years. K, and the least S where C is 0, are the same in both."""
HAND_SPEED_INCHES = 63
"""The hand speed constant of 29 CFR 1910.217(c)(3), in inches a second."""


@dataclass(frozen=True)
class TimeTerm:
    """One addend of a stopping time in seconds; None: contained in another addend. ``origin`` says
    where it comes from, ``below`` that the true time is less than this."""

    name: str
    seconds: Fraction | None
    origin: str
    below: bool = False


@dataclass(frozen=True)
class StoppingTime:
    """From the release of a hand to the end of the hazard."""

    terms: tuple[TimeTerm, ...]

    @property
    def seconds(self) -> Fraction:
        return sum((term.seconds or Fraction(0) for term in self.terms), Fraction(0))

    @property
    def below(self) -> bool:
        return any(term.below for term in self.terms)


@dataclass(frozen=True)
class Distance:
    """``value`` in ``unit`` ('mm' or 'in'), of a time of ``seconds``. ``terms`` name and write each
    factor and addend, ``calculation`` has their exact numbers put into ``formula``, ``calculated``
    is what it comes to (less than the value where a ``least`` one is greater); ``more_than`` says
    that the rule asks for more than the value, not for the value. ``beside`` says of what is not
    the result what it is."""

    rule: str
    symbol: str
    formula: str
    terms: tuple[tuple[str, str], ...]
    calculation: str
    seconds: Fraction
    calculated: Fraction
    unit: str
    more_than: bool = False
    least: int | None = None
    beside: str = ""

    @property
    def value(self) -> Fraction:
        return self.calculated if self.least is None else max(self.calculated, Fraction(self.least))

    @property
    def millimetres(self) -> Fraction:
        return self.value if self.unit == "mm" else self.value * MILLIMETRES_PER_INCH

    @property
    def inches(self) -> Fraction:
        return self.value if self.unit == "in" else self.value / MILLIMETRES_PER_INCH


def seconds_of(nanoseconds: Nanoseconds) -> Fraction:
    return Fraction(nanoseconds, NANOSECONDS_PER_SECOND)


def rounded_up(value: Fraction, decimals: int) -> str:
    """The least number of so many decimals that is not less than ``value``."""
    scale = 10**decimals
    whole, rest = divmod(-(-value.numerator * scale // value.denominator), scale)
    return f"{whole}.{rest:0{decimals}d}" if decimals else str(whole)


def exact_text(value: Fraction) -> str:
    """``0.178``, or ``2/7`` where so many decimals as times have are not exact: what is multiplied
    is what is printed."""
    if (value * NANOSECONDS_PER_SECOND).denominator != 1:
        return str(value)
    whole, _, decimals = rounded_up(value, 9).partition(".")
    decimals = decimals.rstrip("0")
    return f"{whole}.{decimals}" if decimals else whole


def seconds_text(seconds: Fraction) -> str:
    return f"{exact_text(seconds)} s"


def stopping_time(stopping: Stopping, reaction: Fraction | None) -> StoppingTime:
    """The addends of T (ISO 13855: T = t1 + t2). ``reaction`` bounds the true reaction of the
    logic in seconds; None only where the machine's time contains it.

    Where ``machine`` was measured from the hand's release on, everything between is in it and is
    not counted twice. ValueError where the machine's time is missing, or the reaction is and is
    needed.
    """
    if stopping.machine is None:
        raise ValueError("no distance without the machine's stopping time")
    inside = stopping.logic_included
    if reaction is None and not inside:
        raise ValueError("no distance without the reaction of the logic")
    logic = TimeTerm("logic", reaction, "longest reaction to a release, true bound", below=True)
    if inside:
        logic = TimeTerm("logic", None, "contained in MACHINE")
    return StoppingTime(
        (
            _device("input filter", "INPUT", stopping.input_filter, inside),
            logic,
            _device("output device", "OUTPUT", stopping.output_device, inside),
            TimeTerm("machine", seconds_of(stopping.machine), "STOPPING MACHINE"),
        )
    )


def _device(name: str, word: str, nanoseconds: Nanoseconds | None, inside: bool) -> TimeTerm:
    if inside:
        return TimeTerm(name, None, "contained in MACHINE")
    if nanoseconds is None:
        return TimeTerm(name, Fraction(0), f"not stated, counted as 0: add STOPPING {word}")
    return TimeTerm(name, seconds_of(nanoseconds), f"STOPPING {word}")


def distances_iso_13855(
    seconds: Fraction, shown_by: str | None, edition: int | None = None
) -> tuple[Distance, ...]:
    """S = K x T + C of ISO 13855, clause 8 (two-hand control devices): the result first.

    C is 0 where somebody has ``shown_by`` what that encroachment is prevented; then the editions
    agree. Else the result is that of the ``edition``, where that is None the greatest distance.
    """
    if shown_by is not None:
        years = " and ".join(str(each.year) for each in EDITIONS)
        reach = f"0 mm (encroachment prevented, shown by: {shown_by})"
        return (_iso_13855(years, seconds, 0, reach, LEAST_DISTANCE_MM),)
    found = {
        each.year: _iso_13855(
            str(each.year), seconds, each.reach, f"{each.reach} mm ({each.source})"
        )
        for each in EDITIONS
    }
    chosen = edition or max(found, key=lambda year: (found[year].value, year))
    others = [
        replace(found[year], beside=f"the {'older' if year < chosen else 'newer'} edition's")
        for year in found
        if year != chosen
    ]
    return found[chosen], *others


def _iso_13855(
    years: str, seconds: Fraction, reach: int, reach_text: str, least: int | None = None
) -> Distance:
    return Distance(
        f"ISO 13855:{years}, two-hand control",
        "S",
        "S = K x T + C",
        (("K", f"{HAND_SPEED_MM} mm/s"), ("C", reach_text)),
        f"{HAND_SPEED_MM} mm/s x {seconds_text(seconds)} + {reach} mm",
        seconds,
        HAND_SPEED_MM * seconds + reach,
        "mm",
        least=least,
    )


def distance_control(seconds: Fraction) -> Distance:
    """29 CFR 1910.217(c)(3)(vii)(c), two-hand control: Ds > 63 in/s x Ts."""
    rule = "29 CFR 1910.217(c)(3)(vii)(c), two-hand control"
    terms = (("Ts", f"T = {seconds_text(seconds)}"),)
    return _by_hand_speed(rule, "Ds", "Ts", terms, seconds)


def trip_time(clutch: Clutch) -> Fraction:
    """Tm in seconds of 29 CFR 1910.217(c)(3)(viii)(c): (1/2 + 1/N) revolutions."""
    return (Fraction(1, 2) + Fraction(1, clutch.points)) * seconds_of(clutch.revolution)


def distance_trip(clutch: Clutch) -> Distance:
    """29 CFR 1910.217(c)(3)(viii)(c), two-hand trip: Dm > 63 in/s x Tm."""
    rule = "29 CFR 1910.217(c)(3)(viii)(c), two-hand trip"
    seconds, revolution = trip_time(clutch), seconds_text(seconds_of(clutch.revolution))
    terms = (
        ("N", count(clutch.points, "engaging point")),
        ("one revolution", revolution),
        ("Tm", f"(1/2 + 1/{clutch.points}) x {revolution} = {seconds_text(seconds)}"),
    )
    return _by_hand_speed(rule, "Dm", "Tm", terms, seconds)


def _by_hand_speed(
    rule: str, symbol: str, time: str, terms: tuple[tuple[str, str], ...], seconds: Fraction
) -> Distance:
    speed = f"{HAND_SPEED_INCHES} in/s"
    return Distance(
        rule,
        symbol,
        f"{symbol} > {speed} x {time}",
        terms,
        f"{speed} x {seconds_text(seconds)}",
        seconds,
        HAND_SPEED_INCHES * seconds,
        "in",
        more_than=True,
    )
