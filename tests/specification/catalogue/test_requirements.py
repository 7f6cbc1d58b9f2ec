"""The requirements of the catalogue besides TWO_HAND, on traces written by hand."""

from __future__ import annotations

from pathlib import Path

from twohand.specification.catalogue.words import WORDS, ParameterKind

from tests.support.samples.free_block import CHOSEN, ONE_STATION, asked, refuted

GIVEN = {
    ParameterKind.TIME: "T#20ms",
    ParameterKind.SPAN: "T#20ms",
    ParameterKind.COUNT: "2",
}
ONE_STROKE = "REQUIRE single_stroke (complete := complete);"
TRIP = "REQUIRE two_hand_trip (complete := complete);"


def test_every_word_gives_the_identifiers_that_it_states(tmp_path: Path) -> None:
    for word in WORDS:
        values = ((each.name, GIVEN.get(each.kind, "start")) for each in word.parameters)
        given = ", ".join(f"{name} := {value}" for name, value in values)
        bounce = "BOUNCE T#10ms;" if word.bouncing else ""
        found = asked(tmp_path, f"{bounce} REQUIRE {word.name} ({given});")
        assert tuple(found) == word.identifiers
        assert all(each.authority and each.sentence for each in found.values())


def test_a_label_names_the_requirements(tmp_path: Path) -> None:
    found = asked(
        tmp_path,
        "REQUIRE jog : hold_to_run (control := control);"
        "REQUIRE press : two_hand_trip (complete := complete);"
        "REQUIRE hold_to_run (control := start); EXPECT VIOLATED jog, press_concurrent;",
    )
    press = ["press_concurrent", "press_anti_repeat", "press_ends"]
    assert [*found] == ["jog", *press, "hold_to_run"]
    assert found["jog"].expected.value == "VIOLATED"
    assert found["hold_to_run"].expected.value == "PROVED"


# --- hold-to-run, reset, supply ----------------------------------------------------------------


def test_hold_to_run_ends_with_the_control(tmp_path: Path) -> None:
    hold = asked(tmp_path, "REQUIRE hold_to_run (control := control);")["hold_to_run"]
    assert refuted(hold, control="0110", stroke="0110") is None
    assert refuted(hold, control="0110", stroke="0111") == 3
    other = "REQUIRE hold_to_run (control := control, output := start AND NOT first);"
    hold = asked(tmp_path, other, "")["hold_to_run"]
    assert refuted(hold, control="010", start="111", first="101") is None
    assert refuted(hold, control="010", start="111", first="100") == 2


def test_a_stop_keeps_the_output_off_whatever_the_hazard(tmp_path: Path) -> None:
    """IEC 60204-1, chapter 9 (from a secondary source): a stop overrides a start."""
    demand = f"HAZARD dangerous; {ONE_STROKE} REQUIRE stop (condition := guardOpen);"
    off = asked(tmp_path, demand)["stop_off"]
    assert refuted(off, left="1111", right="1111", guardOpen="0010", stroke="0101") is None
    assert refuted(off, left="1111", right="1111", guardOpen="0010", stroke="0110") == 2
    assert refuted(off, left="0", right="0", guardOpen="1", stroke="1") == 0


def test_hands_pressed_during_a_stop_do_not_count_after_it(tmp_path: Path) -> None:
    """Directive 2006/42/EC, Annex I, 1.2.4.3: the end of a stop only permits to start."""
    end = asked(tmp_path, "REQUIRE stop (condition := guardOpen);")["stop_end_starts_nothing"]
    stopped = {"guardOpen": "0111000", "stroke": "1000100"}
    held = {"left": "1111111", "right": "1111111"}
    assert refuted(end, **stopped, **held) == 4
    assert refuted(end, **stopped, left="1101111", right="1101111") == 4, "during the stop"
    assert refuted(end, **stopped, left="1111111", right="1111011") == 4, "one hand is not all"
    stopped["stroke"] = "1000001"
    assert refuted(end, **stopped, left="1111001", right="1111001") is None
    assert refuted(end, **stopped, left="1111011", right="1111101") == 6, "never in one scan"
    assert refuted(end, guardOpen="110", left="110", right="110", stroke="001") is None
    assert refuted(end, guardOpen="110", left="111", right="110", stroke="001") == 2
    assert refuted(end, guardOpen="011", left="111", right="111", stroke="111") is None


def test_a_start_counts_in_a_later_scan_than_the_end_of_a_stop(tmp_path: Path) -> None:
    demand = "REQUIRE stop (condition := guardOpen, start := start);"
    end = asked(tmp_path, demand, "OUTPUT stroke;")["stop_end_starts_nothing"]
    assert refuted(end, guardOpen="1000", start="0010", stroke="0011") is None
    assert refuted(end, guardOpen="1000", start="0100", stroke="0100") == 1
    assert refuted(end, guardOpen="1000", start="0111", stroke="0001") == 3
    other = "REQUIRE stop (condition := guardOpen, start := start, output := NOT notice);"
    end = asked(tmp_path, other, "")["stop_end_starts_nothing"]
    assert refuted(end, guardOpen="100", notice="110") == 2


def test_each_stop_is_reported_under_its_own_name(tmp_path: Path) -> None:
    found = asked(
        tmp_path,
        "REQUIRE guard : stop (condition := guardOpen);"
        "REQUIRE button : stop (condition := stopPressed OR prev(stopPressed));",
    )
    assert [*found] == [
        *("guard_off", "guard_end_starts_nothing"),
        *("button_off", "button_end_starts_nothing"),
    ]
    assert "stopPressed OR prev(stopPressed)" in found["button_off"].sentence


RESET = "REQUIRE manual_reset (reset := reset, ready := ready, safeguards := NOT guardOpen{});"


def test_a_reset_is_accepted_when_its_button_is_let_go(tmp_path: Path) -> None:
    """ISO 13849-1:2015, 5.2.2 (from a secondary source): by the release of its actuator."""
    release = asked(tmp_path, RESET.format(""))["manual_reset_release"]
    assert refuted(release, reset="01101", ready="00010") is None
    assert refuted(release, reset="01101", ready="00110") == 2
    assert refuted(release, reset="01101", ready="01110") == 1
    assert refuted(release, reset="01101", ready="00001") == 4
    assert refuted(release, reset="01100", ready="00001") == 4, "long ago"
    assert refuted(release, reset="1101", ready="0010") == 2, "on in the first scan"
    assert refuted(release, reset="1111", ready="0010") == 2, "welded"
    assert refuted(release, reset="00", ready="11") is None


def test_a_reset_is_pressed_and_let_go_with_every_safeguard(tmp_path: Path) -> None:
    """ISO 13849-1:2015, 5.2.2 (from a secondary source): only with all of them in function."""
    release = asked(tmp_path, RESET.format(""))["manual_reset_release"]
    tried = {"reset": "011110", "ready": "000001"}
    assert refuted(release, **tried, guardOpen="100000") is None
    assert refuted(release, **tried, guardOpen="110000") == 5, "pressed with it open"
    assert refuted(release, **tried, guardOpen="001000") == 5, "open meanwhile"
    assert refuted(release, **tried, guardOpen="000001") == 5, "let go with it open"


def test_a_safeguard_that_is_lost_takes_the_reset_away_at_once(tmp_path: Path) -> None:
    lost = asked(tmp_path, RESET.format(""))["manual_reset_safeguard_lost"]
    assert refuted(lost, guardOpen="01110", ready="10001") is None
    assert refuted(lost, guardOpen="01110", ready="11000") == 1
    assert refuted(lost, guardOpen="01110", ready="10010") == 3


def test_the_stop_is_held_until_the_reset(tmp_path: Path) -> None:
    found = asked(tmp_path, RESET.format(""))
    assert refuted(found["manual_reset_stop_held"], ready="0110", stroke="0010") is None
    assert refuted(found["manual_reset_stop_held"], ready="0110", stroke="0011") == 3
    assert refuted(found["manual_reset_power_up"], ready="0111") is None
    assert refuted(found["manual_reset_power_up"], ready="1000") == 0


def test_without_supply_nothing_is_ready_and_no_button_is_pressed(tmp_path: Path) -> None:
    found = asked(tmp_path, f"POWER CYCLES; {RESET.format('')}")
    release, begins = found["manual_reset_release"], found["manual_reset_power_up"]
    pressed = {"reset": "001100", "ready": "000010"}
    assert refuted(release, **pressed, **{"power.on": "111111"}) is None
    assert refuted(release, **pressed, **{"power.on": "011111"}) is None
    assert refuted(release, **pressed, **{"power.on": "000111"}) == 4, "pressed without supply"
    assert refuted(release, **pressed, **{"power.on": "001111"}) == 4, "on as it comes"
    assert refuted(release, reset="0011100", ready="0000010", **{"power.on": "1110111"}) == 5
    assert refuted(begins, ready="110011", **{"power.on": "001100"}) is None
    assert refuted(release, ready="01", **{"power.on": "01"}) is None, "that is of power-up"
    assert refuted(begins, ready="011100", **{"power.on": "110110"}) == 3
    lost = found["manual_reset_safeguard_lost"]
    assert refuted(lost, guardOpen="11", ready="11", **{"power.on": "00"}) is None
    held = found["manual_reset_stop_held"]
    assert refuted(held, ready="11", stroke="01", **{"power.on": "10"}) == 1


def test_hands_that_are_on_as_it_is_reset_start_nothing(tmp_path: Path) -> None:
    starts = asked(tmp_path, RESET.format(""))["manual_reset_starts_nothing"]
    held = {"left": "1111111", "right": "1111111", "ready": "0011111"}
    assert refuted(starts, **held, stroke="0010000") == 2
    assert refuted(starts, **held, stroke="0000001") == 6
    tapped = {"left": "1111011", "right": "1111111", "ready": "0011111"}
    assert refuted(starts, **tapped, stroke="0000001") == 6, "one of them was tapped"
    one_by_one = {"left": "1110111", "right": "1111011", "ready": "0011111"}
    assert refuted(starts, **one_by_one, stroke="0000001") == 6
    both = {"left": "1110011", "right": "1111011", "ready": "0011111"}
    assert refuted(starts, **both, stroke="0000001") is None
    before = {"left": "1001111", "right": "1011111", "ready": "0011111"}
    assert refuted(starts, **before, stroke="0000001") == 6, "let go before the reset"
    assert refuted(starts, left="0001", right="0001", ready="0011", stroke="0001") is None


def test_a_start_button_is_a_separate_action(tmp_path: Path) -> None:
    starts = asked(tmp_path, RESET.format(", start := start"), "OUTPUT stroke;")
    starts_nothing = starts["manual_reset_starts_nothing"]
    assert refuted(starts_nothing, ready="0111", start="0001", stroke="0001") is None
    assert refuted(starts_nothing, ready="0111", start="1111", stroke="0001") == 3
    assert refuted(starts_nothing, ready="0111", start="0111", stroke="0100") == 1
    assert refuted(starts_nothing, ready="0111", start="0000", stroke="1111") == 1


def test_supply_that_comes_starts_nothing(tmp_path: Path) -> None:
    restart = asked(tmp_path, "REQUIRE no_restart;")["no_restart"]
    assert refuted(restart, left="0011", right="0011", stroke="0011") is None
    assert refuted(restart, left="1111", right="0111", stroke="0001") == 3
    assert refuted(restart, left="1011", right="0001", stroke="0001") is None
    assert refuted(restart, left="0", right="0", stroke="1") == 0
    restart = asked(tmp_path, "REQUIRE no_restart (start := start);", "OUTPUT stroke;")[
        "no_restart"
    ]
    assert refuted(restart, start="0011", stroke="0011") is None
    assert refuted(restart, start="1111", stroke="0001") == 3
    assert refuted(restart, start="0001", stroke="0100") == 1


# --- outputs and feedback ----------------------------------------------------------------------


def test_opposed_outputs_are_never_on_together(tmp_path: Path) -> None:
    demand = "REQUIRE never_together (first := first, second := NOT second);"
    never = asked(tmp_path, demand, "")["never_together"]
    assert refuted(never, first="0101", second="1111") is None
    assert refuted(never, first="0101", second="1110") == 3


def test_what_is_commanded_is_seen_in_time_or_noticed(tmp_path: Path) -> None:
    demand = (
        "REQUIRE feedback_plausible (command := command, feedback := feedback, "
        "within := T#20ms, notice := notice, output := stroke);"
    )
    found = asked(tmp_path, demand, "")
    noticed, off = found["feedback_plausible"], found["feedback_plausible_off"]
    assert refuted(noticed, command="01111", feedback="00011", notice="00000") is None
    assert refuted(noticed, command="01111", feedback="00000", notice="00000") == 4
    assert refuted(noticed, command="01111", feedback="00000", notice="00010") is None
    assert refuted(noticed, command="00000", feedback="01111", notice="00000") == 4
    assert refuted(off, command="01111", feedback="00000", stroke="01111") == 4
    assert refuted(off, command="01111", feedback="00000", stroke="01100") is None
    assert refuted(off, command="01100", feedback="00000", stroke="11111") is None, "it ended"


def test_two_contacts_differ_only_for_a_time(tmp_path: Path) -> None:
    demand = (
        "REQUIRE discrepancy (first := first, second := NOT second, within := T#0ms, "
        "notice := notice);"
    )
    contacts = asked(tmp_path, demand, "")
    assert [*contacts] == ["discrepancy"]
    assert refuted(contacts["discrepancy"], first="0101", second="1010", notice="0000") is None
    assert refuted(contacts["discrepancy"], first="0100", second="1011", notice="0010") is None
    assert refuted(contacts["discrepancy"], first="0110", second="1110", notice="0000") == 2


def test_two_end_positions_at_once_are_noticed(tmp_path: Path) -> None:
    demand = (
        "REQUIRE end_positions (first := first, second := second, within := T#10ms, "
        "notice := notice);"
    )
    ends = asked(tmp_path, demand, "")["end_positions"]
    assert refuted(ends, first="0110", second="1011", notice="0000") is None
    assert refuted(ends, first="0111", second="1111", notice="0000") == 3
    assert refuted(ends, first="0111", second="1111", notice="0010") is None


def test_an_output_goes_off_within_its_greatest_time(tmp_path: Path) -> None:
    limit = asked(tmp_path, "REQUIRE greatest_on_time (limit := T#20ms);")["greatest_on_time"]
    assert refuted(limit, stroke="0110110") is None
    assert refuted(limit, stroke="01110") == 4
    assert refuted(limit, stroke="01111") == 4
    assert refuted(limit, stroke="1110") == 3
    assert refuted(limit, stroke="1101") is None


# --- stations in use ---------------------------------------------------------------------------


def test_hands_of_a_station_out_of_use_count_for_nothing(tmp_path: Path) -> None:
    found = asked(tmp_path, ONE_STROKE, CHOSEN)
    hands = {"left": "01101", "right": "01101"}
    for third in ("00000", "11111", "01010"):
        for each in found.values():
            trace = {**hands, "third": third, "stroke": "01101"}
            assert refuted(each, **trace, useFront="11111") is None
    joined = {"useFront": "11111", "useRear": "00100"}
    assert refuted(found["single_stroke_held"], **hands, **joined, stroke="01100") == 2


def test_nothing_runs_while_no_station_is_in_use(tmp_path: Path) -> None:
    found = asked(tmp_path, TRIP, CHOSEN)
    assert refuted(found["two_hand_trip_concurrent"], left="1", right="1", stroke="1") == 0


def test_taking_a_station_out_of_use_releases_nothing(tmp_path: Path) -> None:
    again = asked(tmp_path, TRIP, CHOSEN)["two_hand_trip_anti_repeat"]
    held = {"left": "11111", "right": "11111", "stroke": "01001"}
    assert refuted(again, **held, useFront="11011") == 4


def test_a_demand_speaks_of_one_station(tmp_path: Path) -> None:
    assert (
        "'l' and 'r' are both on"
        in asked(tmp_path, TRIP, ONE_STATION)["two_hand_trip_concurrent"].sentence
    )
