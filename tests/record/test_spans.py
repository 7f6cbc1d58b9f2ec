"""The bounds of time of a requirement on the axis of its run, from small specs."""

from __future__ import annotations

from pathlib import Path

import pytest
import twohand
from twohand.record.spans import TimeSpan

BLOCK = """FUNCTION_BLOCK Lamp
VAR_INPUT key : BOOL; END_VAR
VAR_OUTPUT lamp : BOOL; END_VAR
lamp := FALSE;
END_FUNCTION_BLOCK
"""
MS = 1_000_000


def spans(folder: Path, formula: str) -> tuple[tuple[TimeSpan, ...], int]:
    """With the time of the run's last scan."""
    (folder / "lamp.st").write_text(BLOCK, encoding="utf-8")
    spec = f"SPEC S\nSOURCE 'lamp.st';\nSCAN T#10ms;\nPROPERTY p : {formula};\nEND_SPEC\n"
    (folder / "s.spec").write_text(spec, encoding="utf-8")
    (checked,) = twohand.check(folder / "s.spec", processes=1).specs
    result = checked["p"]
    assert result.run is not None
    return result.spans, result.run.steps[-1].time


def test_an_answer_is_due_a_bound_after_it_was_asked_for(tmp_path: Path) -> None:
    (span,), end = spans(tmp_path, "key -> lamp WITHIN T#30ms")
    assert (span.words, span.due) == ("30 ms to answer", True)
    assert span.end - span.begin == 30 * MS
    assert span.end < end


def test_so_is_one_that_is_counted_in_scans(tmp_path: Path) -> None:
    (span,), _ = spans(tmp_path, "key -> lamp WITHIN 2 SCANS")
    assert (span.words, span.due) == ("2 scans to answer", True)
    assert span.end - span.begin == 20 * MS


@pytest.mark.parametrize("asked", ["once(key, T#30ms)", "since(key, key, T#30ms)"])
def test_what_is_looked_back_over_ends_where_it_is_wrong(tmp_path: Path, asked: str) -> None:
    (span,), end = spans(tmp_path, f"{asked} -> lamp")
    assert span == TimeSpan("the last 30 ms", end - 30 * MS, end, False)


def test_a_bound_without_a_time_is_no_span(tmp_path: Path) -> None:
    assert spans(tmp_path, "once(key) -> lamp")[0] == ()
