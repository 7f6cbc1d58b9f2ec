"""What is asked of presses besides TWO_HAND, on traces written by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.support.samples.free_block import CHOSEN, TWO_STATIONS, asked, refuted

BOTH = TWO_STATIONS.format("", "")
WORDS_OF_PRESSES = ("single_stroke", "two_hand_trip")
ONE_STROKE = "REQUIRE single_stroke (complete := complete);"
TRIP = "REQUIRE two_hand_trip (complete := complete);"


@pytest.mark.parametrize("word", WORDS_OF_PRESSES)
def test_a_press_starts_only_with_both_hands(word: str, tmp_path: Path) -> None:
    concurrent = asked(tmp_path, f"REQUIRE {word} (complete := complete);")[f"{word}_concurrent"]
    assert refuted(concurrent, left="0110", right="0111", stroke="0011") is None
    assert refuted(concurrent, left="0000", right="0011", stroke="0001") == 3
    assert refuted(concurrent, left="0", right="1", stroke="1") == 0


def test_single_stroke_asks_for_both_hands_while_the_die_closes(tmp_path: Path) -> None:
    held = asked(tmp_path, ONE_STROKE)["single_stroke_held"]
    assert refuted(held, left="0110", right="0111", stroke="0111") == 3
    held = asked(tmp_path, f"HAZARD dangerous; {ONE_STROKE}")["single_stroke_held"]
    trace = {"left": "01100", "right": "01110", "stroke": "01111"}
    assert refuted(held, **trace, dangerous="11100") is None
    assert refuted(held, **trace, dangerous="11110") == 3
    assert "wherever 'dangerous'" in held.sentence or "wherever dangerous" in held.sentence


def test_a_trip_asks_nothing_of_a_release(tmp_path: Path) -> None:
    found = asked(tmp_path, TRIP)
    for each in found.values():
        assert refuted(each, left="01000", right="01000", stroke="01110") is None


def test_held_controls_do_not_repeat_the_stroke(tmp_path: Path) -> None:
    for word in WORDS_OF_PRESSES:
        again = asked(tmp_path, f"REQUIRE {word} (complete := complete);")[f"{word}_anti_repeat"]
        assert refuted(again, left="011111", right="011111", stroke="011001") == 5
        assert refuted(again, left="011101", right="011101", stroke="011001") is None
        assert refuted(again, left="011101", right="011111", stroke="011001") == 5


def test_the_end_signal_ends_a_stroke_that_has_seen_it_off(tmp_path: Path) -> None:
    """29 CFR 1910.211: a single stroke, even if the means are held operated."""
    for word in WORDS_OF_PRESSES:
        ends = asked(tmp_path, f"REQUIRE {word} (complete := complete);")[f"{word}_ends"]
        held = {"left": "01111", "right": "01111"}
        assert refuted(ends, **held, stroke="01111", complete="10010") == 3
        assert refuted(ends, **held, stroke="01100", complete="10010") is None
        assert refuted(ends, **held, stroke="01111", complete="11111") is None, "from the start on"
        assert refuted(ends, **held, stroke="00111", complete="00111") is None, "with the start"
        assert refuted(ends, **held, stroke="00111", complete="00011") == 3, "off at the start"
        assert refuted(ends, **held, stroke="01111", complete="11010") == 3, "a pulse"
        assert refuted(ends, **held, stroke="01011", complete="00100") is None, "between strokes"
        assert refuted(ends, left="01001", right="01001", stroke="01111", complete="10010") == 3


def test_a_stroke_that_begins_in_the_first_scan_ends_like_any_other(tmp_path: Path) -> None:
    ends = asked(tmp_path, TRIP)["two_hand_trip_ends"]
    assert refuted(ends, stroke="11", complete="01") == 1
    assert refuted(ends, stroke="11", complete="11") is None
    assert refuted(ends, stroke="1", complete="1") is None


def test_the_end_may_take_the_scans_that_are_stated(tmp_path: Path) -> None:
    for word in WORDS_OF_PRESSES:
        demand = f"REQUIRE {word} (complete := complete, scans := 2);"
        ends = asked(tmp_path, demand)[f"{word}_ends"]
        assert refuted(ends, stroke="111100", complete="001111") is None
        assert refuted(ends, stroke="111111", complete="001111") == 5
        assert refuted(ends, stroke="111011", complete="001111") is None, "it was off"
        assert refuted(ends, stroke="111111", complete="001000") == 5, "a pulse"
        assert "at most 2 scans later" in ends.sentence


def test_a_stroke_ends_in_time_whose_end_signal_is_stuck_either_way(tmp_path: Path) -> None:
    for word in WORDS_OF_PRESSES:
        demand = f"REQUIRE {word} (complete := complete, unchanged := T#20ms);"
        stuck = asked(tmp_path, demand)[f"{word}_stuck_end"]
        assert refuted(stuck, stroke="0110110", complete="0000000") is None
        assert refuted(stuck, stroke="0111100", complete="0000000") == 4, "off"
        assert refuted(stuck, stroke="0111100", complete="1111111") == 4, "on"
        assert refuted(stuck, stroke="01111111", complete="11100000") == 7, "once it has gone off"
        assert refuted(stuck, stroke="01111100", complete="11100000") is None
        assert refuted(stuck, stroke="1111", complete="0000") == 3, "from the first scan on"
        assert refuted(stuck, stroke="1101101101", complete="0000000000") is None


def test_the_end_of_a_stroke_is_not_where_hazard_ends(tmp_path: Path) -> None:
    ends = asked(tmp_path, f"HAZARD dangerous; {ONE_STROKE}")["single_stroke_ends"]
    assert refuted(ends, stroke="1110", complete="0001", dangerous="1100") is None
    assert refuted(ends, stroke="1111", complete="0001", dangerous="1100") == 3


def test_what_is_lost_with_the_supply_is_the_stroke_and_not_the_rule(tmp_path: Path) -> None:
    demand = "REQUIRE two_hand_trip (complete := complete, scans := 2, unchanged := T#30ms);"
    found = asked(tmp_path, f"POWER CYCLES; {demand}")
    again = {"left": "111111", "right": "111111", "power.on": "110111"}
    assert refuted(found["two_hand_trip_anti_repeat"], **again, stroke="110001") == 5
    supply = {"power.on": "110111"}
    assert (
        refuted(found["two_hand_trip_ends"], **supply, stroke="110111", complete="010000") is None
    )
    assert (
        refuted(found["two_hand_trip_ends"], **supply, stroke="110111", complete="001111") is None
    )
    assert refuted(found["two_hand_trip_stuck_end"], **supply, stroke="110111") is None


def test_an_interrupted_stroke_goes_on_only_after_the_release_of_all(tmp_path: Path) -> None:
    resumption = asked(tmp_path, ONE_STROKE)["single_stroke_resumption"]
    assert refuted(resumption, left="01011", right="01111", stroke="01001") == 4
    assert refuted(resumption, left="010011", right="011011", stroke="010011") is None
    assert refuted(resumption, left="01111", right="01111", stroke="01001") is None, "it ended"
    repeat = asked(tmp_path, ONE_STROKE)["single_stroke_anti_repeat"]
    assert refuted(repeat, left="01011", right="01111", stroke="01001") is None


def test_all_hands_of_all_stations_count_for_a_press(tmp_path: Path) -> None:
    found = asked(tmp_path, ONE_STROKE, BOTH)
    hands = {"left": "0111", "right": "0111", "third": "0111", "fourth": "0011"}
    assert refuted(found["single_stroke_concurrent"], **hands, stroke="0100") == 1
    assert refuted(found["single_stroke_concurrent"], **hands, stroke="0011") is None


def test_a_control_that_came_too_early_permits_no_cycle(tmp_path: Path) -> None:
    tied = asked(tmp_path, "REQUIRE anti_tie_down (window := T#20ms);")["anti_tie_down"]
    assert refuted(tied, left="01111", right="00011", stroke="00011") is None
    assert refuted(tied, left="01111", right="00001", stroke="00001") == 4
    assert refuted(tied, left="1111", right="0011", stroke="0011") == 2
    # The left hand was tied, but it was let go and came again.
    assert refuted(tied, left="0111101", right="0000011", stroke="0000001") is None


def test_each_station_has_its_own_lag(tmp_path: Path) -> None:
    tied = asked(tmp_path, "REQUIRE anti_tie_down (window := T#10ms);", BOTH)["anti_tie_down"]
    front = {"left": "011111", "right": "011111"}
    late = {"third": "000011", "fourth": "000001"}
    assert refuted(tied, **front, **late, stroke="000001") is None
    assert refuted(tied, **front, third="000111", fourth="000001", stroke="000001") == 5


def test_a_station_out_of_use_may_be_tied(tmp_path: Path) -> None:
    tied = asked(tmp_path, "REQUIRE anti_tie_down (window := T#20ms);", CHOSEN)["anti_tie_down"]
    front = {"left": "0111", "right": "0111", "stroke": "0111", "useFront": "1111"}
    assert refuted(tied, **front, third="1111") is None
    assert refuted(tied, **front, third="1111", useRear="1111") == 1
    assert refuted(tied, **front, third="0111", fourth="0111", useRear="1111") is None
