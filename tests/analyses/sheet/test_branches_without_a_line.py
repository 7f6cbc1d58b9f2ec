"""A branch that no line goes along is proved to be reached by no run, or said to be open."""

from __future__ import annotations

from pathlib import Path

from twohand.analyses.sheet.derive import derive
from twohand.analyses.sheet.reach import NEVER, uncovered_branches
from twohand.evidence.limits import open_pool
from twohand.specification.load import load_specification

from tests.support.gallery_reports import OPTIONS

BLOCK = """FUNCTION_BLOCK Press
VAR_INPUT leftPalm, rightPalm : BOOL; END_VAR
VAR_OUTPUT stroke : BOOL; END_VAR
VAR odd, wasLeft : BOOL; END_VAR
IF odd AND NOT odd THEN stroke := TRUE; END_IF;
stroke := leftPalm AND rightPalm;
IF wasLeft AND NOT leftPalm AND odd THEN
    odd := FALSE;
END_IF;
odd := leftPalm AND NOT wasLeft;
wasLeft := leftPalm;
END_FUNCTION_BLOCK
"""
SPEC = """SPEC Press
SOURCE 'press.st';
SCAN T#100ms;
HAND left = leftPalm;
HAND right = rightPalm;
OUTPUT stroke;
REQUIRE TWO_HAND LOGIC TYPE I;
END_SPEC
"""


def test_a_branch_is_proved_unreachable_or_open_with_the_run_that_gets_there(
    tmp_path: Path,
) -> None:
    """The second one takes a hand that is on in one scan alone."""
    (tmp_path / "press.st").write_text(BLOCK, encoding="utf-8")
    (tmp_path / "press.spec").write_text(SPEC, encoding="utf-8")
    spec = load_specification(tmp_path / "press.spec")
    derived = derive(spec, spec.requirements)
    with open_pool(OPTIONS) as pool:
        said = uncovered_branches(spec, derived.uncovered, OPTIONS, pool)
    why = {int(each.what.split(": ")[0].rsplit(":", 1)[1]): each.why for each in said}
    assert set(why) == {5, 7}
    assert why[5] == NEVER
    assert why[7].startswith("open for hands: a run gets there in scan ")
