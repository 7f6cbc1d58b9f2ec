"""What is asked of a two-hand control, as formulas.

Authority is ISO 13851:2019 by clause; what is marked so there is from memory. ``O`` means
"any output is on"; the hands are those of all stations unless a requirement speaks of a station.
Time is as the logic samples it: the window bounds the distance between two sampled edges. Where
contacts bounce (``twohand.specification.catalogue.tolerance``), what a contact may show differs
from its hand for the bounce time, and the requirements allow for that and no more.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from twohand.program.durations import NO_SCANS, NO_TIME, Units
from twohand.specification.catalogue.availability import AVAILABLE, AVAILABLE_BOUNCING, available
from twohand.specification.catalogue.station_selection import selection_requirements
from twohand.specification.catalogue.tolerance import (
    NEW_PRESS,
    all_off,
    new_press,
    pressed_together,
    seen_late,
    seen_off,
)
from twohand.specification.logic.formula import (
    Always,
    And,
    Bound,
    Fell,
    FirstScan,
    Formula,
    Implies,
    Not,
    Once,
    Or,
    Previous,
    Rose,
    Since,
    Until,
)
from twohand.specification.logic.quantity import Event, Missing, Quantity
from twohand.specification.model.control import Availability, LogicType, TwoHand
from twohand.specification.model.specification import Lag, Requirement, Station
from twohand.specification.model.station_formulas import (
    all_of,
    any_of,
    in_run,
    none_of,
    while_used,
)
from twohand.specification.phrases import count


def two_hand_requirements(
    control: TwoHand, availability: Availability | None = None
) -> tuple[Requirement, ...]:
    """The requirements of ``control.type``, and ``available`` where it is asked for."""
    requirements = [_both_hands(control)]
    if control.type is not LogicType.ONE:
        requirements += [_release_both(control), _power_up(control)]
        requirements += [new_press(control)] if control.bounce is not None else []
    if control.type is LogicType.THREE:
        requirements += [_start_window(control, i) for i in range(len(control.stations))]
        requirements += [_window_missed(control, i) for i in range(len(control.stations))]
    if control.hands.selectable:
        requirements += selection_requirements(control)
    if availability is not None:
        requirements += available(control, availability)
    return tuple(replace(r, sentence=control.while_asked(r.sentence)) for r in requirements)


def catalogue_identifiers(stations: Iterable[str]) -> frozenset[str]:
    """Every identifier that the catalogue can give, in lower case."""
    fixed = {
        "both_hands",
        "release_both",
        "power_up",
        "start_window",
        "window_missed",
        "selection_starts_nothing",
        "hands_before_selection",
        AVAILABLE,
        AVAILABLE_BOUNCING,
        NEW_PRESS,
    }
    each = {f"{word}_{name}" for word in ("start_window", "window_missed") for name in stations}
    return frozenset(name.casefold() for name in fixed | each)


def lag_questions(control: TwoHand) -> tuple[Lag, ...]:
    """One question a station, for type III."""
    if control.type is not LogicType.THREE:
        return ()
    start = Rose(control.output)
    stated = control.window if control.true_lag is None else None
    return tuple(
        Lag(while_used(in_use, start), hands, stated, control.true_lag)
        for in_use, hands in control.hands.by_station
    )


def _both_hands(control: TwoHand) -> Requirement:
    """ISO 13851:2019, 5.2 and 5.4: the output needs both hands, and a release ends it."""
    trigger, on = control.exposed, control.hands_seen_on.all_on
    scans = control.release_scans
    asked = on if scans == 0 else Once(in_run(on), Bound(NO_SCANS, scans, in_scans=True))
    sentence = (
        f"{control.output_name} is on only while {control.hand_names()} are {control.several()} on"
    )
    if scans:
        sentence += f" or were at most {count(scans, 'scan')} before"
    return Requirement(
        "both_hands",
        f"{sentence}{seen_late(control)}{control.where_hazard}",
        Always(Implies(trigger, asked), trigger),
        control.span,
        authority="ISO 13851:2019, 5.2 and 5.4",
        stops=True,
    )


def _release_both(control: TwoHand) -> Requirement:
    """ISO 13851:2019, 5.7: no new output before every hand was released.

    A loss of power ends the output as any other end does; that the hands are released may come
    about without power.
    """
    return Requirement(
        "release_both",
        f"once {control.output_name} has gone off, it stays off until {all_off(control)}",
        Until(Fell(control.output), Not(control.output), control.hands_surely_on.none_on),
        control.span,
        authority="ISO 13851:2019, 5.7",
    )


def _power_up(control: TwoHand) -> Requirement:
    """ISO 13851:2019, 6.1 (from memory): a hand that is on at power-up starts nothing.

    What hands do without power is not seen: whether one was on is asked in the first scan with
    it.
    """
    moment: tuple[Formula, ...] = (FirstScan(),)
    if control.power is not None:
        moment = (Or((FirstScan(), Rose(control.power))), control.power)
    words = "the first scan" if control.power is None else "a first scan under power"
    return Requirement(
        "power_up",
        f"with a hand on in {words}, {control.output_name} stays off until {all_off(control)}",
        Until(
            And((*moment, control.hands.any_on)),
            Not(control.output),
            control.hands_surely_on.none_on,
        ),
        control.span,
        authority="ISO 13851:2019, 6.1 (from memory)",
    )


def _station_identifier(control: TwoHand, word: str, station: Station) -> str:
    return word if len(control.stations) == 1 else f"{word}_{station.name}"


def _window(control: TwoHand) -> Units:
    if control.window is None:
        raise ValueError("type III has a window")
    return Units(control.window + control.press_seen_late)


def _while(station: Station) -> str:
    return f"while {station.condition_text}: " if station.condition is not None else ""


def _start_window(control: TwoHand, index: int) -> Requirement:
    """ISO 13851:2019, 5.8: the hands of a station came on within the window; the presses that count
    are the last ones."""
    station, window = control.stations[index], _window(control)
    start = while_used(control.hands.in_use[index], Rose(control.output))
    return Requirement(
        _station_identifier(control, "start_window", station),
        f"{_while(station)}{control.output_name} goes on only after "
        f"{control.hand_names([station])} went on at most "
        f"{control.time(window)} apart, as sampled",
        Always(Implies(start, pressed_together(control, index, Bound(NO_TIME, window))), start),
        control.span,
        authority="ISO 13851:2019, 5.8",
    )


def _window_missed(control: TwoHand, index: int) -> Requirement:
    """ISO 13851:2019, 5.8: after a missed window the hands of the station must be released.

    Missed: a hand of the station has been on for longer than the window and the station was never
    fully on meanwhile, or becomes so only now (else a press in the first scan beyond the window
    would pass for one in time). Where the output may be on without the hands (by a HAZARD, or
    while other stations are in use), what is asked is that it does not go on anew.
    """
    station = control.stations[index]
    in_use = control.hands.in_use[index]
    window = _window(control)
    surely = control.hands_surely_on.each[index]
    some, not_all = any_of(surely), Not(all_of(control.hands_seen_on.each[index]))
    attempt = Or((And((Rose(some), not_all)), And((FirstScan(), not_all))))
    incomplete = Since(not_all, attempt)
    waited = Or((incomplete, Previous(incomplete)))
    missed = And((some, Not(Once(in_run(Rose(some)), Bound(NO_TIME, window))), waited))
    strict = control.hazard is None and in_use is None
    unwanted = control.output if strict else while_used(in_use, Rose(control.output))
    verb = "stays off" if strict else "does not go on"
    names, several = control.hand_names([station]), control.several([station])
    return Requirement(
        _station_identifier(control, "window_missed", station),
        f"{_while(station)}where {names} did not {several} come on within "
        f"{control.time(window)}, {control.output_name} {verb} until "
        f"they are {several} off{seen_off(control)}",
        Until(missed, Not(unwanted), none_of(surely)),
        control.span,
        authority="ISO 13851:2019, 5.8",
    )


def lag_quantity(start: Formula, hands: Mapping[str, Formula]) -> Quantity:
    """How far apart the last presses of the ``hands`` (by name) are in a scan with ``start``. A
    start with a hand that has no press (it was on in the first scan) is wider than any."""
    pressed = tuple(Event(Rose(hand), f"{name} was pressed") for name, hand in hands.items())
    return Quantity(start, pressed, until_now=False, missing=Missing.WITHOUT_LIMIT)
