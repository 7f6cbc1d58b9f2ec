"""Specs name elements, members, bits, values and global variables as the program does."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.report.cautions import caution_lines
from twohand.report.drawing.terminal import Terminal
from twohand.specification.load import load_specifications
from twohand.specification.model.specification import Specification
from twohand.text.diagnostic import InputError

BLOCK = """
TYPE
    Palm : STRUCT on : BOOL; presses : INT; END_STRUCT;
    Phase : (Idle, Run := 4);
END_TYPE
VAR_GLOBAL CONSTANT last : INT := 2; END_VAR
VAR_GLOBAL guardShut : BOOL; END_VAR
FUNCTION_BLOCK Press
VAR_INPUT palms : ARRAY [1..last] OF Palm; END_VAR
VAR_OUTPUT valves : ARRAY [0..1] OF BOOL; END_VAR
VAR status : WORD; phase : Phase; grid : ARRAY [0..1, 0..1] OF INT; ratio : REAL; END_VAR
VAR CONSTANT table : ARRAY [1..2] OF INT := [3, 4]; END_VAR
valves[0] := palms[1].on AND palms[2].on AND guardShut;
status.3 := valves[0];
IF valves[0] THEN phase := Run; ELSE phase := Idle; END_IF
grid[1, 0] := 7;
ratio := ratio * 0.5;
END_FUNCTION_BLOCK
"""


def load(folder: Path, statements: str) -> Specification:
    (folder / "press.st").write_text(BLOCK, encoding="utf-8")
    path = folder / "press.spec"
    path.write_text(
        f"SPEC Sample SOURCE 'press.st'; SCAN T#10ms; HAND l = palms[1].on; "
        f"HAND r = palms[last].on; OUTPUT valves[0]; {statements} END_SPEC",
        encoding="utf-8",
    )
    return load_specifications(path, "press.spec")[0]


@pytest.mark.parametrize(
    "formula",
    [
        "valves[0] -> status.3",
        "valves[0] -> status.%X3 AND NOT status.4",
        "palms[1].presses < table[2] -> TRUE",
        "grid[1, 0] >= 0 AND grid[1,1] = 0",
        "valves[0] -> phase = Phase#Run",
        "phase = Phase.Idle -> NOT valves[0]",
        "valves[0] -> guardShut AND press.guardShut",
        "rose(palms[2].on) -> NOT prev(palms[2].on)",
        "stable(grid[0, 1])",
    ],
)
def test_a_formula_names_parts_of_the_program(tmp_path: Path, formula: str) -> None:
    specification = load(tmp_path, f"PROPERTY p : {formula};")
    assert [requirement.identifier for requirement in specification.requirements] == ["p"]
    assert [variable.name for variable in specification.outputs] == ["valves[0]"]


@pytest.mark.parametrize(
    ("formula", "code"),
    [
        ("valves[2]", "unknown-name"),
        ("valves[palms[1].presses]", "not-constant"),
        ("palms[1].off", "unknown-name"),
        ("status.16", "index-out-of-range"),
        ("ratio > 1", "left-out"),
        ("valves(1)", "unknown-function"),
    ],
)
def test_a_part_that_is_not_there_is_refused(tmp_path: Path, formula: str, code: str) -> None:
    with pytest.raises(InputError) as caught:
        load(tmp_path, f"PROPERTY p : {formula};")
    assert caught.value.diagnostics[0].code == code


def test_a_report_lists_what_is_left_out(tmp_path: Path) -> None:
    lines = caution_lines([load(tmp_path, "PROPERTY p : valves[0];")], Terminal())
    text = " ".join(line.strip() for line in lines)
    assert "Left out: REAL variable 'ratio' (press.st:11)." in text


def test_a_spec_names_direct_addresses(tmp_path: Path) -> None:
    text = "PROGRAM P %QX0.0 := %IX0.0 AND %IX0.1; END_PROGRAM"
    (tmp_path / "p.st").write_text(text, encoding="utf-8")
    path = tmp_path / "p.spec"
    path.write_text(
        "SPEC Sample SOURCE 'p.st'; SCAN T#10ms; HAND l = %IX0.0; HAND r = %IX0.1; "
        "OUTPUT %QX0.0; PROPERTY p : %QX0.0 -> %IX0.0 AND l; END_SPEC",
        encoding="utf-8",
    )
    (specification,) = load_specifications(path, "p.spec")
    assert [variable.name for variable in specification.outputs] == ["%QX0.0"]
