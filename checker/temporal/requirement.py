"""The resolved specification: what is checked, of which block, and what is expected."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum

from checker.scan.timing import Clocking, Readings
from checker.source.diagnostic import Diagnostic
from checker.source.program import Expression, Program, Variable
from checker.source.text import SourceText, Span
from checker.temporal.formula import Formula, Named, Property


class Expectation(Enum):
    """The verdict that a spec expects; words of the spec language."""

    PROVED = "PROVED"
    VIOLATED = "VIOLATED"
    VACUOUS = "VACUOUS"
    UNDECIDED = "UNDECIDED"


class Aim(Enum):
    HOLDS = "holds"
    """The property must hold in every run."""
    REACHABLE = "reachable"
    """Some run must reach a scan with the formula; the property is Always(NOT formula)."""


@dataclass(frozen=True, eq=False)
class Requirement:
    """One thing to decide.

    ``identifier`` is unique in its spec (``both_hands``, a PROPERTY's own name). ``sentence`` says
    plainly what is asked, in the user's names (no final full stop): 'the output is on only while
    both hands are on'. ``authority`` is the standard and clause it comes from, or ''.
    """

    identifier: str
    sentence: str
    property: Property
    span: Span = field(repr=False)
    aim: Aim = Aim.HOLDS
    expected: Expectation = Expectation.PROVED
    authority: str = ""


@dataclass(frozen=True, eq=False)
class Hand:
    """``pressed`` is the Boolean expression over program inputs that says the hand is on."""

    name: str
    pressed: Expression
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Station:
    name: str
    hands: tuple[Hand, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Lag:
    """The question 'how far apart may the presses be and still start?', asked per type III spec.

    ``start`` is the formula that is TRUE in a scan in which the output starts; ``hands`` are those
    of one station; the lag is the distance between the first and the last rise of its hands.
    ``window`` and ``true_lag`` are in units, None where the spec does not state them.
    """

    start: Formula
    hands: tuple[Formula, ...]
    window: int | None
    true_lag: int | None


@dataclass(frozen=True, eq=False)
class Specification:
    """A spec file, resolved against its block (and plant).

    ``outputs`` are the program variables that count as one output signal. ``assumptions`` are
    formulas over inputs, their past, and time.
    """

    name: str
    source: SourceText
    program: Program
    clocking: Clocking
    readings: Readings
    loop_bound: int
    stations: tuple[Station, ...]
    outputs: tuple[Variable, ...]
    assumptions: tuple[Named, ...]
    requirements: tuple[Requirement, ...]
    lags: tuple[Lag, ...] = ()
    warnings: tuple[Diagnostic, ...] = ()

    @property
    def hands(self) -> tuple[Hand, ...]:
        return tuple(hand for station in self.stations for hand in station.hands)
