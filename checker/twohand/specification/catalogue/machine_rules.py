"""What is asked of a machine beside its hands: hold-to-run, reset, supply, outputs, feedback.

IEC 60204-1 and ISO 13849-1 are cited from memory or from a secondary source, as marked.
"""

from __future__ import annotations

from twohand.specification.catalogue.clause import Demand, differ, started
from twohand.specification.logic.formula import (
    Always,
    And,
    Fell,
    Formula,
    Implies,
    Not,
    Or,
    Previous,
    Response,
    Rose,
    Since,
    Until,
)
from twohand.specification.model.specification import Requirement

HOLD_TO_RUN = "IEC 60204-1, 9.2.3.7 (from memory)"
RESET = "ISO 13849-1:2015, 5.2.2 (from a secondary source)"
SUPPLY = "IEC 60204-1, 7.5; Directive 2006/42/EC, Annex I, 1.2.6 (from memory)"


def hold_to_run(demand: Demand) -> list[Requirement]:
    """Motion only while the control is held."""
    control = demand.conditions["control"]
    return [
        demand.requirement(
            "",
            f"{demand.output_name} is on only while {demand.texts['control']}",
            Always(Implies(demand.output, control), demand.output),
            HOLD_TO_RUN,
        )
    ]


def manual_reset(demand: Demand) -> list[Requirement]:
    """Accepted when the reset button is let go, and a start takes an action of its own.

    That action is the parameter ``start`` going on; without it, the hands: those that were all on
    when the reset was accepted must not start until one of them was off.
    """
    ready, reset = demand.conditions["ready"], demand.conditions["reset"]
    accepted = Rose(ready)
    start = demand.conditions.get("start")
    on = demand.control.hands_surely_on.all_on
    trigger: Formula = accepted
    action: Formula
    if start is None:
        trigger, action = And((accepted, Previous(on))), Not(on)
        words = f"{demand.control.hand_names()} are no longer {demand.control.several()} on"
    else:
        action, words = Rose(start), f"{demand.texts['start']} comes on"
    return [
        demand.requirement(
            "release",
            f"{demand.texts['ready']} comes on only when {demand.texts['reset']} goes off",
            Always(Implies(accepted, Fell(reset)), accepted),
            RESET,
        ),
        demand.requirement(
            "starts_nothing",
            f"after {demand.texts['ready']} has come on, {demand.output_name} does not go on until "
            f"{words}",
            Until(trigger, Not(Rose(demand.output)), action),
            RESET,
        ),
    ]


def no_restart(demand: Demand) -> list[Requirement]:
    """Supply that comes (back) starts nothing: the output waits for an action after it.

    That action is the parameter ``start`` going on in a later scan; without it, the hands, which
    have to come on after all were off.
    """
    began, start = demand.began(), demand.conditions.get("start")
    if start is None:
        on, off = demand.control.hands_seen_on.all_on, demand.control.hands_surely_on.none_on
        action = And((on, Since(Not(began), off), *_presses(demand, began)))
        names, several = demand.control.hand_names(), demand.control.several()
        words = f"{names} have {several} come on after being off"
    else:
        action, words = And((Rose(start), Not(began))), f"{demand.texts['start']} comes on"
    return [
        demand.requirement(
            "",
            f"when the supply comes, {demand.output_name} stays off until {words}",
            Until(began, Not(demand.output), action),
            SUPPLY,
        )
    ]


def _presses(demand: Demand, began: Formula) -> list[Formula]:
    """Where contacts bounce, what one shows may pass for a release, never for a press."""
    if demand.control.bounce is None:
        return []
    hands = demand.control.hands
    return [
        pressed if in_use is None else Implies(in_use, pressed)
        for in_use, each in zip(hands.in_use, hands.each, strict=True)
        for pressed in (Since(Not(began), Rose(hand)) for hand in each)
    ]


def never_together(demand: Demand) -> list[Requirement]:
    """Outputs that work against each other."""
    first, second = demand.conditions["first"], demand.conditions["second"]
    return [
        demand.requirement(
            "",
            f"{demand.texts['first']} and {demand.texts['second']} are never on together",
            Always(Not(And((first, second)))),
        )
    ]


def feedback_plausible(demand: Demand) -> list[Requirement]:
    """What was commanded is seen within a time, or the logic notices."""
    wrong = differ(demand.conditions["command"], demand.conditions["feedback"])
    return _noticed(demand, wrong, f"{_both(demand, 'command', 'feedback')} differ")


def discrepancy(demand: Demand) -> list[Requirement]:
    """Two contacts of one actuator agree within a time, or the logic notices."""
    wrong = differ(demand.conditions["first"], demand.conditions["second"])
    return _noticed(demand, wrong, f"{_both(demand, 'first', 'second')} differ")


def end_positions(demand: Demand) -> list[Requirement]:
    """Two end positions at once are no position."""
    wrong = And((demand.conditions["first"], demand.conditions["second"]))
    return _noticed(demand, wrong, f"{_both(demand, 'first', 'second')} are both on")


def greatest_on_time(demand: Demand) -> list[Requirement]:
    """From the scan in which the output went on to the one in which it is off again."""
    return [
        demand.requirement(
            "",
            f"{demand.output_name} is off again at most {demand.milliseconds('limit')} after it "
            "went on",
            Response(started(demand.output), Not(demand.output), demand.within("limit")),
        )
    ]


def _both(demand: Demand, first: str, second: str) -> str:
    return f"{demand.texts[first]} and {demand.texts[second]}"


def _noticed(demand: Demand, wrong: Formula, words: str) -> list[Requirement]:
    """``wrong`` does not last longer than ``within`` without ``notice``; where ``output`` is
    given, not with that on either. A logic without power notices nothing: its time begins when
    that returns."""
    power = demand.control.power
    over: tuple[Formula, ...] = (Not(wrong),) if power is None else (Not(wrong), Not(power))
    unless = "unless that ends" if power is None else "unless that ends or power is lost"
    notice, within = demand.conditions["notice"], demand.within("within")
    time = demand.milliseconds("within")
    found = [
        demand.requirement(
            "",
            f"where {words}, {demand.texts['notice']} is on within {time}, {unless}",
            Response(wrong, Or((notice, *over)), within),
        )
    ]
    if "output" in demand.conditions:
        found.append(
            demand.requirement(
                "off",
                f"where {words}, {demand.output_name} is off within {time}, unless that ends",
                Response(wrong, Or((Not(demand.output), Not(wrong))), within),
            )
        )
    return found
