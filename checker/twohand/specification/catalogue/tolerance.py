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
    Bound,
    Fell,
    Formula,
    Implies,
    Not,
    Rose,
    Since,
)
from twohand.specification.model.control import TwoHand
from twohand.specification.model.specification import Requirement
from twohand.specification.model.station_formulas import all_of
from twohand.specification.phrases import milliseconds

NEW_PRESS = "new_press"


def new_press(control: TwoHand) -> Requirement:
    """ISO 13851:2019, 5.7: a start needs each hand pressed anew, not a contact that bounces."""
    start = Rose(control.output)
    pressed = all_of(
        _wherever(in_use, Since(Not(Fell(control.output)), Rose(hand)))
        for in_use, hands in zip(control.hands.in_use, control.hands.each, strict=True)
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


def _wherever(in_use: Formula | None, formula: Formula) -> Formula:
    return formula if in_use is None else Implies(in_use, formula)


def seen_late(control: TwoHand) -> str:
    """What is added where a release is seen late."""
    if control.bounce is None:
        return ""
    return f", or went off at most {milliseconds(control.bounce.time, control.unit)} ago (bounce)"


def seen_within(control: TwoHand, window: Bound) -> Bound:
    """A window for presses, wider by how late one of them may be seen."""
    return replace(window, high=Units((window.high or 0) + control.press_seen_late))


def seen_farther(control: TwoHand) -> str:
    """What is added where a window is that much wider."""
    if control.bounce is None:
        return ""
    return f" (and {milliseconds(control.press_seen_late, control.unit)} more, by bounce)"


def seen_off(control: TwoHand) -> str:
    """What is added where a hand that just came on may be seen off."""
    if control.bounce is None:
        return ""
    time = milliseconds(control.bounce.time, control.unit)
    return f", where one that came on at most {time} ago may be seen off (bounce)"
