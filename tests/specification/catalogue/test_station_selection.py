"""What is asked of stations that can be taken out of use, on traces written by hand."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.specification.model.specification import Requirement

from tests.support.samples.free_block import (
    CHOSEN,
    TWO_STATIONS,
    asked,
    free_specification,
    refuted,
)

FRONT = {"useFront": "1111111", "useRear": "0000000"}
"""Only the front station is in use."""


def of_type(folder: Path, words: str, roles: str = CHOSEN) -> dict[str, Requirement]:
    return asked(folder, f"REQUIRE TWO_HAND LOGIC TYPE {words};", roles)


@pytest.fixture
def three(tmp_path: Path) -> dict[str, Requirement]:
    return of_type(tmp_path, "III, WINDOW T#20ms")


def test_a_station_without_a_condition_asks_for_nothing_more(tmp_path: Path) -> None:
    plain = of_type(tmp_path, "III, WINDOW T#20ms", TWO_STATIONS.format("", ""))
    chosen = of_type(tmp_path, "III, WINDOW T#20ms")
    assert {*chosen} - {*plain} == {"selection_starts_nothing", "hands_before_selection"}
    half = of_type(tmp_path, "I", TWO_STATIONS.format("", " WHEN useRear"))
    assert [*half] == ["both_hands", "selection_starts_nothing", "hands_before_selection"]


@pytest.mark.parametrize("other", ["0000000", "1111111", "0110101"])
def test_what_lies_on_a_station_out_of_use_does_not_matter(
    other: str, three: dict[str, Requirement]
) -> None:
    stroke = {"left": "0111001", "right": "0011001", "stroke": "0011001"}
    for each in three.values():
        assert refuted(each, **stroke, **FRONT, third=other) is None


def test_every_hand_of_every_station_in_use_is_needed(three: dict[str, Requirement]) -> None:
    front = {"left": "011", "right": "011", "useFront": "111"}
    both = three["both_hands"]
    assert refuted(both, **front, useRear="111", stroke="011") == 1
    assert refuted(both, **front, useRear="001", stroke="011") == 2
    assert refuted(both, **front, useRear="111", third="011", fourth="011", stroke="011") is None


def test_no_station_in_use_lets_nothing_run_and_releases_nothing(
    three: dict[str, Requirement],
) -> None:
    held = {"left": "011111", "right": "011111"}
    none = {"useFront": "111011", "useRear": "000000"}
    assert refuted(three["both_hands"], **held, **none, stroke="001100") == 3
    assert refuted(three["release_both"], **held, **none, stroke="001001") == 5


def test_an_unused_hand_at_power_up_does_not_matter_until_it_is_taken_into_use(
    three: dict[str, Requirement],
) -> None:
    rear = {"third": "1111", "fourth": "0001"}
    assert refuted(three["power_up"], **rear, useRear="1111", stroke="0001") == 3
    assert refuted(three["power_up"], **rear, useFront="1111", stroke="0001") is None


def test_a_missed_window_counts_while_the_station_is_in_use(three: dict[str, Requirement]) -> None:
    late = {"left": "0111111", "right": "0000011"}
    missed = three["window_missed_front"]
    assert refuted(missed, **late, **FRONT, stroke="0000010") == 5
    rear = {"useFront": "0000000", "useRear": "1111111"}
    assert refuted(missed, **late, **rear, stroke="0111111") is None


def test_each_station_in_use_has_its_own_window(three: dict[str, Requirement]) -> None:
    front = {"left": "0111111", "right": "0111111", "useFront": "1111111"}
    rear = {"third": "0000111", "fourth": "0000011", "useRear": "1111111"}
    window = three["start_window_rear"]
    assert refuted(window, **front, **rear, stroke="0000010") is None
    rear["third"] = "0111111"
    assert refuted(window, **front, **rear, stroke="0000010") == 5
    assert refuted(window, **front, third="0111111", fourth="0000011", stroke="0000010") is None


def test_selecting_alone_starts_nothing(three: dict[str, Requirement]) -> None:
    starts = three["selection_starts_nothing"]
    front = {"left": "01111", "right": "01111", "useFront": "11111"}
    assert refuted(starts, **front, useRear="11000", stroke="00100") == 2
    assert refuted(starts, **front, useRear="11000", stroke="00001") == 4
    assert refuted(starts, **front, useRear="11111", stroke="00100") is None
    released = {"left": "01101", "right": "01101", "useFront": "11111"}
    assert refuted(starts, **released, useRear="11000", stroke="00001") is None
    # What runs already may run on.
    assert refuted(starts, **front, useRear="11000", stroke="01111") is None


def test_a_hand_that_was_on_before_its_selection_holds_nothing(
    three: dict[str, Requirement],
) -> None:
    before = three["hands_before_selection"]
    front = {"left": "01111", "right": "01111", "useFront": "11111"}
    tied = {"third": "11111", "fourth": "11111"}
    assert refuted(before, **front, **tied, useRear="00111", stroke="01111") == 2
    assert refuted(before, **front, **tied, useRear="00111", stroke="01001") == 4
    assert refuted(before, **front, useRear="00111", stroke="01111") is None
    assert refuted(before, **front, **tied, useRear="11100", stroke="01111") is None


def test_type_one_asks_only_that_the_hold_is_broken(tmp_path: Path) -> None:
    found = of_type(tmp_path, "I")
    starts = found["selection_starts_nothing"]
    front = {"left": "01111", "right": "01101", "useFront": "11111"}
    assert refuted(starts, **front, useRear="11000", stroke="00001") is None
    held = {"left": "01111", "right": "01111", "useFront": "11111"}
    assert refuted(starts, **held, useRear="11000", stroke="00001") == 4


def test_an_attempt_must_succeed_only_while_the_selection_stays(tmp_path: Path) -> None:
    words = "II; AVAILABLE WITHIN 0 SCANS"
    available = of_type(tmp_path, words)["available"]
    front = {"left": "0011", "right": "0011", "useFront": "1111"}
    assert refuted(available, **front, third="1011", stroke="0000") == 3
    assert refuted(available, **front, stroke="0011") is None
    assert refuted(available, **front, useRear="1100", stroke="0000") is None
    assert refuted(available, **front, useRear="0010", stroke="0000") is None


def test_the_condition_stands_in_the_spec_and_in_the_sentences(tmp_path: Path) -> None:
    roles = TWO_STATIONS.format("", " WHEN useRear AND NOT useFront")
    found = free_specification(tmp_path, "REQUIRE TWO_HAND LOGIC TYPE III, WINDOW T#20ms;", roles)
    assert [station.condition_text for station in found.stations] == [
        "",
        "useRear AND NOT useFront",
    ]
    sentences = {each.identifier: each.sentence for each in found.requirements}
    assert "the hands of the stations in use" in sentences["both_hands"]
    assert sentences["start_window_rear"].startswith("while useRear AND NOT useFront:")
    assert sentences["start_window_front"].startswith("'stroke'")
