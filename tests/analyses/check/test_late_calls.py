"""A call behind the statement that reads it is named as the cause where, made before, it mends."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.analyses.check.record import checked_spec
from twohand.engine.workers.pool import Pool
from twohand.evidence.verdict import LateCall, Outcome, Report
from twohand.report.drawing.terminal import Terminal
from twohand.report.summary import report_lines

from tests.support import small_checks

WINDOW = "FUNCTION_BLOCK Gate\nVAR_INPUT go : BOOL; END_VAR\nVAR_OUTPUT open : BOOL; END_VAR\n"
HEAD = f"""{WINDOW}open := go;
END_FUNCTION_BLOCK
FUNCTION_BLOCK Lids
VAR_INPUT left, right : BOOL; END_VAR
VAR_OUTPUT ram : BOOL; END_VAR
VAR window : TON; gate : Gate; seen : R_TRIG; on : BOOL; END_VAR
"""
AROUND = "SCAN T#10ms..T#20ms; OUTPUT ram;"
READ = "ram := left AND right AND (ram OR NOT window.Q);"
CALL = "window(IN := left OR right, PT := T#400ms);"
STARTS = "PROPERTY in_time : rose(ram) -> NOT held((left OR right) AND ANY_SCAN, T#425ms);"
GUARDED = "PROPERTY guarded : ram -> left AND right;"


def report_of(folder: Path, pool: Pool, body: str, asked: str) -> Report:
    source = f"{HEAD}{body}\nEND_FUNCTION_BLOCK\n"
    return small_checks.report_of(folder, pool, source, f"{AROUND} {asked}")


def late_of(folder: Path, pool: Pool, body: str, asked: str) -> LateCall | None:
    (verdict,) = report_of(folder, pool, body, asked).verdicts
    assert verdict.outcome is Outcome.VIOLATED
    return verdict.late


def test_a_timer_behind_the_statement_that_reads_it_is_named(tmp_path: Path, pool: Pool) -> None:
    late = late_of(tmp_path, pool, f"{READ}\n{CALL}", STARTS)
    assert late is not None
    assert (late.name, late.span.line, late.read.line) == ("window", 11, 10)
    assert late.read.text == "window.Q"


@pytest.mark.long
def test_with_the_call_before_it_the_requirement_is_proved(tmp_path: Path, pool: Pool) -> None:
    (verdict,) = report_of(tmp_path, pool, f"{CALL}\n{READ}", STARTS).verdicts
    assert (verdict.outcome, verdict.late) == (Outcome.PROVED, None)


@pytest.mark.parametrize("around", ["", "POWER CYCLES;"])
def test_a_late_call_of_a_block_of_the_user_is_named(
    tmp_path: Path, pool: Pool, around: str
) -> None:
    body = "ram := gate.open;\ngate(go := left AND right);"
    late = late_of(tmp_path, pool, body, f"{around} {GUARDED}")
    assert late is not None
    assert (late.name, late.span.line, late.read.line) == ("gate", 11, 10)


@pytest.mark.long
def test_a_late_call_in_a_branch_is_moved_within_it(tmp_path: Path, pool: Pool) -> None:
    body = f"IF left OR right THEN\n{READ}\n{CALL}\nELSE ram := FALSE; {CALL}\nEND_IF;"
    assert late_of(tmp_path, pool, body, STARTS) is None, "the instance is called twice"
    body = "IF left OR right OR ram THEN\nram := gate.open;\ngate(go := left AND right);\nEND_IF;"
    late = late_of(tmp_path, pool, body, GUARDED)
    assert late is not None
    assert (late.name, late.read.line) == ("gate", 11)


@pytest.mark.parametrize(
    ("body", "asked"),
    [
        (f"{READ}\n{CALL}", "PROPERTY guarded : ram -> left AND NOT right;"),
        (f"{CALL}\n{READ}", "PROPERTY guarded : ram -> left AND NOT right;"),
        ("ram := on; on := left AND right;", GUARDED),
        ("ram := gate.open; gate(go := left);", GUARDED),
    ],
)
def test_nothing_is_said_where_the_order_is_not_the_cause(
    tmp_path: Path, pool: Pool, body: str, asked: str
) -> None:
    assert late_of(tmp_path, pool, body, asked) is None


def test_nothing_is_said_where_only_the_run_that_is_shown_is_mended(
    tmp_path: Path, pool: Pool
) -> None:
    body = """ram := gate.open OR left AND third; gate(go := left AND right);
    third := second; second := on; on := right AND NOT left;"""
    assert late_of(tmp_path, pool, f"VAR second, third : BOOL; END_VAR\n{body}", GUARDED) is None


@pytest.mark.parametrize("what", ["left AND right AND n + n >= 0", "left AND right OR n + n > 0"])
def test_nothing_is_said_where_a_finding_would_come_first(
    tmp_path: Path, pool: Pool, what: str
) -> None:
    """Moved, the call adds what is left of the scan before: too much, if 'left' was on alone."""
    head = "VAR n : INT; END_VAR\n"
    end = "IF left AND NOT right THEN n := 32767; END_IF;"
    body = f"ram := gate.open; n := 0; gate(go := {what}); {end}"
    late = late_of(tmp_path, pool, f"{head}{body}", GUARDED)
    assert (late is None) == ("OR" in what), "an AND is FALSE without both, whatever n is"


@pytest.mark.long
def test_the_report_and_the_answer_show_the_call(tmp_path: Path, pool: Pool) -> None:
    report = report_of(tmp_path, pool, f"{READ}\n{CALL}", STARTS)
    shown = " ".join(" ".join(report_lines(report, Terminal(100))).split())
    said = "'window' is called behind the statement that reads it"
    assert f"lids.st:11:1: {said}" in shown
    assert "lids.st:10); called before that statement, this requirement is proved" in shown
    (found,) = checked_spec(report).requirements
    call = found.call_too_late
    assert call is not None
    assert (call.name, call.place.line, call.read.line) == ("window", 11, 10)
