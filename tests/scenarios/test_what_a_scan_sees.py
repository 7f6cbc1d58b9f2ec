"""Which scan sees a change, what stays, what a hand sets, which runs are played."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.scenarios.play import play

from tests.scenarios.samples import BLOCK, played, records, scenario_of, seen, written


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return written(tmp_path)


def test_the_first_scan_not_earlier_sees_a_change(folder: Path) -> None:
    found = seen(folder, "AT T#10ms a := TRUE; AT T#25ms a := FALSE; UNTIL T#40ms;", "a")
    assert found == {0: False, 10: True, 20: True, 30: False, 40: False}


def test_of_two_changes_between_scans_the_later_in_time_counts(folder: Path) -> None:
    """Also where both are in one unit, and whatever their order in the text."""
    text = "AT T#10800us a := TRUE; AT T#10200us a := FALSE; AT T#15ms n := 2; UNTIL T#20ms;"
    assert seen(folder, text, "a")[20] is True


def test_of_two_changes_at_one_time_the_second_counts(folder: Path) -> None:
    assert seen(folder, "AT T#10ms a := TRUE; AT T#10ms a := FALSE;", "a")[10] is False


def test_a_change_that_no_scan_sees_is_told(folder: Path) -> None:
    shown = played(folder, "AT T#12ms a := TRUE; AT T#18ms a := FALSE; UNTIL T#40ms;")
    missed = shown.first.execution.unseen
    assert [(each.time, each.value) for each in missed] == [(12, True)]


def test_a_change_that_is_said_again_is_not_missed(folder: Path) -> None:
    shown = played(folder, "AT T#12ms a := TRUE; AT T#18ms a := TRUE; UNTIL T#40ms;")
    assert shown.first.execution.unseen == ()


def test_a_hand_sets_all_its_contacts_and_is_off_at_first(folder: Path) -> None:
    text = "AT T#10ms left := TRUE; UNTIL T#10ms;"
    assert seen(folder, text, "leftNO") == {0: False, 10: True}
    assert seen(folder, text, "leftNC") == {0: True, 10: False}


def test_values_of_every_type_are_sampled_as_written(folder: Path) -> None:
    text = "INITIALLY n := -3, t := T#20ms, w := 16#FF, mode := Run; UNTIL T#10ms;"
    first = records(folder, text)[0].values
    assert (first["n"], first["t"], first["w"], first["mode"]) == (-3, 20, 255, 1)


def test_what_the_block_writes_is_set_for_one_scan(folder: Path) -> None:
    text = "AT T#10ms shared := TRUE; UNTIL T#40ms;"
    assert seen(folder, text, "kept") == {0: 3, 10: 4, 20: 4, 30: 4, 40: 4}


def test_what_others_write_is_set_for_one_scan_and_begins_as_declared(tmp_path: Path) -> None:
    folder = written(tmp_path, "OUTSIDE kept;")
    text = "AT T#10ms kept := 7; AT T#20ms shared := TRUE; UNTIL T#30ms;"
    assert seen(folder, text, "kept") == {0: 3, 10: 7, 20: 8, 30: 8}


def test_before_power_up_nothing_but_inputs_is_sampled(folder: Path) -> None:
    found = records(folder, "AT T#-15ms a := TRUE; AT T#10ms n := 1;")
    assert [each.time for each in found] == [-20, -10, 0, 10]
    assert [each.values["a"] for each in found] == [False, True, True, True]
    assert "q" not in found[0].values


def test_stated_scan_times_are_those_of_the_run(tmp_path: Path) -> None:
    folder = written(tmp_path, longest="..T#30ms")
    text = "SCAN T#30ms, 2 * T#15ms, T#20ms; BEFORE T#10ms, T#12ms; AT T#16ms a := TRUE;"
    found = records(folder, text)
    assert [each.time for each in found] == [-42, -30, 0, 15, 30, 50]
    assert [each.elapsed for each in found] == [10, 12, 30, 15, 15, 20]
    assert [each.values["a"] for each in found] == [False, False, False, False, True, True]


def test_a_range_is_played_with_both_ends_and_seeded_times_between(tmp_path: Path) -> None:
    scenario = scenario_of(written(tmp_path, longest="..T#30ms"), "AT T#300ms n := 1;")
    shown = play(scenario, times=3, seed=5)
    assert [each.words for each in shown.times] == [
        "shortest", "longest", *(f"random, number {n} of seed 5" for n in (1, 2, 3)),
    ]  # fmt: skip
    again, other = play(scenario, times=3, seed=5), play(scenario, times=3, seed=6)
    assert [list(_elapsed(each)) for each in (shown, again)] == 2 * [list(_elapsed(shown))]
    assert list(_elapsed(shown)) != list(_elapsed(other))


def _elapsed(shown: object) -> list[int]:
    times = shown.times[-1].elapsed()  # type: ignore[attr-defined]
    return [next(times) for _ in range(20)]


def test_a_fixed_scan_time_is_played_once(folder: Path) -> None:
    assert len(played(folder, "AT T#30ms n := 1;").times) == 1


def test_every_choice_of_what_the_run_asks_for_is_played(folder: Path) -> None:
    shown = played(folder, "AT T#10ms a := TRUE; UNTIL T#60ms;")
    assert shown.readings == ("edge_call_counts", "preset_latched")
    assert shown.runs == 4
    fixed = played(folder, "READING preset_latched TRUE; AT T#10ms a := TRUE; UNTIL T#60ms;")
    assert fixed.readings == ("edge_call_counts",)
    assert fixed.runs == 2


def test_what_no_run_asks_for_is_played_once(folder: Path) -> None:
    assert played(folder, "AT T#10ms n := 1; UNTIL T#60ms;").runs == 1


def test_the_supply_goes_and_comes_back(tmp_path: Path) -> None:
    folder = written(tmp_path, "POWER CYCLES;", block=BLOCK.replace("shared : BOOL", "x : BOOL")
                     .replace("IF shared THEN shared := FALSE; kept := kept + 1; END_IF;",
                              "kept := kept + 1;"))  # fmt: skip
    text = "INITIALLY a := TRUE; AT T#20ms POWER OFF; AT T#40ms POWER ON; UNTIL T#50ms;"
    assert seen(folder, text, "kept") == {0: 4, 10: 5, 20: 3, 30: 3, 40: 4, 50: 5}
    assert seen(folder, text, "q")[20] is False


def test_the_clock_begins_where_it_is_said(tmp_path: Path) -> None:
    block = """FUNCTION_BLOCK Shown
    VAR_INPUT a, leftNO, leftNC : BOOL; END_VAR
    VAR_OUTPUT q : BOOL; END_VAR
    VAR begun, passed : TIME; END_VAR
    IF a THEN begun := TIME(); END_IF;
    passed := TIME() - begun; q := a;
    END_FUNCTION_BLOCK
    """
    folder = written(tmp_path, block=block)
    text = "AT T#0s CLOCK T#5s; AT T#10ms a := TRUE; AT T#20ms a := FALSE; UNTIL T#30ms;"
    assert seen(folder, text, "TIME()") == {0: 5000, 10: 5010, 20: 5020, 30: 5030}
    assert seen(folder, text, "passed") == {0: 5000, 10: 0, 20: 10, 30: 20}
