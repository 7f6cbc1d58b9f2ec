"""What US rules ask of the logic that starts a mechanical press with two hands.

29 CFR 1910.217 is cited from memory where (b)(7)(v) is meant, and from a secondary source where
(b)(6) is; neither states a time within which both hands have to come (OSHA's letters of 1977-01-14
and 1992-12-21 differ on it). An output's time on, several as one, counts as the stroke. Its end is
named: without that, logic that never ends a stroke would keep every rule.
"""

from __future__ import annotations

from twohand.program.durations import NO_SCANS
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
    Bound,
    Fell,
    Implies,
    Not,
    Or,
    Previous,
    Property,
    Response,
    Rose,
    Until,
)
from twohand.specification.model.specification import Requirement
from twohand.specification.model.station_formulas import all_of, where_used
from twohand.specification.phrases import count

SINGLE_STROKE = "29 CFR 1910.217(b)(7)(v)({}) (from memory)"
TRIP = "29 CFR 1910.217(b)(6) (from a secondary source)"
ONE_STROKE = "29 CFR 1910.211 (definition of anti-repeat)"
TIE_DOWN = "Mich. Admin. Code R 408.10034"


def single_stroke(clause: Clause) -> list[Requirement]:
    """Single-stroke two-hand control of a part-revolution clutch."""
    control, output = clause.control, clause.control.output
    names, several = control.hand_names(), control.several()
    ended = And((Fell(output), control.hands.all_on))
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
        *_ends(clause),
        *_new_press(clause, SINGLE_STROKE.format("D")),
    ]


def two_hand_trip(clause: Clause) -> list[Requirement]:
    """Two-hand trip of a full-revolution clutch: nothing is asked of a release, since the stroke
    runs to its end in any case; that is what the safety distance has to answer for."""
    control = clause.control
    return [
        _concurrent(clause, TRIP),
        clause.requirement(
            "anti_repeat",
            f"once a stroke has ended, {control.output_name} stays off until {all_off(control)}",
            Until(Fell(control.output), Not(control.output), control.hands_surely_on.none_on),
            TRIP,
        ),
        *_ends(clause),
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
        stops=True,
    )


def _ends(clause: Clause) -> list[Requirement]:
    """A stroke ends at its end signal, hands or not, and where the signal is stuck in a time.

    What makes ``complete`` come on in a stroke is a scan of that stroke in which it was off: one
    that is on from the start on has to go off first. What is stuck is the signal that the logic
    sees; what has to end the stroke is, under a fault, what it would be without.
    """
    output, name, text = clause.output, clause.output_name, clause.texts["complete"]
    complete, seen = clause.conditions["complete"], clause.seen["complete"]
    scans = clause.counts.get("scans", NO_SCANS)
    reached = And((Rose(complete), Previous(output)))
    asked: Property = Always(Implies(reached, Not(output)), reached)
    if scans:
        asked = Response(reached, Not(output), Bound(NO_SCANS, scans, in_scans=True))
    when = f"at most {count(scans, 'scan')} later" if scans else "in that scan"
    found = [
        clause.requirement(
            "ends",
            f"where {text} comes on in a stroke that has seen it off, {name} is off {when}, "
            "whatever the hands do",
            asked,
            ONE_STROKE,
            stops=True,
        )
    ]
    if "unchanged" in clause.times:
        over = Or((Not(output), Rose(seen), Fell(seen)))
        found.append(
            clause.requirement(
                "stuck_end",
                f"from each scan of a stroke on, {name} is off or {text} changes within "
                f"{clause.time('unchanged')}",
                Response(output, over, clause.within("unchanged")),
            )
        )
    return found
