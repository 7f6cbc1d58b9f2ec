"""What is asked of a two-hand control, as formulas.

Authority is ISO 13851:2019 by clause; what is marked so there is from memory. ``O`` stands for
"any output is on"; the hands are those of all stations unless a requirement speaks of a station.
Time is as the logic samples it: the window bounds the distance between two sampled edges.
"""

from __future__ import annotations

from collections.abc import Iterable

from checker.temporal.formula import (
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
    Response,
    Rose,
    Since,
    Until,
)
from checker.temporal.hands import all_of, any_of, none_of, while_used
from checker.temporal.requirement import Lag, Requirement, Station
from checker.temporal.selection import selection_requirements
from checker.temporal.two_hand import Availability, LogicType, TwoHand
from checker.temporal.wording import listed, milliseconds, quoted


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
    if control.hands.selectable:
        requirements += selection_requirements(control)
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
        "selection_starts_nothing",
        "hands_before_selection",
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
    return tuple(
        Lag(while_used(in_use, start), hands, stated, control.true_lag)
        for in_use, hands in zip(control.hands.in_use, control.hands.each, strict=True)
    )


def _both_hands(control: TwoHand) -> Requirement:
    """ISO 13851:2019, 5.2 and 5.4: the output needs both hands, and a release ends it."""
    trigger = control.output
    if control.hazard is not None:
        trigger = And((control.output, control.hazard))
    on = control.hands.all_on
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
    """ISO 13851:2019, 5.7: no new output before every hand was released.

    A loss of power ends the output as any other end does; that the hands are released may come
    about without power.
    """
    return Requirement(
        "release_both",
        f"once {control.output_name} has gone off, it stays off until {control.hand_names()} "
        f"are {control.several()} off",
        Until(Fell(control.output), Not(control.output), control.hands.none_on),
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
        f"with a hand on in {words}, {control.output_name} stays off until "
        f"{control.hand_names()} are {control.several()} off",
        Until(
            And((*moment, control.hands.any_on)),
            Not(control.output),
            control.hands.none_on,
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


def _while(station: Station) -> str:
    return f"while {station.condition_text}: " if station.condition is not None else ""


def _start_window(control: TwoHand, index: int) -> Requirement:
    """ISO 13851:2019, 5.8: the hands of a station came on within the window.

    The presses that count are the last ones: from the scan in which the station became fully on,
    it stayed so until the start. A hand that was on in the first scan has no rise.
    """
    station, hands = control.stations[index], control.hands.each[index]
    window = _window(control)
    on = all_of(hands)
    together = And((on, Not(Previous(on)), *(Once(Rose(hand), window) for hand in hands)))
    start = while_used(control.hands.in_use[index], Rose(control.output))
    return Requirement(
        _station_identifier(control, "start_window", station),
        f"{_while(station)}{control.output_name} goes on only after "
        f"{control.hand_names([station])} went on at most "
        f"{milliseconds(window.high or 0, control.unit)} apart, as sampled",
        Always(Implies(start, Since(on, together)), start),
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
    station, hands = control.stations[index], control.hands.each[index]
    in_use = control.hands.in_use[index]
    window = _window(control)
    some, not_all = any_of(hands), Not(all_of(hands))
    attempt = Or((And((Rose(some), not_all)), And((FirstScan(), not_all))))
    incomplete = Since(not_all, attempt)
    waited = Or((incomplete, Previous(incomplete)))
    missed = And((some, Not(Once(Rose(some), window)), waited))
    strict = control.hazard is None and in_use is None
    unwanted = control.output if strict else while_used(in_use, Rose(control.output))
    verb = "stays off" if strict else "does not go on"
    names, several = control.hand_names([station]), control.several([station])
    return Requirement(
        _station_identifier(control, "window_missed", station),
        f"{_while(station)}where {names} did not {several} come on within "
        f"{milliseconds(window.high or 0, control.unit)}, {control.output_name} {verb} until "
        f"they are {several} off",
        Until(missed, Not(unwanted), none_of(hands)),
        control.span,
        authority="ISO 13851:2019, 5.8",
    )


def _available(control: TwoHand, asked: Availability) -> Requirement:
    """Our own: a block that never starts is broken.

    An attempt begins when the last hand comes on, after all hands were off and with none released
    in between; every output answers (prohibitions concern any output, availability all). All of
    it is under power.
    """
    hands = control.hands
    on, meanwhile = hands.all_on, [] if asked.condition is None else [asked.condition]
    if control.power is not None:
        meanwhile.append(control.power)
    if hands.selectable:
        meanwhile.append(Not(hands.selection_changed))
    approach = And((Not(on), *meanwhile, *hands.none_released))
    rest = And((hands.none_on, *meanwhile))
    parts: list[Formula] = [on, Not(Previous(on)), Previous(Since(approach, rest)), *meanwhile]
    lag = attempt_lag(control, asked)
    if lag is not None:
        parts += [
            _in_time(in_use, each, Bound(0, lag))
            for in_use, each in zip(hands.in_use, hands.each, strict=True)
        ]
    given_up = (Not(on), *(Not(formula) for formula in meanwhile))
    return Requirement(
        "available",
        _available_sentence(control, asked, lag),
        Response(And(tuple(parts)), Or((control.every_output, *given_up)), asked.bound),
        asked.span,
    )


def _in_time(in_use: Formula | None, hands: Iterable[Formula], bound: Bound) -> Formula:
    recent = Once(Rose(any_of(hands)), bound)
    return recent if in_use is None else Implies(in_use, recent)


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
    if control.power is not None:
        sentence += " under power"
    if lag is not None:
        sentence += f" at most {milliseconds(lag, control.unit)} apart"
    if asked.condition is not None:
        sentence += f" while {asked.condition_text}"
    return f"{sentence}, {names} {verb} on {within}"
