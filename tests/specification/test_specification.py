"""A good spec is resolved: time, readings, roles, formulas, requirements."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.program import Operation, Read
from twohand.scan.clocking import Clocking
from twohand.specification.logic.formula import (
    Always,
    And,
    Atom,
    Before,
    Bound,
    Fell,
    FirstScan,
    Formula,
    Iff,
    Implies,
    Not,
    Once,
    Or,
    Previous,
    Response,
    Rose,
    Since,
    Until,
)
from twohand.specification.model.specification import Aim, Expectation, Requirement, Specification
from twohand.text.diagnostic import Severity

from tests.support.samples.specification_samples import load, load_text, spec_text


def requirement(specification: Specification, identifier: str) -> Requirement:
    return next(r for r in specification.requirements if r.identifier == identifier)


def asked(folder: Path, text: str) -> object:
    return requirement(load(folder, f"PROPERTY p : {text};"), "p").property


def always(folder: Path, text: str) -> Formula:
    found = asked(folder, text)
    assert isinstance(found, Always)
    return found.formula


# --- time --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("more", "clocking"),
    [
        ("SCAN T#10ms;", Clocking(1_000_000, 10, 10)),
        ("SCAN T#5ms..T#20ms;", Clocking(1_000_000, 5, 20)),
        ("SCAN T#0.3ms..T#20ms;", Clocking(100_000, 3, 200)),
        ("SCAN T#10ms; PROPERTY p : once(left, T#0.75ms);", Clocking(250_000, 40, 40)),
        ("SCAN T#10ms; UNIT T#100us;", Clocking(100_000, 100, 100)),
    ],
)
def test_the_unit_divides_a_millisecond_and_every_duration(
    more: str, clocking: Clocking, tmp_path: Path
) -> None:
    assert load(tmp_path, more, "SCAN").clocking == clocking


def test_a_literal_of_the_program_refines_the_unit(tmp_path: Path) -> None:
    text = "SPEC S SOURCE 'fine.st'; SCAN T#1ms; REACHABLE enable; END_SPEC"
    (specification,) = load_text(tmp_path, text)
    assert specification.clocking == Clocking(500_000, 2, 2)


def test_a_literal_of_the_plant_refines_the_unit(tmp_path: Path) -> None:
    more = "PLANT rod : Fine IN 'fine.st' (leftPalm := enable);"
    assert load(tmp_path, more).clocking.unit == 500_000


# --- choices -----------------------------------------------------------------------------------


def test_readings_are_open_unless_fixed(tmp_path: Path) -> None:
    readings = load(
        tmp_path, "Reading Edge_Call_Counts true; READING preset_latched FALSE;"
    ).readings
    assert (readings.edge_call_counts, readings.preset_latched) == (True, False)
    assert readings.zero_preset_at_once is None
    assert not readings.integers_wrap


def test_integers_wrap_and_loops_have_statements(tmp_path: Path) -> None:
    assert load(tmp_path).loop_bound == 100
    specification = load(tmp_path, "INTEGERS WRAP; LOOPS 7;")
    assert specification.readings.integers_wrap
    assert specification.loop_bound == 7


def test_statements_may_stand_in_any_order(tmp_path: Path) -> None:
    text = spec_text("EXPECT VIOLATED both_hands;")
    lines = text.splitlines()
    turned = "\n".join([lines[0], *reversed(lines[1:-1]), lines[-1]])
    first, second = load_text(tmp_path, text)[0], load_text(tmp_path, turned)[0]
    assert [r.identifier for r in first.requirements] == [r.identifier for r in second.requirements]
    assert second.requirements[0].expected is Expectation.VIOLATED


def test_a_file_can_have_several_specs(tmp_path: Path) -> None:
    text = spec_text() + spec_text().replace("SPEC Sample", "SPEC Other")
    assert [each.name for each in load_text(tmp_path, text)] == ["Sample", "Other"]


# --- roles -------------------------------------------------------------------------------------


def test_a_second_contact_is_assumed_to_agree_with_the_first(tmp_path: Path) -> None:
    specification = load(tmp_path, "HAND third = stop, NOT leftOpener;")
    (assumption,) = specification.assumptions
    assert isinstance(assumption.formula, Iff)
    assert assumption.span.text == "NOT leftOpener"
    assert [hand.name for hand in specification.hands] == ["left", "right", "third"]


def test_a_hand_may_bear_the_name_of_its_input(tmp_path: Path) -> None:
    specification = load(tmp_path, "HAND leftPalm = leftPalm; HAND right = rightPalm;", "HAND")
    pressed = specification.hands[0].pressed
    assert isinstance(pressed, Read)
    assert pressed.variable.name == "leftPalm"


def test_without_station_all_hands_are_of_one(tmp_path: Path) -> None:
    (only,) = load(tmp_path).stations
    assert (only.name, len(only.hands)) == ("station", 2)


def test_stations_group_hands_and_have_their_own_windows(tmp_path: Path) -> None:
    more = "HAND a = stop; HAND b = guardShut; STATION front = left, right; STATION rear = a, b;"
    specification = load(tmp_path, more)
    assert [len(station.hands) for station in specification.stations] == [2, 2]
    identifiers = [r.identifier for r in specification.requirements]
    assert "start_window_front" in identifiers
    assert "window_missed_rear" in identifiers
    assert len(specification.lags) == 2


def test_outputs_are_variables_of_the_program(tmp_path: Path) -> None:
    outputs = load(tmp_path, "OUTPUT enable, window.Q;", "OUTPUT").outputs
    assert [output.name for output in outputs] == ["enable", "window.Q"]


# --- window and true lag -----------------------------------------------------------------------


def window_of(specification: Specification) -> int | None:
    """What the formula of the start really bounds."""
    start = requirement(specification, "start_window").property
    assert isinstance(start, Always)
    assert isinstance(start.formula, Implies)
    since = start.formula.right
    assert isinstance(since, Since)
    assert isinstance(since.release, And)
    bounds = {part.bound for part in since.release.operands if isinstance(part, Once)}
    (bound,) = bounds
    return bound.high if bound else None


def test_a_window_bounds_the_sampled_lag(tmp_path: Path) -> None:
    specification = load(tmp_path)
    assert window_of(specification) == 480
    assert (specification.lags[0].window, specification.lags[0].true_lag) == (480, None)
    assert specification.warnings == ()


def test_a_true_lag_shortens_the_window_by_the_longest_scan(tmp_path: Path) -> None:
    more = "REQUIRE TWO_HAND LOGIC TYPE III, TRUE_LAG T#500ms;"
    specification = load(tmp_path, more, "REQUIRE")
    assert window_of(specification) == 480
    assert (specification.lags[0].window, specification.lags[0].true_lag) == (None, 500)
    assert specification.warnings == ()


@pytest.mark.parametrize(
    ("option", "code", "numbers"),
    [
        ("WINDOW T#600ms", "window-too-wide", ["600 ms", "500 ms"]),
        ("WINDOW T#500ms", "true-lag-too-wide", ["500 ms", "520 ms", "20 ms"]),
        ("TRUE_LAG T#510ms", "true-lag-too-wide", ["490 ms", "510 ms"]),
        ("TRUE_LAG T#501ms", "true-lag-too-wide", ["481 ms", "501 ms"]),
        ("WINDOW T#501ms", "window-too-wide", ["501 ms", "500 ms"]),
    ],
)
def test_a_window_wider_than_the_standards_is_warned_of(
    option: str, code: str, numbers: list[str], tmp_path: Path
) -> None:
    specification = load(tmp_path, f"REQUIRE TWO_HAND LOGIC TYPE III, {option};", "REQUIRE")
    (warning,) = specification.warnings
    assert (warning.code, warning.severity) == (code, Severity.WARNING)
    assert all(number in warning.message for number in numbers)
    assert "ISO 13851:2019, 5.8" in warning.message


@pytest.mark.parametrize(
    ("scan", "quiet", "warned", "below"),
    [
        # Sampled lags are any number of units: 480 + 20 is not above 500, 481 + 20 is.
        ("T#5ms..T#20ms", "T#480ms", "T#481ms", "501 ms"),
        # Whole scans of 7 ms: 70 of them and one more stay below 497, 71 reach up to 504.
        ("T#7ms", "T#496ms", "T#497ms", "504 ms"),
        ("T#10ms", "T#499ms", "T#500ms", "510 ms"),
        # At most one scan of 300 ms fits, 300 + 300 is above 500; none fits into 299 ms.
        ("T#300ms", "T#299ms", "T#300ms", "600 ms"),
    ],
)
def test_a_window_is_warned_of_exactly_where_true_lags_reach_the_standards(
    scan: str, quiet: str, warned: str, below: str, tmp_path: Path
) -> None:
    """Presses sampled d apart are truly less than d plus the longest scan apart (counted by
    hand)."""
    for number, (window, count) in enumerate(((quiet, 0), (warned, 1))):
        more = f"SCAN {scan}; REQUIRE TWO_HAND LOGIC TYPE III, WINDOW {window};"
        folder = tmp_path / str(number)
        folder.mkdir()
        warnings = load(folder, more, "REQUIRE SCAN").warnings
        assert len(warnings) == count
        assert all(below in warning.message for warning in warnings)


# --- formulas ----------------------------------------------------------------------------------


def test_an_expression_without_temporal_words_is_one_atom(tmp_path: Path) -> None:
    formula = always(tmp_path, "left AND (mode = Stroke OR speed > TOP_SPEED) XOR lamp")
    assert isinstance(formula, Atom)
    assert formula.histories == ()


def test_names_of_enumeration_values_and_constants_are_known(tmp_path: Path) -> None:
    for text in ("mode = Mode#Stroke", "mode = Stroke", "speed < TOP_SPEED", "window.ET < T#1s"):
        assert isinstance(always(tmp_path, text), Atom)


def test_prev_of_a_number_becomes_a_history(tmp_path: Path) -> None:
    formula = always(tmp_path, "speed > prev(speed, 2) + 1 AND prev(prev(speed)) = 0")
    assert isinstance(formula, And)
    first, second = formula.operands
    assert isinstance(first, Atom)
    assert [history.count for history in first.histories] == [2]
    assert isinstance(second, Atom)
    inner, outer = second.histories
    assert isinstance(outer.expression, Read)
    assert outer.expression.variable is inner.variable
    names = {history.variable.name for history in (*first.histories, inner, outer)}
    assert len(names) == 3


def test_prev_of_a_formula_is_previous(tmp_path: Path) -> None:
    formula = always(tmp_path, "prev(lamp, 3) AND prev(rose(left))")
    assert isinstance(formula, And)
    first, second = formula.operands
    assert isinstance(first, Previous)
    assert first.count == 3
    assert isinstance(second, Previous)
    assert isinstance(second.operand, Rose)


def test_stable_compares_numbers_as_numbers(tmp_path: Path) -> None:
    number = always(tmp_path, "stable(speed)")
    assert isinstance(number, Atom)
    assert isinstance(number.expression, Operation)
    assert len(number.histories) == 1
    truth = always(tmp_path, "stable(left AND lamp)")
    assert isinstance(truth, Iff)


def test_connectives_over_temporal_words(tmp_path: Path) -> None:
    formula = always(tmp_path, "NOT rose(left) OR FIRST_SCAN")
    assert isinstance(formula, Or)
    assert isinstance(formula.operands[0], Not)
    assert isinstance(formula.operands[1], FirstScan)
    for text in ("rose(left) <> lamp", "rose(left) XOR lamp"):
        formula = always(tmp_path, text)
        assert isinstance(formula, Not)
        assert isinstance(formula.operand, Iff)


@pytest.mark.parametrize(
    ("text", "bound"),
    [
        ("T#20ms", Bound(0, 20)),
        ("T#20ms..", Bound(20, None)),
        ("3 SCANS", Bound(0, 3, in_scans=True)),
        ("3.. SCANS", Bound(3, None, in_scans=True)),
    ],
)
def test_bounds_are_in_units_or_scans(text: str, bound: Bound, tmp_path: Path) -> None:
    formula = always(tmp_path, f"once(left, {text})")
    assert isinstance(formula, Once)
    assert formula.bound == bound


def test_forms_of_properties(tmp_path: Path) -> None:
    plain = asked(tmp_path, "left -> enable")
    assert isinstance(plain, Always)
    assert plain.trigger is not None
    never = asked(tmp_path, "NEVER left AND lamp")
    assert isinstance(never, Always)
    assert isinstance(never.formula, Not)
    response = asked(tmp_path, "fell(left) -> NOT enable WITHIN T#20ms")
    assert isinstance(response, Response)
    assert isinstance(response.trigger, Fell)
    assert response.bound == Bound(0, 20)
    assert isinstance(asked(tmp_path, "left -> NOT enable UNTIL right"), Until)
    assert isinstance(asked(tmp_path, "FIRST_SCAN -> left BEFORE enable"), Before)


# --- requirements ------------------------------------------------------------------------------


def test_requirements_come_in_order_with_their_expectations(tmp_path: Path) -> None:
    more = (
        "AVAILABLE WITHIN 1 SCANS WHEN guardShut AND NOT stop; REACHABLE enable; REACHABLE lamp;"
        "PROPERTY guard_first : (* why *) NOT guardShut -> NOT enable;"
        "EXPECT VIOLATED Guard_First, start_window; EXPECT VACUOUS reachable_2;"
    )
    specification = load(tmp_path, more)
    assert [(r.identifier, r.expected.value) for r in specification.requirements] == [
        ("both_hands", "PROVED"),
        ("release_both", "PROVED"),
        ("power_up", "PROVED"),
        ("start_window", "VIOLATED"),
        ("window_missed", "PROVED"),
        ("available", "PROVED"),
        ("reachable", "PROVED"),
        ("reachable_2", "VACUOUS"),
        ("guard_first", "VIOLATED"),
    ]
    assert requirement(specification, "guard_first").sentence == (
        "property 'guard_first': NOT guardShut -> NOT enable"
    )
    assert "guardShut AND NOT stop" in requirement(specification, "available").sentence


def test_reachable_asks_for_a_run(tmp_path: Path) -> None:
    found = requirement(load(tmp_path, "REACHABLE can_run : enable;"), "can_run")
    assert found.aim is Aim.REACHABLE
    assert isinstance(found.property, Always)
    assert isinstance(found.property.formula, Not)


def test_a_spec_needs_no_two_hand_control(tmp_path: Path) -> None:
    specification = load(tmp_path, "PROPERTY p : stop -> NOT enable;", "HAND OUTPUT REQUIRE")
    assert (specification.stations, specification.outputs, specification.lags) == ((), (), ())


def test_assumptions_may_speak_of_inputs_their_past_and_the_first_scan(tmp_path: Path) -> None:
    more = (
        "ASSUME NOT (left AND stop); ASSUME FIRST_SCAN -> NOT once(left); ASSUME prev(speed) = 0;"
    )
    assert len(load(tmp_path, more).assumptions) == 3
