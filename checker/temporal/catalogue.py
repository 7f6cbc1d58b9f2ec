"""What is asked of a two-hand control, as formulas.

Authority is ISO 13851:2019 by clause; what is marked so there is from memory. ``O`` stands for
"any output is on"; the hands are those of all stations unless a requirement speaks of a station.
Time is as the logic samples it: the window bounds the distance between two sampled edges.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from enum import Enum
from functools import cached_property

from checker.source.program import Read, Variable
from checker.source.text import Span
from checker.temporal.formula import (
    Always,
    And,
    Atom,
    Bound,
    Fell,
    FirstScan,
    Formula,
    Implies,
    Not,
    Once,
    Or,
    Previous,
    Response,
    Rose,
    Since,
    Until,
)
from checker.temporal.requirement import Lag, Requirement, Station
from checker.temporal.wording import listed, milliseconds, quoted


class LogicType(Enum):
    """The types of ISO 13851:2019, 4.2. A, B and C of type III concern hardware, not logic."""

    ONE = "I"
    TWO = "II"
    THREE = "III"


@dataclass(frozen=True, eq=False)
class TwoHand:
    """What the catalogue needs to know.

    ``window`` (units, as sampled) is given for type III only; ``true_lag`` (units) where the spec
    states that instead of the window. ``hazard`` (None: always) and ``hazard_text`` limit
    "release stops it"; ``release_scans`` is how many scans a release may take to stop the output.
    ``unit`` (nanoseconds) is for sentences.
    """

    type: LogicType
    stations: tuple[Station, ...]
    outputs: tuple[Variable, ...]
    span: Span = field(repr=False)
    unit: int
    longest: int
    window: int | None = None
    true_lag: int | None = None
    hazard: Formula | None = None
    hazard_text: str = ""
    release_scans: int = 0

    @cached_property
    def output(self) -> Formula:
        """Any output is on."""
        return any_of(Atom(Read(variable, self.span)) for variable in self.outputs)

    @cached_property
    def every_output(self) -> Formula:
        return all_of(Atom(Read(variable, self.span)) for variable in self.outputs)

    @cached_property
    def station_hands(self) -> tuple[tuple[Formula, ...], ...]:
        """One formula a hand ("it is on"), by station."""
        return tuple(
            tuple(Atom(hand.pressed) for hand in station.hands) for station in self.stations
        )

    @cached_property
    def hands(self) -> tuple[Formula, ...]:
        return tuple(hand for hands in self.station_hands for hand in hands)

    @property
    def output_name(self) -> str:
        return listed([quoted(variable.name) for variable in self.outputs], "or")

    def hand_names(self, stations: Iterable[Station] | None = None) -> str:
        chosen = self.stations if stations is None else stations
        return listed([quoted(hand.name) for station in chosen for hand in station.hands], "and")

    def several(self, stations: Iterable[Station] | None = None) -> str:
        """'both' for two hands, 'all' for more."""
        chosen = self.stations if stations is None else stations
        return "both" if sum(len(station.hands) for station in chosen) == 2 else "all"


@dataclass(frozen=True, eq=False)
class Availability:
    """A spec's AVAILABLE: ``bound`` for the answer, ``condition`` (None: always) with its text,
    ``lag`` in units (None: the widest that the window surely leaves)."""

    bound: Bound
    span: Span = field(repr=False)
    condition: Formula | None = None
    condition_text: str = ""
    lag: int | None = None


def all_of(formulas: Iterable[Formula]) -> Formula:
    operands = tuple(formulas)
    return operands[0] if len(operands) == 1 else And(operands)


def any_of(formulas: Iterable[Formula]) -> Formula:
    operands = tuple(formulas)
    return operands[0] if len(operands) == 1 else Or(operands)


def none_of(formulas: Iterable[Formula]) -> Formula:
    return all_of(Not(formula) for formula in formulas)


def two_hand_requirements(
    control: TwoHand, availability: Availability | None = None
) -> tuple[Requirement, ...]:
    """The requirements of ``control.type``, and ``available`` where it is asked for."""
    requirements = [_both_hands(control)]
    if control.type is not LogicType.ONE:
        requirements += [_release_both(control), _power_up(control)]
    if control.type is LogicType.THREE:
        requirements += [_start_window(control, i) for i in range(len(control.stations))]
        requirements += [_window_missed(control, i) for i in range(len(control.stations))]
    if availability is not None:
        requirements.append(_available(control, availability))
    return tuple(requirements)


def catalogue_identifiers(stations: Iterable[str]) -> frozenset[str]:
    """Every identifier that the catalogue can give, in lower case."""
    fixed = {
        "both_hands",
        "release_both",
        "power_up",
        "start_window",
        "window_missed",
        "available",
    }
    each = {f"{word}_{name}" for word in ("start_window", "window_missed") for name in stations}
    return frozenset(name.casefold() for name in fixed | each)


def lag_questions(control: TwoHand) -> tuple[Lag, ...]:
    """One question a station, for type III."""
    if control.type is not LogicType.THREE:
        return ()
    start = Rose(control.output)
    stated = control.window if control.true_lag is None else None
    return tuple(Lag(start, hands, stated, control.true_lag) for hands in control.station_hands)


def _both_hands(control: TwoHand) -> Requirement:
    """ISO 13851:2019, 5.2 and 5.4: the output needs both hands, and a release ends it."""
    trigger = control.output
    if control.hazard is not None:
        trigger = And((control.output, control.hazard))
    on = all_of(control.hands)
    scans = control.release_scans
    asked = on if scans == 0 else Once(on, Bound(0, scans, in_scans=True))
    sentence = (
        f"{control.output_name} is on only while {control.hand_names()} are {control.several()} on"
    )
    if scans:
        sentence += f" or were at most {scans} {'scan' if scans == 1 else 'scans'} before"
    if control.hazard is not None:
        sentence += f", wherever {control.hazard_text}"
    return Requirement(
        "both_hands",
        sentence,
        Always(Implies(trigger, asked), trigger),
        control.span,
        authority="ISO 13851:2019, 5.2 and 5.4",
    )


def _release_both(control: TwoHand) -> Requirement:
    """ISO 13851:2019, 5.7: no new output before every hand was released."""
    return Requirement(
        "release_both",
        f"once {control.output_name} has gone off, it stays off until {control.hand_names()} "
        f"are {control.several()} off",
        Until(Fell(control.output), Not(control.output), none_of(control.hands)),
        control.span,
        authority="ISO 13851:2019, 5.7",
    )


def _power_up(control: TwoHand) -> Requirement:
    """ISO 13851:2019, 6.1 (from memory): a hand that is on at power-up starts nothing."""
    return Requirement(
        "power_up",
        f"with a hand on in the first scan, {control.output_name} stays off until "
        f"{control.hand_names()} are {control.several()} off",
        Until(
            And((FirstScan(), any_of(control.hands))),
            Not(control.output),
            none_of(control.hands),
        ),
        control.span,
        authority="ISO 13851:2019, 6.1 (from memory)",
    )


def _station_identifier(control: TwoHand, word: str, station: Station) -> str:
    return word if len(control.stations) == 1 else f"{word}_{station.name}"


def _window(control: TwoHand) -> Bound:
    if control.window is None:
        raise ValueError("type III has a window")
    return Bound(0, control.window)


def _start_window(control: TwoHand, index: int) -> Requirement:
    """ISO 13851:2019, 5.8: the hands of a station came on within the window.

    The presses that count are the last ones: from the scan in which the station became fully on,
    it stayed so until the start. A hand that was on in the first scan has no rise.
    """
    station, hands = control.stations[index], control.station_hands[index]
    window = _window(control)
    on = all_of(hands)
    together = And((on, Not(Previous(on)), *(Once(Rose(hand), window) for hand in hands)))
    start = Rose(control.output)
    return Requirement(
        _station_identifier(control, "start_window", station),
        f"{control.output_name} goes on only after {control.hand_names([station])} went on at "
        f"most {milliseconds(window.high or 0, control.unit)} apart, as sampled",
        Always(Implies(start, Since(on, together)), start),
        control.span,
        authority="ISO 13851:2019, 5.8",
    )


def _window_missed(control: TwoHand, index: int) -> Requirement:
    """ISO 13851:2019, 5.8: after a missed window the hands of the station must be released.

    Missed: a hand of the station has been on for longer than the window and the station was never
    fully on meanwhile, or becomes so only now (else a press in the first scan beyond the window
    would pass for one in time). Where a HAZARD lets the output stay on without hands, what is
    asked is that it does not go on anew.
    """
    station, hands = control.stations[index], control.station_hands[index]
    window = _window(control)
    some, not_all = any_of(hands), Not(all_of(hands))
    attempt = Or((And((Rose(some), not_all)), And((FirstScan(), not_all))))
    incomplete = Since(not_all, attempt)
    waited = Or((incomplete, Previous(incomplete)))
    missed = And((some, Not(Once(Rose(some), window)), waited))
    unwanted = control.output if control.hazard is None else Rose(control.output)
    verb = "stays off" if control.hazard is None else "does not go on"
    names, several = control.hand_names([station]), control.several([station])
    return Requirement(
        _station_identifier(control, "window_missed", station),
        f"where {names} did not {several} come on within "
        f"{milliseconds(window.high or 0, control.unit)}, {control.output_name} {verb} until "
        f"they are {several} off",
        Until(missed, Not(unwanted), none_of(hands)),
        control.span,
        authority="ISO 13851:2019, 5.8",
    )


def _available(control: TwoHand, asked: Availability) -> Requirement:
    """Our own: a block that never starts is broken.

    An attempt begins when the last hand comes on, after all hands were off and with none released
    in between; every output answers (prohibitions concern any output, availability all).
    """
    on, condition = all_of(control.hands), asked.condition
    with_condition = () if condition is None else (condition,)
    approach = And((Not(on), *with_condition, *(Not(Fell(hand)) for hand in control.hands)))
    rest = And((none_of(control.hands), *with_condition))
    parts: list[Formula] = [on, Not(Previous(on)), Previous(Since(approach, rest)), *with_condition]
    lag = attempt_lag(control, asked)
    if lag is not None:
        parts += [Once(Rose(any_of(hands)), Bound(0, lag)) for hands in control.station_hands]
    given_up: tuple[Formula, ...] = (Not(on),)
    if condition is not None:
        given_up = (Not(on), Not(condition))
    return Requirement(
        "available",
        _available_sentence(control, asked, lag),
        Response(And(tuple(parts)), Or((control.every_output, *given_up)), asked.bound),
        asked.span,
    )


def attempt_lag(control: TwoHand, asked: Availability) -> int | None:
    """The lag (units) up to which an attempt must succeed; None: any (types I and II)."""
    if asked.lag is not None:
        return asked.lag
    if control.type is not LogicType.THREE or control.window is None:
        return None
    return max(0, control.window - 2 * control.longest)


def _available_sentence(control: TwoHand, asked: Availability, lag: int | None) -> str:
    names = listed([quoted(variable.name) for variable in control.outputs], "and")
    verb = "is" if len(control.outputs) == 1 else "are"
    high = asked.bound.high or 0
    if asked.bound.in_scans:
        within = f"within {high} {'scan' if high == 1 else 'scans'}" if high else "in that scan"
    else:
        within = f"within {milliseconds(high, control.unit)}"
    sentence = f"when {control.hand_names()} come on from rest"
    if lag is not None:
        sentence += f" at most {milliseconds(lag, control.unit)} apart"
    if asked.condition is not None:
        sentence += f" while {asked.condition_text}"
    return f"{sentence}, {names} {verb} on {within}"
