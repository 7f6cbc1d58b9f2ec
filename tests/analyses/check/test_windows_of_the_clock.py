"""What a block measures with ``TIME()`` is judged like what a timer measures, and in the scans in
which the clock comes round as in any other.

What must come out is arithmetic: hands that were last off in a scan are in time while the clock has
gone on by less than T, so that the second one comes at most T less two scans after the first.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest
from twohand.commands.main import run
from twohand.engine.workers.pool import Pool
from twohand.evidence.verdict import Outcome, Verdict
from twohand.program import CLOCK

from tests.support import small_checks

WINDOW = """FUNCTION_BLOCK Lids
VAR_INPUT left, right : BOOL; END_VAR
VAR_OUTPUT ram : BOOL; END_VAR
VAR rested : TIME; armed : BOOL; END_VAR
IF NOT left AND NOT right THEN armed := TRUE; rested := TIME();
ELSIF TIME() - rested >= T#480ms THEN armed := FALSE; END_IF;
ram := left AND right AND (ram OR armed);
IF left AND right THEN armed := FALSE; END_IF;
END_FUNCTION_BLOCK
"""
HANDS = "HAND left = left; HAND right = right; OUTPUT ram;"
WAIT = """FUNCTION_BLOCK Lids
VAR_INPUT key : BOOL; END_VAR
VAR_OUTPUT ready : BOOL; END_VAR
VAR began : TIME; run : BOOL; END_VAR
IF NOT run OR NOT key THEN began := TIME(); run := TRUE; END_IF;
ready := TIME() - began >= T#1h;
END_FUNCTION_BLOCK
"""
STAYS = "SCAN T#1m..T#2h; PROPERTY stays : prev(ready) AND key AND NOT FIRST_SCAN -> ready;"
ROUND = 1 << 32


def only(verdicts: Sequence[Verdict], name: str) -> Verdict:
    (verdict,) = [each for each in verdicts if each.requirement.identifier == name]
    return verdict


@pytest.mark.long
@pytest.mark.parametrize(
    ("scan", "window", "outcome", "widest"),
    [
        ("T#10ms", 460, Outcome.PROVED, 460),
        ("T#10ms", 450, Outcome.VIOLATED, None),
        ("T#5ms..T#20ms", 474, Outcome.PROVED, 474),
        ("T#5ms..T#20ms", 473, Outcome.VIOLATED, None),
    ],
)
def test_a_window_of_the_clock_has_its_lag(
    tmp_path: Path, pool: Pool, scan: str, window: int, outcome: Outcome, widest: int | None
) -> None:
    asked = f"SCAN {scan}; {HANDS} REQUIRE TWO_HAND LOGIC TYPE III, WINDOW T#{window}ms;"
    report = small_checks.report_of(tmp_path, pool, WINDOW, f"UNIT T#1ms; {asked}")
    assert only(report.verdicts, "start_window").outcome is outcome
    if widest is not None:
        (lag,) = report.lags
        assert (lag.reached, lag.bound) == (widest, widest)


@pytest.mark.long
@pytest.mark.parametrize("signed", [False, True])
def test_a_wait_that_is_wrong_once_the_clock_comes_round_is_shown_to_be(
    tmp_path: Path, pool: Pool, signed: bool
) -> None:
    statements = f"{STAYS} READING clock_is_signed {str(signed).upper()};"
    report = small_checks.report_of(tmp_path, pool, WAIT, statements)
    shown = only(report.verdicts, "stays").counterexample
    assert shown is not None
    before, last = (record.values for record in shown.records[-2:])
    end = ROUND // 2 if signed else ROUND
    assert before[CLOCK.name] - before["began"] < end <= shown.records[-1].time
    assert last["ready"] is False


@pytest.mark.long
def test_where_the_clock_comes_round_is_proved_not_to_matter_to_what_is_kept(
    tmp_path: Path, pool: Pool
) -> None:
    text = WAIT.replace("ready := ", "ready := ready AND key AND run OR ")
    report = small_checks.report_of(tmp_path, pool, text, STAYS)
    assert only(report.verdicts, "stays").outcome is Outcome.PROVED


@pytest.mark.long
def test_two_blocks_with_one_clock_are_the_same_through_losses_of_power(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "one.st").write_text(WINDOW, encoding="utf-8")
    other = WINDOW.replace("rested := TIME();", "now := TIME(); rested := now;")
    other = other.replace("VAR rested", "VAR now, rested")
    (tmp_path / "other.st").write_text(other, encoding="utf-8")
    files = [str(tmp_path / name) for name in ("one.st", "other.st")]
    options = ["--scan", "T#5ms..T#20ms", "--power-cycles", "--processes", "1"]
    assert run(["compare", *files, *options]) == 0
    assert "1 output compared: 1 SAME" in capsys.readouterr().out


@pytest.mark.long
def test_an_output_that_may_stay_on_has_no_limit_whatever_the_clock_shows(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "lids.st").write_text(WINDOW, encoding="utf-8")
    text = (
        f"SPEC Lids SOURCE 'lids.st'; SCAN T#10ms; {HANDS} REQUIRE TWO_HAND LOGIC TYPE I; END_SPEC"
    )
    (tmp_path / "lids.spec").write_text(text, encoding="utf-8")
    run(["measure", str(tmp_path / "lids.spec"), "--processes", "1"])
    assert "NO LIMIT     longest on-time of ram" in capsys.readouterr().out
