"""What a change of the stations in use must not do.

A press counts from the selection of its station on: a hand that was on before has to be released.
"""

from __future__ import annotations

from twohand.specification.catalogue.tolerance import seen_off
from twohand.specification.logic.formula import And, Formula, Not, Rose, Until
from twohand.specification.model.control import LogicType, TwoHand
from twohand.specification.model.specification import Requirement


def selection_requirements(control: TwoHand) -> list[Requirement]:
    """For a control that has a station with a condition."""
    return [_selection_starts_nothing(control), _hands_before_selection(control)]


def _released(control: TwoHand) -> tuple[Formula, str]:
    """What ends a prohibition after a change of the selection. Type I does not ask that all hands
    are released, only that a hold is broken."""
    if control.type is LogicType.ONE:
        return (
            Not(control.hands_surely_on.all_on),
            f"{control.hand_names()} are not all on{seen_off(control)}",
        )
    return (
        control.hands_surely_on.none_on,
        f"{control.hand_names()} are all off{seen_off(control)}",
    )


def _selection_starts_nothing(control: TwoHand) -> Requirement:
    """IEC 60204-1, 9.2 (from a secondary source): selecting alone starts nothing.

    The output may stay on, if both_hands lets it.
    """
    release, words = _released(control)
    return Requirement(
        "selection_starts_nothing",
        f"after a change of the stations in use with a hand on, {control.output_name} does not go "
        f"on until {words}",
        Until(
            And((control.hands.selection_changed, control.hands.any_on)),
            Not(Rose(control.output)),
            release,
        ),
        control.span,
        authority="IEC 60204-1, 9.2 (from a secondary source)",
    )


def _hands_before_selection(control: TwoHand) -> Requirement:
    """Our own: a hand that was on when its station came into use holds no output either."""
    release, words = _released(control)
    return Requirement(
        "hands_before_selection",
        f"where a station comes into use with a hand on, {control.output_name} stays off until "
        f"{words}",
        Until(control.hands.joined_with_hand_on, Not(control.exposed), release),
        control.span,
        authority="common practice",
    )
