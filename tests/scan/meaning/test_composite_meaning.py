"""A block with a plant, worked out by hand; both rooms agree on it."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.specification.load import load_specifications

from tests.support.meaning.both_rooms import both_rooms
from tests.support.samples.specification_samples import errors_of

BLOCK = """
FUNCTION_BLOCK Drive
VAR_INPUT go, home : BOOL; END_VAR
VAR_OUTPUT coil : BOOL; homes : INT; END_VAR
IF home THEN homes := homes + 1; RETURN; END_IF
coil := go;
END_FUNCTION_BLOCK
"""

PLANT = """
FUNCTION_BLOCK Rod
VAR_INPUT drive, jammed : BOOL; END_VAR
VAR_OUTPUT place : INT := 2; home : BOOL; END_VAR
VAR_TEMP way : INT := 1; END_VAR
home := FALSE;
IF jammed THEN RETURN; END_IF
IF drive THEN way := -1; END_IF
place := place + way;
home := place <= 1;
END_FUNCTION_BLOCK
"""

SPEC = """
SPEC Moved
SOURCE 'drive.st';
SCAN T#10ms;
PLANT rod : Rod IN 'rod.st' (drive := coil);
FEEDBACK home := rod.home;
PROPERTY some : NOT coil;
END_SPEC
"""


def test_plant_runs_first_with_the_outputs_of_the_scan_before(tmp_path: Path) -> None:
    (tmp_path / "drive.st").write_text(BLOCK)
    (tmp_path / "rod.st").write_text(PLANT)
    path = tmp_path / "moved.spec"
    path.write_text(SPEC)
    (specification,) = load_specifications(path)
    rows = [
        {"go": True},  # the rod moves away before the coil is on
        {"go": True},  # the coil pulls it back
        {"go": True, "rod.jammed": True},  # RETURN of the plant does not end the scan
        {"go": False},
        {"go": False},  # home: RETURN of the block, the coil stays on
        {"go": False},
    ]
    seen = both_rooms(specification.program, rows, ("rod.place", "home", "coil", "homes"))
    assert seen == [
        [3, False, True, 0],
        [2, False, True, 0],
        [2, False, True, 0],
        [1, True, True, 1],
        [0, True, True, 2],
        [-1, True, True, 3],
    ]


@pytest.mark.parametrize(
    ("body", "codes"),
    [
        ("shared := shared OR enable;", ["in-out-changed"]),
        ("IF enable THEN t(IN := enable, Q => shared); END_IF", ["in-out-changed"]),
        ("enable := shared;", []),
    ],
)
def test_an_in_out_parameter_that_the_block_changes_drives_no_plant(
    tmp_path: Path, body: str, codes: list[str]
) -> None:
    (tmp_path / "shared.st").write_text(
        "FUNCTION_BLOCK Shared VAR_IN_OUT shared : BOOL; END_VAR VAR_OUTPUT enable : BOOL; END_VAR "
        f"VAR t : TON; END_VAR {body} END_FUNCTION_BLOCK"
    )
    (tmp_path / "rod.st").write_text(
        "FUNCTION_BLOCK Rod VAR_INPUT coil : BOOL; END_VAR VAR_OUTPUT out : BOOL; END_VAR "
        "out := coil; END_FUNCTION_BLOCK"
    )
    spec = (
        "SPEC S SOURCE 'shared.st'; SCAN T#1ms; PLANT rod : Rod IN 'rod.st' (coil := shared); "
        "PROPERTY p : shared -> enable; END_SPEC"
    )
    assert [problem.code for problem in errors_of(tmp_path, spec)] == codes
