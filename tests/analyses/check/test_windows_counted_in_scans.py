"""A window that the program counts in scans is judged like one that a timer measures.

What must come out is arithmetic. The scan in which the first hand comes on counts one, and the
hands are in time while fewer than n are counted: the second one comes at most n - 2 scans later.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.engine.workers.pool import Pool
from twohand.evidence.verdict import Outcome

from tests.support import small_checks

HEAD = """FUNCTION_BLOCK Lids
VAR_INPUT left, right : BOOL; END_VAR
VAR_OUTPUT ram : BOOL; END_VAR
VAR scans, began : INT; armed : BOOL; END_VAR
"""
BODY = """ram := left AND right AND (ram OR armed AND in_time);
IF left AND right THEN armed := FALSE; END_IF;
END_FUNCTION_BLOCK
"""
UP = """IF NOT left AND NOT right THEN armed := TRUE; scans := 0;
ELSIF scans < {n} THEN scans := scans + 1; END_IF;
"""
DOWN = """IF NOT left AND NOT right THEN armed := TRUE; scans := {n};
ELSIF scans > 0 THEN scans := scans - 1; END_IF;
"""
BY_FIVE = """IF NOT left AND NOT right THEN armed := TRUE; scans := 0;
ELSIF scans < 5 * {n} THEN scans := scans + 5; END_IF;
"""
ROUND = """scans := (scans + 1) MOD 500;
IF NOT left AND NOT right THEN armed := TRUE; began := scans;
ELSIF (scans + 500 - began) MOD 500 >= {n} THEN armed := FALSE; END_IF;
"""
ASKED = """SCAN T#10ms; HAND left = left; HAND right = right; OUTPUT ram;
REQUIRE TWO_HAND LOGIC TYPE III, WINDOW T#400ms; UNIT T#1ms;"""


@pytest.mark.long
@pytest.mark.parametrize(
    ("counting", "in_time"),
    [
        pytest.param(UP, "scans < {n}", id="up"),
        pytest.param(DOWN, "scans > 0", id="down"),
        pytest.param(ROUND, "TRUE", id="round and round", marks=pytest.mark.long),
        pytest.param(BY_FIVE, "scans < 5 * {n}", id="by five"),
    ],
)
@pytest.mark.parametrize(("counted", "outcome"), [(42, Outcome.PROVED), (43, Outcome.VIOLATED)])
def test_a_window_counted_in_scans_of_ten_milliseconds(
    tmp_path: Path, pool: Pool, counting: str, in_time: str, counted: int, outcome: Outcome
) -> None:
    text = HEAD + counting + BODY.replace("in_time", in_time)
    report = small_checks.report_of(tmp_path, pool, text.replace("{n}", str(counted)), ASKED)
    (window,) = [v for v in report.verdicts if v.requirement.identifier == "start_window"]
    assert window.outcome is outcome
    if outcome is Outcome.PROVED:
        (lag,) = report.lags
        assert (lag.reached, lag.bound) == (400, 400)
