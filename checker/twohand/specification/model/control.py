"""A two-hand control as the catalogue knows it: its type, its hands, its outputs, its times."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import Enum
from functools import cached_property

from twohand.program import Read, Variable
from twohand.program.durations import NO_SCANS, NO_TIME, Nanoseconds, Scans, Units
from twohand.specification.logic.formula import And, Atom, Bound, Formula
from twohand.specification.model.specification import Station
from twohand.specification.model.station_formulas import (
    HandsSeenOn,
    HandsSurelyOn,
    StationHands,
    all_of,
    any_of,
)
from twohand.specification.phrases import duration_of, listing, quoted
from twohand.text.source_text import Span


class LogicType(Enum):
    """The types of ISO 13851:2019, 4.2. A, B and C of type III concern hardware, not logic."""

    ONE = "I"
    TWO = "II"
    THREE = "III"


@dataclass(frozen=True, eq=False)
class Tolerance:
    """Contacts that bounce: ``time`` is how long after a hand moved, ``settling`` is TRUE
    of a hand (by name) in the scans that are no later, ``undisturbed`` in a scan in which every
    contact shows its hand."""

    time: Units
    settling: Mapping[str, Formula]
    undisturbed: Formula


@dataclass(frozen=True, eq=False)
class TwoHand:
    """What the catalogue needs to know.

    ``window`` (as sampled) is given for type III only; ``true_lag`` where the spec
    states that instead of the window. ``hazard`` (None: always) and ``hazard_text`` limit
    "release stops it"; ``condition`` (None: always) and ``condition_text`` limit all that is asked:
    the output counts as on only while it holds; ``release_scans`` is how many scans a release may
    take to stop the output.
    ``unit`` is for sentences. ``power`` says that the controller has its supply
    (None: it always has). ``bounce`` says how contacts bounce (None: they do not).
    """

    type: LogicType
    stations: tuple[Station, ...]
    outputs: tuple[Variable, ...]
    span: Span = field(repr=False)
    unit: Nanoseconds
    longest: Units
    window: Units | None = None
    true_lag: Units | None = None
    hazard: Formula | None = None
    hazard_text: str = ""
    condition: Formula | None = None
    condition_text: str = ""
    release_scans: Scans = NO_SCANS
    power: Formula | None = None
    bounce: Tolerance | None = None

    @cached_property
    def output(self) -> Formula:
        """Any output is on, and counts."""
        return self.counted(any_of(Atom(Read(each, self.span)) for each in self.outputs))

    def counted(self, signal: Formula) -> Formula:
        """A signal that is on only where something is asked: that it is on as the ``condition``
        comes is a start, that it is on as that goes an end."""
        return signal if self.condition is None else And((signal, self.condition))

    def while_asked(self, sentence: str) -> str:
        """A sentence that says when it is asked."""
        return sentence if self.condition is None else f"while {self.condition_text}: {sentence}"

    @cached_property
    def exposed(self) -> Formula:
        """Any output is on where the hazard is."""
        return self.output if self.hazard is None else And((self.output, self.hazard))

    @property
    def where_hazard(self) -> str:
        """The end of a sentence that is about ``exposed``."""
        return "" if self.hazard is None else f", wherever {self.hazard_text}"

    @cached_property
    def every_output(self) -> Formula:
        return all_of(Atom(Read(variable, self.span)) for variable in self.outputs)

    @cached_property
    def hands(self) -> StationHands:
        return StationHands(self.stations)

    @cached_property
    def hands_seen_on(self) -> StationHands:
        """A hand counts as on where a contact may show it on."""
        if self.bounce is None:
            return self.hands
        return HandsSeenOn(self.stations, self.bounce.settling)

    @cached_property
    def hands_surely_on(self) -> StationHands:
        """A hand counts as on where its contacts surely show it on."""
        if self.bounce is None:
            return self.hands
        return HandsSurelyOn(self.stations, self.bounce.settling)

    @property
    def bounce_time(self) -> Units:
        """0 where contacts do not bounce."""
        return NO_TIME if self.bounce is None else self.bounce.time

    @property
    def press_seen_late(self) -> Units:
        """By how much a press may be seen later than it is: the bounce time, and the scan that
        may lie between its end and the next sampling. 0 where contacts do not bounce."""
        return Units(0 if self.bounce is None else self.bounce.time + self.longest)

    @property
    def output_name(self) -> str:
        return listing([quoted(variable.name) for variable in self.outputs], "or")

    def hand_names(self, stations: Iterable[Station] | None = None) -> str:
        chosen = self.stations if stations is None else stations
        if stations is None and self.hands.selectable:
            return "the hands of the stations in use"
        return listing([quoted(hand.name) for station in chosen for hand in station.hands])

    def several(self, stations: Iterable[Station] | None = None) -> str:
        """'both' for two hands, 'all' for more."""
        chosen = self.stations if stations is None else stations
        return "both" if sum(len(station.hands) for station in chosen) == 2 else "all"

    def time(self, units: Units) -> str:
        """A time for a sentence."""
        return duration_of(Nanoseconds(units * self.unit))


@dataclass(frozen=True, eq=False)
class Availability:
    """A spec's AVAILABLE: ``bound`` for the answer, ``condition`` (None: always) with its text,
    ``lag`` (None: the widest that the window surely leaves)."""

    bound: Bound
    span: Span = field(repr=False)
    condition: Formula | None = None
    condition_text: str = ""
    lag: Units | None = None
