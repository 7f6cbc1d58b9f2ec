"""WHEN: what is asked only while a condition holds, and what is asked as the condition changes.

The signal that a requirement speaks of counts as on only while the condition holds. So, on any
trace, a requirement with WHEN says what the same one without it says of the trace in which that
signal is off wherever the condition does not hold: no formula has a part in that.
"""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from random import Random

import pytest
from twohand.program.durations import Units
from twohand.scan.scan_record import ScanRecord
from twohand.specification.catalogue.words import WORDS as KNOWN
from twohand.specification.logic.evaluate import holds

from tests.support.samples.free_block import (
    CHOSEN,
    ONE_STATION,
    SIGNALS,
    asked,
    free_specification,
    refuted,
)
from tests.support.tiers import rows

SCANS = 14
MODE = "freeStroke"
"""An input of the free block that nothing else speaks of."""
OUTPUT = ("stroke",)
WORDS = {
    "TWO_HAND LOGIC TYPE I": OUTPUT,
    "TWO_HAND LOGIC TYPE I, RELEASE WITHIN 1 SCANS": OUTPUT,
    "TWO_HAND LOGIC TYPE III, WINDOW T#30ms": OUTPUT,
    "single_stroke (complete := complete)": OUTPUT,
    "two_hand_trip (complete := complete)": OUTPUT,
    "two_hand_trip (complete := complete, scans := 1, unchanged := T#30ms)": OUTPUT,
    "anti_tie_down (window := T#20ms)": OUTPUT,
    "hold_to_run (control := control)": OUTPUT,
    "hold_to_run (control := control, output := first)": ("first",),
    "stop (condition := guardOpen)": OUTPUT,
    "stop (condition := guardOpen, start := start)": OUTPUT,
    "manual_reset (reset := reset, ready := ready, safeguards := NOT guardOpen)": (
        "stroke",
        "ready",
    ),
    "no_restart": OUTPUT,
    "no_restart (start := start)": OUTPUT,
    "never_together (first := first, second := second)": ("first", "second"),
    "feedback_plausible (command := command, feedback := feedback, within := T#20ms, "
    "notice := notice, output := stroke)": ("command", "feedback", "stroke"),
    "end_positions (first := first, second := second, within := T#20ms, notice := notice)": (
        "first",
        "second",
    ),
    "discrepancy (first := first, second := second, within := T#20ms, notice := notice)": (
        "first",
        "second",
    ),
    "greatest_on_time (limit := T#30ms)": OUTPUT,
}


def random_trace(random: Random) -> dict[str, str]:
    """Signals that stay for a while; hands that mostly go together."""
    values = {name: random.random() < 0.4 for name in SIGNALS}
    rows: dict[str, str] = dict.fromkeys(SIGNALS, "")
    together = random.random() < 0.6
    for _ in range(SCANS):
        target = random.random() < 0.5
        for name in SIGNALS:
            if random.random() < 0.3:
                hand = together and name in ("left", "right", "third", "fourth")
                values[name] = target if hand else not values[name]
            rows[name] += "01"[values[name]]
    return rows


def masked(trace: dict[str, str], names: tuple[str, ...]) -> dict[str, str]:
    """The trace in which these signals are off wherever the mode is."""
    pairs = {name: zip(trace[name], trace[MODE], strict=True) for name in names}
    return trace | {
        name: "".join("01"[value == mode == "1"] for value, mode in pairs[name]) for name in names
    }


@pytest.mark.parametrize(
    "roles",
    rows([ONE_STATION, CHOSEN], lambda roles: roles is CHOSEN),
    ids=["one station", "stations chosen"],
)
@pytest.mark.parametrize("words", WORDS)
def test_a_condition_asks_what_is_asked_of_the_signal_while_it_holds(
    words: str, roles: str, tmp_path: Path
) -> None:
    hazard = "HAZARD dangerous;" if "TWO_HAND" in words or "single_stroke" in words else ""
    always = asked(tmp_path, f"{hazard} REQUIRE {words};", roles)
    in_mode = asked(tmp_path, f"{hazard} REQUIRE {words} WHEN {MODE};", roles)
    assert list(always) == list(in_mode)
    random = Random(words)
    counts: Counter[str] = Counter()
    for _ in range(150):
        trace = random_trace(random)
        for name, requirement in in_mode.items():
            expected = refuted(always[name], **masked(trace, WORDS[words]))
            assert refuted(requirement, **trace) == expected, (name, trace)
            counts[name] += expected is not None
    assert set(counts) == set(always)
    assert any(counts.values())


def test_every_word_that_can_be_required_is_among_them() -> None:
    assert {word.name for word in KNOWN} < {words.split()[0] for words in WORDS}


def test_an_output_that_is_on_as_the_mode_comes_starts(tmp_path: Path) -> None:
    found = asked(tmp_path, f"REQUIRE TWO_HAND LOGIC TYPE III, WINDOW T#30ms WHEN {MODE};")
    trace = {
        "left": "0011111111",
        "right": "0000001111",
        MODE: "0000000111",
        "stroke": "0000001111",
    }
    assert refuted(found["start_window"], **trace) == 7
    assert refuted(found["both_hands"], **trace) is None


def test_an_output_that_is_on_as_the_mode_goes_has_ended(tmp_path: Path) -> None:
    found = asked(tmp_path, f"REQUIRE TWO_HAND LOGIC TYPE II WHEN {MODE};")
    trace = {"left": "001111", "right": "001111", MODE: "111011", "stroke": "001111"}
    assert refuted(found["release_both"], **trace) == 4
    assert refuted(found["release_both"], **trace | {"left": "001011", "right": "001011"}) is None


def test_what_hands_do_outside_of_the_mode_counts(tmp_path: Path) -> None:
    found = asked(tmp_path, f"REQUIRE TWO_HAND LOGIC TYPE II WHEN {MODE};")
    trace = {"left": "1101", "right": "1101", MODE: "1001", "stroke": "1001"}
    assert refuted(found["release_both"], **trace) is None


@pytest.mark.long
def test_availability_is_asked_in_the_mode_only(tmp_path: Path) -> None:
    words = "REQUIRE TWO_HAND LOGIC TYPE I"
    found = asked(tmp_path, f"{words} WHEN {MODE}; AVAILABLE WITHIN 1 SCANS;")
    plain = asked(tmp_path, f"{words}; AVAILABLE WITHIN 1 SCANS WHEN {MODE};")
    random = Random(7)
    seen: set[int | None] = set()
    for _ in range(400):
        trace = random_trace(random)
        expected = refuted(plain["available"], **trace)
        assert refuted(found["available"], **trace) == expected
        seen.add(expected)
    assert len(seen) > 3


def test_the_widest_lag_is_that_of_starts_in_the_mode(tmp_path: Path) -> None:
    words = f"REQUIRE TWO_HAND LOGIC TYPE III, WINDOW T#30ms WHEN {MODE};"
    specification = free_specification(tmp_path, words)
    (lag,) = specification.lags
    never = dict.fromkeys(SIGNALS, False)
    modes = [(False, False), (True, False), (True, True)]
    scans = [never | {"stroke": stroke, MODE: mode} for stroke, mode in modes]
    records = [ScanRecord(Units(10 * n), Units(10), values) for n, values in enumerate(scans)]
    assert holds(lag.start, records, specification.clocking) == [False, False, True]


def test_the_sentence_says_when_and_what_a_change_is(tmp_path: Path) -> None:
    found = asked(tmp_path, f"REQUIRE no_restart WHEN {MODE} OR start;")
    asked_for = found["no_restart"]
    assert asked_for.sentence.startswith("while freeStroke OR start: when the supply comes")
    assert "as the condition changes" in asked_for.leaves_out
