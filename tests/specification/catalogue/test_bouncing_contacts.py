"""What is asked where contacts bounce, on traces written by hand: a hand that settles may be seen
either way, and a contact that bounces is no press (ISO 13851:2019, 5.7 and 5.8)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from twohand.program import Read, Role, Variable
from twohand.program.types import BOOL
from twohand.scan.clocking import Clocking
from twohand.scan.scan_record import ScanRecord
from twohand.specification.catalogue.clause import Clause
from twohand.specification.catalogue.machine_rules import manual_reset, no_restart, stop
from twohand.specification.catalogue.tolerance import new_press, seen_within
from twohand.specification.catalogue.two_hand import two_hand_requirements
from twohand.specification.logic.evaluate import refuted_at
from twohand.specification.logic.formula import Atom, Bound, Formula
from twohand.specification.model.control import Availability, LogicType, Tolerance, TwoHand
from twohand.specification.model.specification import Hand, Requirement, Station

from tests.support.requirement_traces import ONE_STATION, SPAN, UNIT, read

PERIOD = 10
BOUNCE = 20
WINDOW = 50


def signal(name: str) -> Formula:
    return Atom(Read(Variable(name, BOOL, Role.INPUT, False, SPAN), SPAN))


def bouncing() -> TwoHand:
    """Type III; ``l`` and ``r`` say that a hand settles, ``still`` that no bounce is seen."""
    tolerance = Tolerance(BOUNCE, {"left": signal("l"), "right": signal("r")}, signal("still"))
    return TwoHand(
        LogicType.THREE,
        ONE_STATION,
        (read("on").variable,),
        SPAN,
        UNIT,
        longest=PERIOD,
        window=WINDOW,
        bounce=tolerance,
    )


def control(available: Availability | None = None) -> Mapping[str, Requirement]:
    return {each.identifier: each for each in two_hand_requirements(bouncing(), available)}


def refuted(requirement: Requirement, **signals: str) -> int | None:
    """The scan that refutes it; scans of 10 ms, signals that are not given stay FALSE."""
    length = len(next(iter(signals.values())))
    names = ("left", "right", "third", "on", "l", "r", "t", "still", "ready")
    rows = [
        {name: signals.get(name, "0" * length)[scan] == "1" for name in names}
        for scan in range(length)
    ]
    records = [ScanRecord(scan * PERIOD, PERIOD, row) for scan, row in enumerate(rows)]
    return refuted_at(requirement.property, records, Clocking(UNIT, PERIOD, PERIOD))


def test_an_output_may_be_on_while_a_hand_that_went_settles() -> None:
    both = control()["both_hands"]
    assert refuted(both, left="011000", right="011111", on="011110", l="000110") is None
    assert refuted(both, left="011000", right="011111", on="011111", l="000110") == 5


def test_a_hand_that_came_and_settles_may_be_seen_off() -> None:
    release = control()["release_both"]
    hands = {"left": "0100111", "right": "0100001", "on": "0100001"}
    assert refuted(release, **hands) is None, "both were off"
    tied = {"left": "0111111", "right": "0100011", "on": "0100001"}
    assert refuted(release, **tied) == 6
    assert refuted(release, **tied, l="0011000") is None


def test_each_start_has_a_press_of_its_own_by_every_hand() -> None:
    press = control()["new_press"]
    assert refuted(press, left="01100110", right="01100110", on="01100110") is None
    assert refuted(press, left="01111111", right="01100110", on="01100110") == 5
    assert refuted(press, left="01110011", right="01100011", on="01100001") is None
    assert refuted(press, left="01111111", right="01111111", on="01111111") is None
    assert refuted(press, left="11", right="11", on="01") == 1, "on before the first scan"


def test_the_window_is_wider_by_bounce_and_a_scan() -> None:
    """The presses may be 50 ms apart, and 20 ms and a scan of 10 ms more, as they are."""
    start = control()["start_window"]
    late = "0" * 9 + "1"
    assert refuted(start, left="0" + "1" * 9, right=late, on=late) is None
    later = "0" * 10 + "1"
    assert refuted(start, left="0" + "1" * 10, right=later, on=later) == 10


def test_every_window_of_presses_is_as_much_wider() -> None:
    for window in (0, 20, 500):
        assert seen_within(bouncing(), Bound(0, window)) == Bound(0, window + BOUNCE + PERIOD)


def test_an_attempt_is_answered_once_the_contacts_are_still() -> None:
    """A rest lasts four bounce times and two scans at least: 100 ms."""
    asked = control(Availability(Bound(0, 1, in_scans=True), SPAN))
    rest = "0" * 11
    hands = {"left": rest + "111111", "right": rest + "111111"}
    settles = {"l": rest + "111000", "r": rest + "111000"}
    quiet, bouncing = asked["available"], asked["available_bouncing"]
    assert refuted(quiet, **hands, on=rest + "000000", still="1" * 17) == 13
    assert refuted(quiet, **hands, on=rest + "000000") is None, "a contact bounced"
    assert refuted(bouncing, **hands, **settles, on=rest + "000000") == 16
    assert refuted(bouncing, **hands, **settles, on=rest + "000010") is None
    short = "0" * 10
    hands = {"left": short + "111111", "right": short + "111111"}
    settles = {"l": short + "111000", "r": short + "111000"}
    assert refuted(bouncing, **hands, **settles, on=short + "000000") is None


def test_a_tied_hand_that_bounces_is_no_action_after_the_supply_came() -> None:
    clause = Clause("no_restart", bouncing(), {}, {}, {}, SPAN)
    (asked,) = no_restart(clause)
    assert refuted(asked, left="1111", right="0011", on="0001", l="0100") == 3
    assert refuted(asked, left="1011", right="0011", on="0001") is None
    assert refuted(asked, left="1001", right="0011", on="0010") == 2


def test_a_hand_pressed_during_a_stop_that_bounces_at_its_end_was_not_released() -> None:
    stopped, text = {"condition": signal("ready")}, {"condition": "ready"}
    _, asked = stop(Clause("stop", bouncing(), stopped, text, {}, SPAN))
    ends = {"ready": "0110000", "on": "0000001"}
    both = {"left": "0111111", "right": "0111111"}
    assert refuted(asked, **ends, **both, l="0011000", r="0011000") == 6
    again = {"left": "0111011", "right": "0111011"}
    assert refuted(asked, **ends, **again) is None
    tied = {"left": "0111011", "right": "0111111"}
    assert refuted(asked, **ends, **tied) == 6
    assert refuted(asked, **ends, **tied, r="0000100") == 6, "seen off, and never pressed"
    with_the_end = {"left": "0001111", "right": "0001111"}
    assert refuted(asked, **ends, **with_the_end, l="0001100", r="0001100") == 6
    one_by_one = {"left": "1000111", "right": "1011101"}
    assert refuted(asked, **ends, **one_by_one) == 6, "both off during the stop alone"
    one_sees_the_other = {"left": "0000111", "right": "0010011"}
    assert refuted(asked, **ends, **one_sees_the_other) is None


def test_a_hand_pressed_before_a_reset_that_bounces_at_it_was_not_released() -> None:
    given = {"reset": signal("third"), "ready": signal("ready"), "safeguards": signal("still")}
    texts = {name: name for name in given}
    *_, asked = manual_reset(Clause("manual_reset", bouncing(), given, texts, {}, SPAN))
    reset = {"ready": "0001111", "on": "0000001"}
    both = {"left": "0111111", "right": "0111111"}
    assert refuted(asked, **reset, **both, l="0011000", r="0011000") == 6
    assert refuted(asked, **reset, left="0111011", right="0111011") is None


def test_the_hands_of_a_station_out_of_use_need_no_press() -> None:
    """The rear station, with its hand ``third``, is in use while ``ready``."""
    rear = Station("rear", (Hand("third", read("third"), SPAN),), SPAN, read("ready"), "ready")
    tolerance = bouncing().bounce
    assert tolerance is not None
    settling = {**tolerance.settling, "third": signal("t")}
    control = replace(
        bouncing(), stations=(*ONE_STATION, rear), bounce=replace(tolerance, settling=settling)
    )
    press = new_press(control)
    hands = {"left": "0110", "right": "0110", "on": "0110"}
    assert refuted(press, **hands, third="1111") is None
    assert refuted(press, **hands, third="1111", ready="1111") == 1
    assert refuted(press, **hands, third="0110", ready="1111") is None
