"""What is asked of a machine beside its hands: hold-to-run, stop, reset, supply, outputs, feedback.

IEC 60204-1 and ISO 13849-1 are cited from memory or from a secondary source, as marked.
"""

from __future__ import annotations

from twohand.specification.catalogue.clause import Clause, differ, started
from twohand.specification.catalogue.tolerance import all_off
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
from twohand.specification.model.station_formulas import all_of, in_run, where_used

HOLD_TO_RUN = "IEC 60204-1, 9.2.3.7 (from memory)"
STOP = "IEC 60204-1, chapter 9 (from a secondary source)"
STOP_END = "Directive 2006/42/EC, Annex I, 1.2.3 and 1.2.4.3"
RESET = "ISO 13849-1:2015, 5.2.2 (from a secondary source)"
SUPPLY = "IEC 60204-1, 7.5; Directive 2006/42/EC, Annex I, 1.2.6 (from memory)"


def hold_to_run(clause: Clause) -> list[Requirement]:
    """Motion only while the control is held."""
    control = clause.conditions["control"]
    return [
        clause.requirement(
            "",
            f"{clause.output_name} is on only while {clause.texts['control']}",
            Always(Implies(clause.output, control), clause.output),
            HOLD_TO_RUN,
            stops=True,
        )
    ]


def stop(clause: Clause) -> list[Requirement]:
    """What overrides every start, HAZARD or not, and whose end starts nothing.

    What the hands did while it lasted does not count: who let go and pressed again during the stop
    waits for the machine to go on, and it would.
    """
    condition, text = clause.conditions["condition"], clause.texts["condition"]
    ended = Fell(condition)
    action, words = _action_after(clause, ended)
    return [
        clause.requirement(
            "off",
            f"while {text}, {clause.output_name} is off, in every part of the stroke",
            Always(Implies(condition, Not(clause.output)), condition),
            STOP,
            stops=True,
        ),
        clause.requirement(
            "end_starts_nothing",
            f"once {text} is over, {clause.output_name} stays off until {words}",
            Until(ended, Not(clause.output), action),
            STOP_END,
        ),
    ]


def _action_after(clause: Clause, moment: Formula) -> tuple[Formula, str]:
    """What people do from the scan of ``moment`` on before the output may be on, and in words.

    That is the release of all hands; a press that is sampled with the moment may have come before
    it, so a ``start`` counts in a later scan only. Where contacts bounce, what passes for the
    release may be none, so that every hand has to come on as well.
    """
    start, control = clause.conditions.get("start"), clause.control
    if start is not None:
        words = f"{clause.texts['start']} comes on in a later scan"
        return And((Rose(start), Not(moment))), words
    released = control.hands_surely_on.none_on
    words = f"{all_off(control)}, in that scan or later"
    if control.bounce is None:
        return released, words
    pressed = all_of(
        where_used(in_use, Since(Not(moment), And((in_run(Rose(hand)), Not(moment)))))
        for in_use, hands in control.hands.by_station
        for hand in hands
    )
    words += ", and each has come on after that scan"
    return And((Since(Not(moment), in_run(released)), pressed)), words


def manual_reset(clause: Clause) -> list[Requirement]:
    """The stop is held until a reset that was pressed and released while every safeguard was in
    function; a lost one ends that, and a reset starts nothing.

    A button that is welded, held, or on when the supply comes gives no press. Without supply there
    is no ``ready``, whatever its variable shows.
    """
    ready = _under_power(clause, clause.control.counted(clause.conditions["ready"]))
    safe = clause.conditions["safeguards"]
    texts, output = clause.texts, clause.output_name
    accepted = Rose(ready)
    action, words = _action_after(clause, accepted)
    moment = "the first scan" if clause.control.power is None else "a first scan under power"
    return [
        _accepted_by_release(clause, ready),
        clause.requirement(
            "safeguard_lost",
            f"{texts['ready']} is off in every scan without {texts['safeguards']}",
            Always(Implies(Not(safe), Not(ready)), Not(safe)),
            RESET,
        ),
        clause.requirement(
            "power_up",
            f"{texts['ready']} is off in {moment}",
            Always(Implies(clause.began(), Not(ready))),
        ),
        clause.requirement(
            "stop_held",
            f"{output} is on only while {texts['ready']}",
            Always(Implies(clause.output, ready), clause.output),
            RESET,
            stops=True,
        ),
        clause.requirement(
            "starts_nothing",
            f"once {texts['ready']} has come on, {output} stays off from that scan until {words}",
            Until(accepted, Not(clause.output), action),
            RESET,
        ),
    ]


def _accepted_by_release(clause: Clause, ready: Formula) -> Requirement:
    """The press, the release and all between them have every safeguard; what the logic did not
    see come on, because it began with it, is no press (and what speaks of the first scan looks
    back to nothing before it)."""
    reset, safe = clause.conditions["reset"], clause.conditions["safeguards"]
    seen = Not(clause.began())
    pressed = _under_power(clause, And((Rose(reset), safe, seen)))
    held = _under_power(clause, And((reset, safe)))
    released = And((Fell(reset), safe, Previous(Since(held, pressed))))
    accepted = And((Rose(ready), seen))
    texts = clause.texts
    return clause.requirement(
        "release",
        f"{texts['ready']} comes on only when {texts['reset']} goes off, with "
        f"{texts['safeguards']} in every scan since that came on",
        Always(Implies(accepted, released), accepted),
        RESET,
    )


def _under_power(clause: Clause, formula: Formula) -> Formula:
    power = clause.control.power
    return formula if power is None else And((formula, power))


def no_restart(clause: Clause) -> list[Requirement]:
    """Supply that comes (back) starts nothing: the output waits for an action after it.

    That action is the parameter ``start`` going on in a later scan; without it, the hands, which
    have to come on after all were off.
    """
    began, start = clause.began(), clause.conditions.get("start")
    if start is None:
        on, off = clause.control.hands_seen_on.all_on, clause.control.hands_surely_on.none_on
        action = And((on, Since(Not(began), off), *_presses(clause, began)))
        names, several = clause.control.hand_names(), clause.control.several()
        words = f"{names} have {several} come on after being off"
    else:
        action, words = And((Rose(start), Not(began))), f"{clause.texts['start']} comes on"
    return [
        clause.requirement(
            "",
            f"when the supply comes, {clause.output_name} stays off until {words}",
            Until(began, Not(clause.output), action),
            SUPPLY,
        )
    ]


def _presses(clause: Clause, began: Formula) -> list[Formula]:
    """Where contacts bounce, what one shows may pass for a release, never for a press."""
    if clause.control.bounce is None:
        return []
    return [
        where_used(in_use, Since(Not(began), Rose(hand)))
        for in_use, each in clause.control.hands.by_station
        for hand in each
    ]


def never_together(clause: Clause) -> list[Requirement]:
    """Outputs that work against each other."""
    first, second = clause.conditions["first"], clause.conditions["second"]
    return [
        clause.requirement(
            "",
            f"{clause.texts['first']} and {clause.texts['second']} are never on together",
            Always(Not(clause.control.counted(And((first, second))))),
        )
    ]


def feedback_plausible(clause: Clause) -> list[Requirement]:
    """What was commanded is seen within a time, or the logic notices."""
    wrong = differ(clause.conditions["command"], clause.conditions["feedback"])
    return _noticed(clause, wrong, f"{_both(clause, 'command', 'feedback')} differ")


def discrepancy(clause: Clause) -> list[Requirement]:
    """Two contacts of one actuator agree within a time, or the logic notices."""
    wrong = differ(clause.conditions["first"], clause.conditions["second"])
    return _noticed(clause, wrong, f"{_both(clause, 'first', 'second')} differ")


def end_positions(clause: Clause) -> list[Requirement]:
    """Two end positions at once are no position."""
    wrong = And((clause.conditions["first"], clause.conditions["second"]))
    return _noticed(clause, wrong, f"{_both(clause, 'first', 'second')} are both on")


def greatest_on_time(clause: Clause) -> list[Requirement]:
    """From the scan in which the output went on to the one in which it is off again."""
    return [
        clause.requirement(
            "",
            f"{clause.output_name} is off again at most {clause.time('limit')} after it went on",
            Response(started(clause.output), Not(clause.output), clause.within("limit")),
        )
    ]


def _both(clause: Clause, first: str, second: str) -> str:
    return f"{clause.texts[first]} and {clause.texts[second]}"


def _noticed(clause: Clause, wrong: Formula, words: str) -> list[Requirement]:
    """``wrong`` does not last longer than ``within`` without ``notice``; where ``output`` is
    given, not with that on either. A logic without power notices nothing: its time begins when
    that returns."""
    power, wrong = clause.control.power, clause.control.counted(wrong)
    over: tuple[Formula, ...] = (Not(wrong),) if power is None else (Not(wrong), Not(power))
    unless = "unless that ends" if power is None else "unless that ends or power is lost"
    notice, within = clause.conditions["notice"], clause.within("within")
    time = clause.time("within")
    found = [
        clause.requirement(
            "",
            f"where {words}, {clause.texts['notice']} is on within {time}, {unless}",
            Response(wrong, Or((notice, *over)), within),
        )
    ]
    if "output" in clause.conditions:
        found.append(
            clause.requirement(
                "off",
                f"where {words}, {clause.output_name} is off within {time}, unless that ends",
                Response(wrong, Or((Not(clause.output), Not(wrong))), within),
            )
        )
    return found
