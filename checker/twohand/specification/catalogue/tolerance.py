"""What bouncing contacts change in what is asked of a two-hand control.

For the bounce time B after a hand moved its contacts may show anything. So the logic may see a
release up to B late (``both_hands``: the output may be on as long as each hand is on or went off at
most B ago), and two presses nearer or farther apart than they are by B and the scan in which the
contact is seen at last (the windows are wider by that). What it takes for the release of all hands
may be a hand that came on at most B ago.

What is not tolerated is that a contact that bounces passes for a press: each start has a press of
its own by every hand (``new_press``). A logic that takes the contacts as they are breaks it; one
that wants to see them open for longer than 2 B (a contact may bounce as its hand comes and again
as it goes) before it is ready for a new start does not.
"""

from __future__ import annotations

from dataclasses import replace

from twohand.program.durations import Units
from twohand.specification.logic.formula import (
    Always,
    And,
    Bound,
    Fell,
    Formula,
    Implies,
    Not,
    Once,
    Previous,
    Rose,
    Since,
)
from twohand.specification.model.control import TwoHand
from twohand.specification.model.specification import Requirement
from twohand.specification.model.station_formulas import all_of, in_run, where_used

NEW_PRESS = "new_press"


def new_press(control: TwoHand) -> Requirement:
    """ISO 13851:2019, 5.7: a start needs each hand pressed anew, not a contact that bounces."""
    start = Rose(control.output)
    pressed = all_of(
        where_used(in_use, Since(Not(Fell(control.output)), Rose(hand)))
        for in_use, hands in control.hands.by_station
        for hand in hands
    )
    return Requirement(
        NEW_PRESS,
        f"each time {control.output_name} goes on, {control.hand_names()} have come on since it "
        "last went off, bouncing contacts or not",
        Always(Implies(start, pressed), start),
        control.span,
        authority="ISO 13851:2019, 5.7",
    )


def pressed_together(control: TwoHand, index: int, window: Bound) -> Formula:
    """The last presses of a station's hands lie within the window: from the scan in which it became
    fully on, it stayed so until now. A hand that was on in the first scan has no rise, and what was
    before it is no press."""
    on = all_of(control.hands_seen_on.each[index])
    # While contacts bounce it is not plain in which scan the station became fully on.
    began = () if control.bounce is not None else (Not(Previous(on)),)
    presses = (Once(in_run(Rose(hand)), window) for hand in control.hands.each[index])
    return Since(on, And((on, *began, *presses)))


def seen_late(control: TwoHand) -> str:
    """What is added where a release is seen late."""
    if control.bounce is None:
        return ""
    return f", or went off at most {control.time(control.bounce.time)} ago (bounce)"


def seen_within(control: TwoHand, window: Bound) -> Bound:
    """A window for presses, wider by how late one of them may be seen."""
    return replace(window, high=Units((window.high or 0) + control.press_seen_late))


def seen_farther(control: TwoHand) -> str:
    """What is added where a window is that much wider."""
    if control.bounce is None:
        return ""
    return f" (and {control.time(control.press_seen_late)} more, by bounce)"


def all_off(control: TwoHand) -> str:
    """The release of all hands, in words."""
    return f"{control.hand_names()} are {control.several()} off{seen_off(control)}"


def seen_off(control: TwoHand) -> str:
    """What is added where a hand that just came on may be seen off."""
    if control.bounce is None:
        return ""
    time = control.time(control.bounce.time)
    return f", where one that came on at most {time} ago may be seen off (bounce)"
