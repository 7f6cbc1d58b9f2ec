"""A VAR_IN_OUT of the checked block: anything may come in; what counts is what the body leaves."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.analyses.check.check import check
from twohand.evidence.limits import Options
from twohand.specification.load import load_specification
from twohand.text.diagnostic import InputError

BLOCK = """
FUNCTION_BLOCK Press
VAR_INPUT left, right : BOOL; END_VAR
VAR_IN_OUT stroke : BOOL; END_VAR
{body}
END_FUNCTION_BLOCK
"""
SPECIFICATION = """
SPEC Press
    SOURCE 'press.st';
    SCAN T#10ms;
    HAND one = left;
    HAND other = right;
    OUTPUT stroke;
    REQUIRE TWO_HAND LOGIC TYPE I;
    {more}
END_SPEC
"""


def outcomes(folder: Path, body: str, more: str = "") -> dict[str, str]:
    (folder / "press.st").write_text(BLOCK.format(body=body))
    path = folder / "press.spec"
    path.write_text(SPECIFICATION.format(more=more))
    report = check(load_specification(path), Options(processes=1))
    return {v.requirement.identifier: v.outcome.value for v in report.verdicts}


def test_an_in_out_that_the_body_decides_is_judged_by_what_the_body_leaves(tmp_path: Path) -> None:
    assert outcomes(tmp_path, "stroke := left AND right;") == {"both_hands": "PROVED"}


def test_an_in_out_that_is_only_set_keeps_what_came_in(tmp_path: Path) -> None:
    body = "IF left AND right THEN stroke := TRUE; END_IF;"
    assert outcomes(tmp_path, body) == {"both_hands": "VIOLATED"}


def test_nothing_may_be_assumed_of_an_in_out(tmp_path: Path) -> None:
    with pytest.raises(InputError) as refused:
        outcomes(tmp_path, "stroke := left AND right;", "ASSUME NOT stroke;")
    assert [d.code for d in refused.value.diagnostics] == ["not-an-input"]
