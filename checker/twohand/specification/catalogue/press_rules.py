"""What US rules ask of the logic that starts a mechanical press with two hands.

29 CFR 1910.217 is cited from memory where (b)(7)(v) is meant, and from a secondary source where
(b)(6) is; neither states a time within which both hands have to come (OSHA's letters of 1977-01-14
and 1992-12-21 differ on it). An output's time on counts as the stroke.
"""

from __future__ import annotations

from twohand.specification.catalogue.clause import Clause, started
from twohand.specification.catalogue.tolerance import (
    NEW_PRESS,
    all_off,
    new_press,
    pressed_together,
    seen_farther,
    seen_late,
    seen_off,
    seen_within,
)
from twohand.specification.logic.formula import (
    Always,
    And,
    Fell,
    Formula,
    Implies,
    Not,
    Previous,
    Rose,
    Until,
)
from twohand.specification.model.specification import Requirement
from twohand.specification.model.station_formulas import all_of, any_of, where_used

SINGLE_STROKE = "29 CFR 1910.217(b)(7)(v)({}) (from memory)"
TRIP = "29 CFR 1910.217(b)(6) (from a secondary source)"
TIE_DOWN = "Mich. Admin. Code R 408.10034"


def single_stroke(clause: Clause) -> list[Requirement]:
    """Single-stroke two-hand control of a part-revolution clutch."""
    control, output = clause.control, clause.control.output
    names, several = control.hand_names(), control.several()
    ended = _ended(clause)
    interrupted = And((Fell(output), Not(control.hands.all_on)))
    off, released = Not(output), control.hands_surely_on.none_on
    return [
        _concurrent(clause, SINGLE_STROKE.format("A")),
        _held(clause),
        clause.requirement(
            "anti_repeat",
            f"once a stroke has ended with {names} on, {control.output_name} stays off until they "
            f"are {several} off{seen_off(control)}",
            Until(ended, off, released),
            SINGLE_STROKE.format("C"),
        ),
        clause.requirement(
            "resumption",
            f"a stroke that a release has interrupted goes on only after {names} were {several} "
            f"off{seen_off(control)}",
            Until(interrupted, off, released),
            SINGLE_STROKE.format("D"),
        ),
        *_new_press(clause, SINGLE_STROKE.format("D")),
    ]


def two_hand_trip(clause: Clause) -> list[Requirement]:
    """Two-hand trip of a full-revolution clutch: nothing is asked of a release, since the stroke
    runs to its end in any case; that is what the safety distance has to answer for."""
    control = clause.control
    ended = any_of((Fell(control.output), *_completed(clause)))
    return [
        _concurrent(clause, TRIP),
        clause.requirement(
            "anti_repeat",
            f"once a stroke has ended, {control.output_name} stays off until {all_off(control)}",
            Until(ended, Not(control.output), control.hands_surely_on.none_on),
            TRIP,
        ),
        *_new_press(clause, TRIP),
    ]


def anti_tie_down(clause: Clause) -> list[Requirement]:
    """A press of one control that comes too early permits no cycle when the others follow.

    What is on in the first scan went on before it: no_restart and power_up speak of that.
    """
    control = clause.control
    window = seen_within(control, clause.within("window"))
    stations = [
        where_used(in_use, pressed_together(control, index, window))
        for index, in_use in enumerate(control.hands.in_use)
    ]
    start = Rose(control.output)
    sentence = (
        f"{control.output_name} goes on only after {control.hand_names()} went on at most "
        f"{clause.time('window')} apart, as sampled; a hand that is on for longer permits "
        "no cycle"
    )
    sentence += seen_farther(control)
    if len(control.stations) > 1:
        sentence += " (each station for itself)"
    return [
        clause.requirement("", sentence, Always(Implies(start, all_of(stations)), start), TIE_DOWN)
    ]


def _new_press(clause: Clause, authority: str) -> list[Requirement]:
    """Where contacts bounce: what one of them shows meanwhile may pass for a release, never for
    a press."""
    if clause.control.bounce is None:
        return []
    asked = new_press(clause.control)
    return [clause.requirement(NEW_PRESS, asked.sentence, asked.property, authority)]


def _concurrent(clause: Clause, authority: str) -> Requirement:
    control = clause.control
    start = started(control.output)
    return clause.requirement(
        "concurrent",
        f"{control.output_name} goes on only while {control.hand_names()} are "
        f"{control.several()} on{seen_late(control)}",
        Always(Implies(start, control.hands_seen_on.all_on), start),
        authority,
    )


def _held(clause: Clause) -> Requirement:
    """During the closing of the die only, where a HAZARD says when that is."""
    control, trigger = clause.control, clause.control.exposed
    return clause.requirement(
        "held",
        f"{control.output_name} is on only while {control.hand_names()} are "
        f"{control.several()} on{seen_late(control)}{control.where_hazard}",
        Always(Implies(trigger, control.hands_seen_on.all_on), trigger),
        SINGLE_STROKE.format("B"),
    )


def _ended(clause: Clause) -> Formula:
    """A stroke ends with the hands still on."""
    control = clause.control
    by_itself = And((Fell(control.output), control.hands.all_on))
    return any_of((by_itself, *_completed(clause)))


def _completed(clause: Clause) -> tuple[Formula, ...]:
    """The signal ``complete`` comes on in a stroke: then it has to end, hands or not."""
    complete = clause.conditions.get("complete")
    return () if complete is None else (And((Rose(complete), Previous(clause.control.output))),)
