"""What a number says, and what several of them say together."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from twohand.probe.number import (
    ASKED_NUMBERS,
    NOT_LOOKED_AT,
    READINGS,
    Observation,
    Seen,
    check_digits,
    conclusion,
    observation,
    reading_lines,
)
from twohand.scan.clocking import Readings

ALL = dict.fromkeys(READINGS, Seen.TRUE)


def number(seen: list[Seen], version: int = 1, rounds: int = 3) -> int:
    bits = version
    for each in seen:
        bits = bits * 4 + each
    body = bits * 10 + rounds
    return body * 100 + check_digits(body)


def three(*, clock: Seen = Seen.TRUE, **changed: Seen) -> list[Observation]:
    return [Observation(ALL | changed, clock)] * ASKED_NUMBERS


def test_check_digits_are_those_of_the_standard() -> None:
    """ISO/IEC 7064, the example of MOD 97-10 (from memory): 794 becomes 79444."""
    assert check_digits(794) == 44


def test_every_reading_is_looked_at_or_said_not_to_be() -> None:
    named = {*READINGS, *NOT_LOOKED_AT}
    assert named == {*Readings().open}


@given(st.lists(st.sampled_from(Seen), min_size=8, max_size=8))
def test_a_number_says_what_was_put_into_it(seen: list[Seen]) -> None:
    found = observation(number(seen))
    assert [*found.readings.values(), found.clock_is_still] == seen


def test_a_wrong_check_digit_is_noticed() -> None:
    right = number([Seen.TRUE] * 8)
    with pytest.raises(ValueError, match="check digits"):
        observation(right + 1)


@given(st.lists(st.sampled_from(Seen), min_size=8, max_size=8), st.data())
def test_a_wrong_digit_or_two_that_changed_places_are_noticed(
    seen: list[Seen], data: st.DataObject
) -> None:
    digits = [*str(number(seen))]
    place = data.draw(st.integers(0, len(digits) - 1))
    wrong = digits.copy()
    wrong[place] = data.draw(st.sampled_from([d for d in "0123456789" if d != digits[place]]))
    swapped = digits.copy()
    swapped[place - 1 : place + 1] = reversed(digits[place - 1 : place + 1])
    for each in (wrong, swapped, digits[:-1]):
        if each != digits:
            with pytest.raises(ValueError, match="check digits"):
                observation(int("".join(each)))


@pytest.mark.parametrize(("version", "rounds"), [(2, 3), (0, 3), (1, 2), (1, 4)])
def test_numbers_that_the_program_cannot_show_are_refused(version: int, rounds: int) -> None:
    with pytest.raises(ValueError, match=r"version|rounds"):
        observation(number([Seen.TRUE] * 8, version, rounds))


@pytest.mark.parametrize("wrong", [0, -1, 97, 10**30])
def test_other_numbers_are_refused(wrong: int) -> None:
    with pytest.raises(ValueError, match=r"check digits|version"):
        observation(wrong)


def test_what_all_starts_show_is_fixed() -> None:
    found = conclusion(three(preset_latched=Seen.FALSE))
    assert found.fixed == {**dict.fromkeys(READINGS, True), "preset_latched": False}
    assert not found.without_effect


def test_the_first_scan_does_not_matter_where_no_edge_call_counts() -> None:
    found = conclusion(three(edge_call_counts=Seen.FALSE, first_scan_has_time=Seen.FALSE))
    assert "first_scan_has_time" not in found.fixed
    assert found.without_effect == ("first_scan_has_time",)


@pytest.mark.parametrize(
    "seen",
    [
        three(zero_preset_at_once=Seen.NEITHER),
        three(zero_preset_at_once=Seen.NOT_CLEAR),
        three(edge_call_counts=Seen.FALSE),
        three(clock=Seen.FALSE),
        three(clock=Seen.NEITHER),
        three(clock=Seen.NOT_CLEAR),
        three()[1:],
        [*three()[1:], *three(loop_leaves_past_end=Seen.FALSE)[:1]],
    ],
)
def test_one_thing_that_is_not_clear_leaves_all_readings_open(seen: list[Observation]) -> None:
    found = conclusion(seen)
    assert not found.fixed
    assert found.not_clear or found.not_modelled


def test_readings_become_statements_to_fill_in() -> None:
    (line,) = reading_lines({"preset_latched": False})
    assert line.startswith("READING preset_latched FALSE SHOWN BY 'controller ?, firmware ?")
