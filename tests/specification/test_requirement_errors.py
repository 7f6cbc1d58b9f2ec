"""What is wrong with a requirement or with the condition of a station is told at its place."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

import pytest

from tests.support.samples.specification_samples import errors_of, spec_text


class Fault(NamedTuple):
    """``more`` is put into the spec, ``without`` some statements; the place is in « »."""

    code: str
    more: str
    help: str = ""
    without: str = ""


STROKE = "REQUIRE single_stroke (complete := rodHome{})"
TRIP = "REQUIRE two_hand_trip (complete := rodHome{})"
ALONE = "REQUIRE HAND OUTPUT"
TWO = "HAND third = stop; HAND fourth = guardShut; STATION front = left, right;"

FAULTS = [
    Fault("unknown-requirement", "REQUIRE «hold_to_rum» (control := stop);", "'hold_to_run'"),
    Fault("unknown-requirement", "REQUIRE «quite_other»;", "twohand requirements"),
    Fault("unknown-requirement", "REQUIRE «two_hands»;", "TWO_HAND LOGIC TYPE", "REQUIRE"),
    Fault("unknown-requirement", "REQUIRE «TWO_HANDS» LOGIC TYPE I;", "TWO_HAND LOGIC", "REQUIRE"),
    Fault("unknown-requirement", "REQUIRE «release_both»;", "part of REQUIRE TWO_HAND"),
    Fault("unknown-parameter", "REQUIRE hold_to_run («contrl» := stop);", "'control'"),
    Fault("unknown-parameter", "REQUIRE two_hand_trip («window» := T#5ms);", "complete := ..."),
    Fault("missing-parameter", "«REQUIRE hold_to_run»;", "control := ..."),
    Fault("missing-parameter", "«REQUIRE hold_to_run ()»;", "[output := ...]"),
    Fault("missing-parameter", "«REQUIRE discrepancy (first := stop)»;", "within := T#..."),
    Fault("missing-parameter", "«REQUIRE two_hand_trip»;", "(complete := ..., [scans := 1], "),
    Fault("missing-parameter", "«REQUIRE single_stroke (scans := 1)»;", "[unchanged := T#...])"),
    Fault("not-a-number", f"{STROKE.format(', scans := «speed»')};", "for instance 1"),
    Fault("not-a-number", f"{STROKE.format(', scans := «INT#1»')};", "for instance 1"),
    Fault("not-a-number", f"{STROKE.format(', scans := «rose(stop)»')};", "for instance 1"),
    Fault("not-a-number", f"{STROKE.format(', scans := «T#10ms»')};", "for instance 1"),
    Fault("not-a-number", f"{STROKE.format(', scans := «-1»')};", "for instance 1"),
    Fault("not-a-number", f"{STROKE.format(', scans := «TRUE»')};", "for instance 1"),
    Fault("number-too-large", f"{STROKE.format(', scans := «9999999999»')};", "smaller"),
    Fault("not-a-time", f"{STROKE.format(', unchanged := «speed»')};", "T#500ms"),
    Fault("time-not-positive", f"{TRIP.format(', unchanged := «T#0ms»')};"),
    Fault("end-reads-output", "REQUIRE two_hand_trip («complete := NOT enable»);", "end switch"),
    Fault("end-reads-output", "REQUIRE two_hand_trip («complete := prev(enable)»);", "end switch"),
    Fault("end-reads-output", "REQUIRE two_hand_trip («complete := fell(enable)»);", "end switch"),
    Fault("repeated-name", "REQUIRE hold_to_run (control := stop, «control := stop»);"),
    Fault("unknown-name", "REQUIRE hold_to_run (control := «stopp»);", "'stop'"),
    Fault("type-mismatch", "REQUIRE hold_to_run (control := «speed»);"),
    Fault("not-a-time", "REQUIRE greatest_on_time (limit := «speed»);", "T#500ms"),
    Fault("not-a-time", "REQUIRE greatest_on_time (limit := «rose(stop)»);", "T#500ms"),
    Fault("time-not-positive", "REQUIRE greatest_on_time (limit := «T#0ms»);"),
    Fault("negative-time", "REQUIRE greatest_on_time (limit := «T#-5ms»);"),
    Fault("missing-hand", f"OUTPUT enable; «{STROKE.format('')}»;", "HAND", ALONE),
    Fault("missing-hand", "OUTPUT enable; «REQUIRE no_restart»;", "start := ...", ALONE),
    Fault(
        "missing-hand",
        "OUTPUT enable; HAND a = stop; HAND b = guardShut; HAND c = rodHome;"
        f"STATION one = a, b; STATION two = c; «{TRIP.format('')}»;",
        "HAND",
        ALONE,
    ),
    Fault("missing-output", "«REQUIRE hold_to_run (control := stop)»;", "OUTPUT", ALONE),
    Fault("missing-output", f"«{TRIP.format('')}»;", "OUTPUT", "REQUIRE OUTPUT"),
    Fault("repeated-name", "REQUIRE no_restart; «REQUIRE no_restart»;", "label"),
    Fault("repeated-name", "REQUIRE a : no_restart; «REQUIRE A : no_restart»;", "label"),
    Fault("repeated-name", "REQUIRE a : no_restart; PROPERTY «A» : enable;", "another"),
    Fault("reserved-name", "REQUIRE «both_hands» : no_restart;", "another"),
    Fault("reserved-name", "REQUIRE «Hold_to_Run» : no_restart;", "another"),
    Fault("reserved-name", "PROPERTY «single_stroke_held» : enable;", "another"),
    Fault("unknown-name", "REQUIRE no_restart; EXPECT VIOLATED «no_restrt»;", "'no_restart'"),
    Fault("missing-require", f"«HAZARD stop»; {TRIP.format('')};", "single_stroke", "REQUIRE"),
    Fault("missing-require", "«HAZARD stop»; PROPERTY p : enable;", "", "REQUIRE"),
    Fault("not-an-input", f"{TWO} STATION rear = third, fourth WHEN «enable»;", "VAR_INPUT"),
    Fault("type-mismatch", f"{TWO} STATION rear = third, fourth WHEN «speed»;"),
    Fault("constant-condition", f"{TWO} STATION rear = third, fourth WHEN «TRUE»;"),
    Fault("past-not-allowed", f"{TWO} STATION rear = third, fourth WHEN «rose(stop)»;"),
    Fault("past-not-allowed", f"{TWO} STATION rear = third, fourth WHEN «prev(stop)»;"),
    Fault("unknown-name", f"{TWO} STATION rear = third, fourth WHEN «rodHme»;", "rodHome"),
]


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault.more[:60])
def test_each_fault_is_told_once_at_its_place(fault: Fault, tmp_path: Path) -> None:
    marked = spec_text(fault.more, fault.without)
    before, _, rest = marked.partition("«")
    text, _, after = rest.partition("»")
    errors = errors_of(tmp_path, before + text + after)
    assert [error.code for error in errors] == [fault.code]
    assert errors[0].span is not None
    assert (errors[0].span.start, errors[0].span.text) == (len(before), text)
    assert fault.help in errors[0].help


def test_two_wrong_demands_are_both_told(tmp_path: Path) -> None:
    text = spec_text("REQUIRE hold_to_rum; REQUIRE no_restart (strt := stop, outpt := enable);")
    codes = [error.code for error in errors_of(tmp_path, text)]
    assert codes == ["unknown-requirement", "unknown-parameter", "unknown-parameter"]


def test_a_demand_is_enough_to_check(tmp_path: Path) -> None:
    assert errors_of(tmp_path, spec_text(f"{TRIP.format('')};", "REQUIRE")) == ()
    hazard = f"HAZARD stop; {STROKE.format('')};"
    assert errors_of(tmp_path, spec_text(hazard, "REQUIRE")) == ()


@pytest.mark.parametrize("word", ["single_stroke", "two_hand_trip"])
def test_why_a_stroke_needs_its_end_is_said(word: str, tmp_path: Path) -> None:
    (error,) = errors_of(tmp_path, spec_text(f"REQUIRE {word};", "REQUIRE"))
    assert error.message == (
        f"{word} needs 'complete', the signal that comes on at the end of a stroke; without it "
        "logic that never ends a stroke while the hands stay on would be PROVED"
    )
