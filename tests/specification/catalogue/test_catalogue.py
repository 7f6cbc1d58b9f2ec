"""The two-hand requirements on traces written by hand.

Each trace has one string a signal, one character a scan. The clauses are those of ISO 13851:2019;
6.1 and 5.3 are cited from memory.
"""

from __future__ import annotations

import pytest
from twohand.specification.catalogue.two_hand import (
    catalogue_identifiers,
    lag_questions,
)
from twohand.specification.logic.formula import Atom, Bound
from twohand.specification.model.control import Availability, LogicType, TwoHand
from twohand.specification.model.specification import Requirement

from tests.support.requirement_traces import (
    ONE_STATION,
    SPAN,
    TWO_STATIONS,
    UNIT,
    VARIABLES,
    asked,
    read,
    refuted,
)

# --- 5.2 to 5.4: both hands, in the same scan --------------------------------------------------


@pytest.mark.parametrize("logic_type", LogicType)
def test_the_output_needs_both_hands_in_every_type(logic_type: LogicType) -> None:
    both = asked(logic_type)["both_hands"]
    assert both.authority == "ISO 13851:2019, 5.2 and 5.4"
    assert refuted(both, left="0111", right="0011", on="0010") is None
    assert refuted(both, left="0111", right="0011", on="0110") == 1
    assert refuted(both, left="0000", right="0000", on="0001") == 3


def test_a_release_stops_the_output_in_the_same_scan() -> None:
    both = asked()["both_hands"]
    assert refuted(both, left="0110", right="0111", on="0110") is None
    assert refuted(both, left="0110", right="0111", on="0111") == 3


def test_a_release_may_be_given_some_scans_to_stop_the_output() -> None:
    both = asked(release_scans=2)["both_hands"]
    assert refuted(both, left="01100", right="01111", on="01111") is None
    assert refuted(both, left="011000", right="011111", on="011111") == 5


def test_a_hazard_limits_what_a_release_must_stop() -> None:
    hazard = Atom(read("upstroke"))
    both = asked(hazard=hazard)["both_hands"]
    assert refuted(both, left="0100", right="0100", on="0110", upstroke="0000") is None
    assert refuted(both, left="0100", right="0100", on="0110", upstroke="0010") == 2
    assert "NOT upstroke" in both.sentence


# --- 4.2: what tells the types apart -----------------------------------------------------------


def test_each_type_has_its_requirements() -> None:
    assert [*asked(LogicType.ONE)] == ["both_hands"]
    assert [*asked(LogicType.TWO)] == ["both_hands", "release_both", "power_up"]
    assert [*asked(LogicType.THREE)] == [
        "both_hands",
        "release_both",
        "power_up",
        "start_window",
        "window_missed",
    ]


def test_pressing_again_one_released_hand_tells_type_i_from_type_ii() -> None:
    trace = {"left": "01111", "right": "01011", "on": "01011"}
    assert all(refuted(r, **trace) is None for r in asked(LogicType.ONE).values())
    assert refuted(asked(LogicType.TWO)["release_both"], **trace) == 3


# --- 5.7: both released before the next start --------------------------------------------------


def test_no_new_output_before_both_hands_were_off() -> None:
    release = asked()["release_both"]
    assert release.authority == "ISO 13851:2019, 5.7"
    assert refuted(release, left="011001", right="010001", on="010001") is None
    assert refuted(release, left="010111", right="011011", on="010001") == 5
    assert refuted(release, left="010000", right="010000", on="010111") is None


def test_a_tied_hand_gives_the_output_only_once() -> None:
    tied = {"left": "1" * 12, "right": "010101010101", "on": "010100000000"}
    assert refuted(asked(LogicType.TWO)["release_both"], **tied) == 3


def test_a_tied_hand_gives_no_output_after_the_window() -> None:
    start = asked()["start_window"]
    tied = {"left": "011111111", "right": "000000001", "on": "000000001"}
    assert refuted(start, **tied) == 8


# --- 5.8: synchronous actuation ----------------------------------------------------------------


@pytest.mark.parametrize(
    ("period", "accepted"), [(1, 500), (7, 71), (10, 50), (16, 31), (300, 1), (600, 0)]
)
def test_the_widest_lag_is_that_of_whole_scans_within_the_window(
    period: int, accepted: int
) -> None:
    start = asked()["start_window"]
    for lag, answer in [(accepted, None), (accepted + 1, accepted + 2)]:
        left = "0" + "1" * (lag + 1)
        right = "0" * (lag + 1) + "1"
        assert refuted(start, period, left=left, right=right, on=right) == answer
        assert refuted(start, period, left=right, right=left, on=right) == answer


def test_the_output_may_start_long_after_both_hands_came_on() -> None:
    start = asked()["start_window"]
    assert start.authority == "ISO 13851:2019, 5.8"
    assert refuted(start, left="0" + "1" * 19, right="0" + "1" * 19, on="0" * 19 + "1") is None


def test_the_last_presses_count() -> None:
    start = asked()["start_window"]
    again = {"left": "0111111111", "right": "0101010001", "on": "0000000001"}
    assert refuted(start, **again) == 9


def test_hands_that_were_on_in_the_first_scan_start_nothing() -> None:
    assert refuted(asked()["start_window"], left="11", right="11", on="01") == 1
    assert refuted(asked()["start_window"], left="11", right="01", on="01") == 1


def test_after_a_missed_window_both_hands_must_be_off() -> None:
    missed = asked()["window_missed"]
    late = "0111111111"
    assert refuted(missed, left=late, right="0000000111", on="0000000001") == 9
    assert refuted(missed, left=late, right="0000000111", on="0000000000") is None
    swapped = {"left": "01111111100000", "right": "00000000111111"}
    assert refuted(missed, **swapped, on="00000000000001") == 13
    assert refuted(missed, left="0111111100011", right="0" * 11 + "11", on="0" * 11 + "11") is None


def test_a_press_in_the_first_scan_beyond_the_window_has_missed_it() -> None:
    requirements = asked()
    # left at 100 ms, right at 700 ms; then only left is pressed anew, 200 ms after right
    again = {"left": "011111110111", "right": "000000011111", "on": "000000000111"}
    assert refuted(requirements["start_window"], **again) is None
    assert refuted(requirements["window_missed"], **again) == 9


def test_the_window_is_not_missed_by_hands_that_were_on_together() -> None:
    missed = asked()["window_missed"]
    assert refuted(missed, left="0111111111", right="0011111111", on="0011111111") is None
    assert refuted(missed, left="0111111111", right="0011111111", on="0000000001") is None


def test_a_hand_that_is_on_from_the_first_scan_has_missed_the_window() -> None:
    missed = asked()["window_missed"]
    assert refuted(missed, left="1111", right="0011", on="0001") == 3


def test_synchrony_is_asked_within_a_station_not_between_stations() -> None:
    names = asked(stations=TWO_STATIONS)
    assert [*names][3:] == [
        "start_window_front",
        "start_window_rear",
        "window_missed_front",
        "window_missed_rear",
    ]
    late = "0" * 10 + "1"
    early = "0" + "1" * 10
    fine = {"left": early, "right": early, "third": late, "fourth": late, "on": late}
    assert all(refuted(requirement, **fine) is None for requirement in names.values())
    lagging = {**fine, "third": early}
    assert refuted(names["start_window_rear"], **lagging) == 10
    assert refuted(names["start_window_front"], **lagging) is None
    assert refuted(names["window_missed_rear"], **lagging) == 10


def test_every_hand_of_every_station_counts_for_the_output() -> None:
    both = asked(stations=TWO_STATIONS)["both_hands"]
    assert refuted(both, left="11", right="11", third="11", fourth="10", on="11") == 1


# --- 5.3 (from memory): several outputs are one signal -----------------------------------------


def test_prohibitions_hold_for_each_of_several_outputs() -> None:
    both = asked(outputs=("on", "second"))["both_hands"]
    assert refuted(both, left="00", right="00", on="00", second="01") == 1
    release = asked(outputs=("on", "second"))["release_both"]
    assert refuted(release, left="0111", right="0111", on="0100", second="0011") is None
    assert refuted(release, left="01111", right="01111", on="01000", second="00001") == 4


def test_availability_is_asked_of_all_outputs() -> None:
    available = Availability(Bound(0, 0, in_scans=True), SPAN)
    answer = asked(outputs=("on", "second"), available=available)["available"]
    assert refuted(answer, left="01", right="01", on="01", second="01") is None
    assert refuted(answer, left="010", right="010", on="010", second="000") == 2


# --- 6.1 (from memory): power-up ---------------------------------------------------------------


def test_a_hand_that_is_on_at_power_up_starts_nothing_until_both_were_off() -> None:
    power_up = asked(LogicType.TWO)["power_up"]
    assert power_up.authority == "ISO 13851:2019, 6.1 (from memory)"
    assert refuted(power_up, left="1111", right="1111", on="0001") == 3
    assert refuted(power_up, left="1111", right="0101", on="0001") == 3
    assert refuted(power_up, left="1101", right="1101", on="0001") is None
    assert refuted(power_up, left="0111", right="0111", on="0111") is None


# --- a block that never starts -----------------------------------------------------------------


def available_within(scans: int, **options: object) -> Requirement:
    bound = Bound(0, scans, in_scans=True)
    available = Availability(bound, SPAN, **options)  # type: ignore[arg-type]
    return asked(available=available)["available"]


def test_presses_within_the_sure_lag_must_start_the_output() -> None:
    answer = available_within(1)
    assert "460 ms" in answer.sentence
    assert refuted(answer, left="001111", right="001111", on="000111") is None
    assert refuted(answer, left="001111", right="001111", on="000000") == 4
    assert refuted(answer, left="01111111", right="00001111", on="00000000") == 6
    assert refuted(answer, left="011111111", right="000000111", on="000000000") is None  # 500 apart


def test_an_attempt_that_is_given_up_asks_for_nothing() -> None:
    answer = available_within(1)
    assert refuted(answer, left="0110", right="0100", on="0000") is None


def test_an_attempt_begins_with_all_hands_off_and_none_released_since() -> None:
    answer = available_within(0)
    assert refuted(answer, left="0111110", right="0010100", on="0010000") is None
    assert refuted(answer, left="1111110", right="0010100", on="0000000") is None
    assert refuted(answer, left="0101100", right="0001100", on="0001100") is None
    assert refuted(answer, left="01011", right="00111", on="00000") is None, "one for the other"


def test_availability_is_asked_only_while_its_condition_holds() -> None:
    answer = available_within(0, condition=Atom(read("ready")), condition_text="ready")
    assert refuted(answer, left="0011", right="0011", on="0000", ready="1111") == 3
    assert refuted(answer, left="0011", right="0011", on="0000", ready="0011") is None
    assert refuted(answer, left="0011", right="0011", on="0000", ready="1101") is None


def test_a_stated_lag_replaces_the_sure_one() -> None:
    answer = available_within(0, lag=100)
    assert refuted(answer, left="01111", right="00011", on="00000") is None
    assert refuted(answer, left="01111", right="00111", on="00000") == 3


# --- names and questions -----------------------------------------------------------------------


def test_the_lag_is_asked_of_each_station_of_type_iii() -> None:
    control = TwoHand(
        LogicType.THREE, TWO_STATIONS, (VARIABLES["on"],), SPAN, UNIT, 20, window=480, true_lag=500
    )
    questions = lag_questions(control)
    assert [(q.window, q.true_lag, len(q.hands)) for q in questions] == [(None, 500, 2)] * 2
    bare = TwoHand(LogicType.TWO, ONE_STATION, (VARIABLES["on"],), SPAN, UNIT, 20)
    assert lag_questions(bare) == ()


def test_identifiers_of_the_catalogue_are_known_beforehand() -> None:
    known = catalogue_identifiers(["front", "rear"])
    available = Availability(Bound(0, 1, in_scans=True), SPAN)
    assert set(asked(stations=TWO_STATIONS, available=available)) <= known


def test_sentences_use_the_users_names() -> None:
    sentences = {name: requirement.sentence for name, requirement in asked().items()}
    assert sentences["both_hands"] == "'on' is on only while 'left' and 'right' are both on"
    assert "500 ms" in sentences["start_window"]
