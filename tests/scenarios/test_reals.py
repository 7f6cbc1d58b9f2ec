"""Inputs of REAL: set by a number or by the words of runs, where every platform has it there."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.scenarios.recording import load_recording
from twohand.text.diagnostic import InputError

from tests.scenarios.samples import scenario_of, seen, written

BLOCK = """FUNCTION_BLOCK Shown
VAR_INPUT a, leftNO, leftNC : BOOL; force : REAL; END_VAR
VAR_OUTPUT q : BOOL; END_VAR
q := force > REAL#-2.5 AND force < 0.1;
END_FUNCTION_BLOCK
"""
RIGHT = [
    *(("0.0", True), ("-2", True), ("0.05", True), ("5E-2", True)),
    *(("-2.5", False), ("-3", False), ("7.5", False), ("'above 0.1'", False)),
    ("'Not a number'", False),
]
WRONG = ["'above 3'", "0.10000000001", "TRUE", "'x'"]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return written(tmp_path, block=BLOCK)


@pytest.mark.parametrize(("value", "on"), RIGHT)
def test_a_number_is_in_the_class_that_has_it(value: str, on: bool, folder: Path) -> None:
    found = seen(folder, f"AT T#10ms force := {value}; UNTIL T#10ms;", "q")
    assert found == {0: True, 10: on}


@pytest.mark.parametrize("value", WRONG)
def test_what_platforms_may_read_differently_is_refused(value: str, folder: Path) -> None:
    with pytest.raises(InputError) as raised:
        scenario_of(folder, f"AT T#10ms force := {value};")
    (problem,) = raised.value.diagnostics
    assert problem.span is not None
    assert problem.span.text == value
    assert "'above 0.1'" in problem.help


def test_a_number_for_another_type_is_refused(folder: Path) -> None:
    with pytest.raises(InputError, match="BOOL"):
        scenario_of(folder, "AT T#10ms a := 2.5;")


def test_recorded_numbers_are_in_their_classes(folder: Path) -> None:
    (folder / "r.csv").write_text("time,name,value\n0,force,-3.25\n10,force,0.05\n", "utf-8")
    scenario = load_recording(folder / "r.csv", folder / "shown.spec")
    assert scenario.at_first["force"] == 0
    assert scenario.changes[0].value == 2
