"""An input that ASSUME holds at one value is as good as a constant of the text."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.engine.workers.pool import Pool
from twohand.evidence.verdict import Outcome, Report

from tests.support import small_checks

TEXT = """FUNCTION_BLOCK Lids
VAR_INPUT left, right, muted : BOOL; window : TIME; END_VAR
VAR_OUTPUT ram : BOOL; END_VAR
VAR late : TON; armed : BOOL; END_VAR
late(IN := left OR right, PT := window);
IF NOT left AND NOT right THEN armed := TRUE; END_IF;
ram := left AND right AND (ram OR armed AND NOT late.Q OR muted);
IF left AND right THEN armed := FALSE; END_IF;
END_FUNCTION_BLOCK
"""
HANDS = "HAND left = left; HAND right = right; OUTPUT ram;"
ASKED = f"{HANDS} REQUIRE TWO_HAND LOGIC TYPE III, TRUE_LAG T#500ms;"


def report_of(folder: Path, pool: Pool, assumed: str, text: str = TEXT) -> Report:
    stated = f"SCAN T#5ms..T#20ms; UNIT T#1ms; {assumed} {ASKED}"
    return small_checks.report_of(folder, pool, text, stated)


def outcomes(report: Report) -> dict[str, Outcome]:
    return {each.requirement.identifier: each.outcome for each in report.verdicts}


@pytest.mark.long
def test_a_window_that_is_assumed_is_proved_like_one_that_is_written(
    tmp_path: Path, pool: Pool
) -> None:
    assumed = report_of(tmp_path, pool, "ASSUME window = T#400ms; ASSUME NOT muted;")
    assert set(outcomes(assumed).values()) == {Outcome.PROVED}
    text = TEXT.replace(" window : TIME;", "").replace("PT := window", "PT := T#400ms")
    text = text.replace(" OR muted", "")
    written = report_of(tmp_path, pool, "", text)
    assert outcomes(assumed) == outcomes(written)
    assert [lag.bound for lag in assumed.lags] == [lag.bound for lag in written.lags]
    assert assumed.warnings == (), "both assumptions are needed"


@pytest.mark.long
def test_a_window_that_is_too_long_is_violated_by_a_run_that_has_it(
    tmp_path: Path, pool: Pool
) -> None:
    report = report_of(tmp_path, pool, "ASSUME window = T#700ms AND NOT muted;")
    (verdict,) = [v for v in report.verdicts if v.requirement.identifier == "start_window"]
    assert verdict.outcome is Outcome.VIOLATED
    assert verdict.counterexample is not None
    assert {record.values["window"] for record in verdict.counterexample.records} == {700}
    assert {record.values["muted"] for record in verdict.counterexample.records} == {False}


@pytest.mark.long
def test_what_is_assumed_under_a_condition_is_no_constant(tmp_path: Path, pool: Pool) -> None:
    report = report_of(tmp_path, pool, "ASSUME left -> window = T#400ms; ASSUME NOT muted;")
    assert outcomes(report)["start_window"] is Outcome.VIOLATED
