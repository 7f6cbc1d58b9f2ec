"""A run has what the clock shows in its first scan: what is found hangs on it to the unit."""

from __future__ import annotations

from pathlib import Path

from twohand.engine.workers.pool import Pool
from twohand.program import CLOCK

from tests.support import small_checks

BLOCK = """FUNCTION_BLOCK Lids
VAR_INPUT key : BOOL; END_VAR
VAR_OUTPUT lamp : BOOL; END_VAR
VAR began : TIME := T#5ms; END_VAR
lamp := TIME() - began = T#777ms;
END_FUNCTION_BLOCK
"""


def test_a_run_shows_what_the_clock_has_to_show_at_first(tmp_path: Path, pool: Pool) -> None:
    asked = "SCAN T#5ms..T#20ms; PROPERTY dark : FIRST_SCAN -> NOT lamp;"
    report = small_checks.report_of(tmp_path, pool, BLOCK, asked)
    (verdict,) = report.verdicts
    assert verdict.counterexample is not None
    assert [record.values[CLOCK.name] for record in verdict.counterexample.records] == [782]
