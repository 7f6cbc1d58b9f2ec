"""The widest lag that still starts, found by the tool itself, for each scan time.

Source: ISO 13851:2019, 5.8 (synchronous actuation within 0.5 s) sampled at a fixed period: a lag
of k scans of p ms is accepted iff k * p <= 500 (arithmetic). The common form ``NOT window.Q`` with
PT = 500 ms accepts k * p < 500 only (common practice; enumerated by hand).
"""

from __future__ import annotations

from pathlib import Path

import pytest

from checker.evidence.check import Options, check
from checker.evidence.verdict import Outcome
from checker.temporal.specification import load_specification

BLOCK = """
FUNCTION_BLOCK Press
VAR_INPUT left, right : BOOL; END_VAR
VAR_OUTPUT stroke : BOOL; END_VAR
VAR window : TON; armed : BOOL; END_VAR
window(IN := left OR right, PT := {preset});
IF NOT left AND NOT right THEN
    armed := TRUE;
    stroke := FALSE;
ELSIF left AND right THEN
    IF armed AND {in_time} THEN stroke := TRUE; END_IF;
    armed := FALSE;
ELSE
    stroke := FALSE;
END_IF;
END_FUNCTION_BLOCK
"""

SPECIFICATION = """
SPEC Boundary
    SOURCE 'press.st';
    SCAN T#{period}ms;
    HAND one = left;
    HAND other = right;
    OUTPUT stroke;
    REQUIRE TWO_HAND LOGIC TYPE III, WINDOW T#500ms;
END_SPEC
"""

FORMS = {
    "elapsed time at most 500 ms": ("T#10s", "window.ET <= T#500ms"),
    "not yet done with a preset of 500 ms": ("T#500ms", "NOT window.Q"),
}

WIDEST = [
    # period, widest lag with ET <= 500 ms, widest lag with NOT Q (all in ms)
    (1, 500, 499),
    (7, 497, 497),
    (10, 500, 490),
    (16, 496, 496),
    (300, 300, 300),
    (600, 0, 0),
]


@pytest.mark.parametrize(
    ("form", "period", "widest"),
    [(form, period, lags[number]) for period, *lags in WIDEST for number, form in enumerate(FORMS)],
)
def test_the_widest_lag_that_starts_is_the_boundary_tables(
    tmp_path: Path, form: str, period: int, widest: int
) -> None:
    preset, in_time = FORMS[form]
    (tmp_path / "press.st").write_text(BLOCK.format(preset=preset, in_time=in_time))
    path = tmp_path / "press.spec"
    path.write_text(SPECIFICATION.format(period=period))

    report = check(load_specification(path), Options(processes=1))

    (lag,) = report.lags
    assert (widest, widest) == (lag.reached, lag.bound)
    assert widest + period == lag.true_bound
    assert {Outcome.PROVED} == {verdict.outcome for verdict in report.verdicts}
