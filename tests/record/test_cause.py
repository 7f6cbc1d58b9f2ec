"""A violated requirement names the place in the program to look at first."""

from __future__ import annotations

from pathlib import Path

import pytest
import twohand

BLOCK = """FUNCTION_BLOCK Lid
VAR_INPUT left, right : BOOL; END_VAR
VAR_OUTPUT stroke, lamp : BOOL; END_VAR
VAR window : TON; ram : BOOL; END_VAR
stroke := left;
lamp := left;
ram := left AND right AND (ram OR NOT window.Q);
window(IN := left OR right, PT := T#400ms);
END_FUNCTION_BLOCK
"""
SPEC = """SPEC Lid
SOURCE 'lid.st';
SCAN T#10ms..T#20ms;
OUTPUT stroke;
PROPERTY lamp_off : NOT lamp;
PROPERTY stroke_off : NOT stroke;
PROPERTY in_time : rose(ram) -> NOT held((left OR right) AND ANY_SCAN, T#425ms);
PROPERTY both_off : left AND right -> FALSE;
END_SPEC
"""


def test_the_cause_is_the_call_or_the_statement_that_wrote_what_is_asked(tmp_path: Path) -> None:
    (tmp_path / "lid.st").write_text(BLOCK, encoding="utf-8")
    (tmp_path / "lid.spec").write_text(SPEC, encoding="utf-8")
    (spec,) = twohand.check(tmp_path / "lid.spec", processes=1).specs
    lines = BLOCK.splitlines()
    said = {
        each.name: lines[each.cause.line - 1].strip() if each.cause else None
        for each in spec.requirements
    }
    assert said == {
        "lamp_off": "lamp := left;",
        "stroke_off": "stroke := left;",
        "in_time": "window(IN := left OR right, PT := T#400ms);",
        "both_off": "stroke := left;",
    }
    assert all(each.rests_on.assumptions == () for each in spec.requirements)


@pytest.mark.long
def test_what_was_executed_in_the_last_scan_is_in_its_run(tmp_path: Path) -> None:
    """Of each branch only the statements that ran, and of two that write the same the later one."""
    block = BLOCK.replace(
        "lamp := left;",
        "IF left THEN\n    lamp := FALSE;\n    lamp := TRUE;\nELSE\n    lamp := FALSE;\nEND_IF;",
    )
    (tmp_path / "lid.st").write_text(block, encoding="utf-8")
    (tmp_path / "lid.spec").write_text(SPEC, encoding="utf-8")
    (spec,) = twohand.check(tmp_path / "lid.spec", processes=1).specs
    (found,) = [each for each in spec.requirements if each.name == "lamp_off"]
    assert found.run is not None
    lines = block.splitlines()
    executed = [lines[each.line - 1].strip() for each in found.run.executed]
    assert list(dict.fromkeys(executed)) == [
        "stroke := left;",
        "lamp := TRUE;",
        "ram := left AND right AND (ram OR NOT window.Q);",
        "window(IN := left OR right, PT := T#400ms);",
    ]
    (cause,) = [place for name, place in found.run.causes if name == "lamp"]
    assert cause in found.run.executed
