"""The widest lag that still starts, found by the tool itself, for each scan time.

Source: ISO 13851:2019, 5.8 (synchronous actuation within 0.5 s) sampled at a fixed period: a lag
of k scans of p ms is accepted iff k * p <= 500 (arithmetic). The common form ``NOT window.Q`` with
PT = 500 ms accepts k * p < 500 only (common practice; enumerated by hand).
"""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.analyses.check.check import check
from twohand.analyses.measure.figures import FigureKind
from twohand.analyses.measure.measure import measure
from twohand.analyses.measure.results import Decision
from twohand.evidence.limits import Options
from twohand.evidence.verdict import Outcome
from twohand.specification.load import load_specification
from twohand.specification.model.specification import Specification

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
    READING edge_call_counts FALSE; (* the lag is what passes between the two edges *)
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
QUICK = (600,)
"""Periods that the quick suite measures; the long tests have the others."""


def written(folder: Path, form: str, period: int) -> Specification:
    """The spec of a block of this form at this period."""
    preset, in_time = FORMS[form]
    (folder / "press.st").write_text(BLOCK.format(preset=preset, in_time=in_time))
    path = folder / "press.spec"
    path.write_text(SPECIFICATION.format(period=period))
    return load_specification(path)


@pytest.mark.long
@pytest.mark.parametrize(
    ("form", "period", "widest"),
    [(form, period, lags[number]) for period, *lags in WIDEST for number, form in enumerate(FORMS)],
)
def test_the_widest_lag_that_starts_is_the_boundary_tables(
    tmp_path: Path, form: str, period: int, widest: int
) -> None:
    report = check(written(tmp_path, form, period), Options(processes=1))

    (lag,) = report.lags
    assert (widest, widest) == (lag.reached, lag.bound)
    assert widest + period == lag.true_bound
    assert {Outcome.PROVED} == {verdict.outcome for verdict in report.verdicts}


MEASURED = [
    # period in ms, largest accepted number of scans, first rejected lag in ms: the published rule
    # "within 0.5 s" (ISO 13851:2019, 5.8) sampled at that period (arithmetic)
    (1, 500, 501),
    (7, 71, 504),
    (10, 50, 510),
    (16, 31, 512),
    (300, 1, 600),
    (600, 0, 600),
]


@pytest.mark.parametrize(
    ("period", "scans", "rejected"),
    [pytest.param(*row, marks=[] if row[0] in QUICK else pytest.mark.long) for row in MEASURED],
)
def test_measuring_finds_the_last_lag_that_is_accepted_and_the_first_that_is_not(
    tmp_path: Path, period: int, scans: int, rejected: int
) -> None:
    specification = written(tmp_path, "elapsed time at most 500 ms", period)

    report = measure(specification, Options(processes=1), kinds=[FigureKind.LAG])

    (lag,) = report.figures
    assert lag.time.decision is Decision.EXACT
    assert lag.scan_bounds(specification) == (scans, scans)
    assert lag.time.bound == scans * period
    assert lag.time.bound + period == rejected
    # A sampled lag of k scans is truly less than k + 1 periods; 500 ms is kept where that is.
    assert lag.true_bound(specification) == rejected


@pytest.mark.long
@pytest.mark.parametrize(("period", "widest"), [(period, less) for period, _, less in WIDEST])
def test_measuring_finds_the_widest_lag_of_a_timer_that_is_not_yet_done(
    tmp_path: Path, period: int, widest: int
) -> None:
    specification = written(tmp_path, "not yet done with a preset of 500 ms", period)

    report = measure(specification, Options(processes=1), kinds=[FigureKind.LAG])

    (lag,) = report.figures
    assert (lag.time.reached, lag.time.bound) == (widest, widest)
