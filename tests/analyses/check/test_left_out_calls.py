"""A call that some scans leave out is named as the cause where, made in every scan, it mends."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from twohand.analyses.check.record import checked_spec
from twohand.engine.workers.pool import Pool
from twohand.evidence.limits import Options
from twohand.evidence.verdict import Outcome, Report, Verdict
from twohand.report.drawing.terminal import Terminal
from twohand.report.summary import report_lines

from tests.support import small_checks

OPTIONS = small_checks.OPTIONS
HEAD = """FUNCTION_BLOCK Lids
VAR_INPUT left, right, guard : BOOL; END_VAR
VAR_OUTPUT ram : BOOL; END_VAR
VAR settle : TON; late : BOOL; END_VAR
"""
IN_A_BRANCH = """IF left AND right THEN
    settle(IN := TRUE, PT := T#30ms);
    ram := settle.Q;
ELSE
    ram := FALSE;
END_IF;
"""
MENDED = "settle(IN := left AND right, PT := T#30ms); ram := left AND right AND settle.Q;"
SETTLED = "PROPERTY settled : ram -> held(left AND right, T#20ms);"


def report_of(
    folder: Path, pool: Pool, body: str, asked: str, options: Options = OPTIONS
) -> Report:
    source = f"{HEAD}{body}\nEND_FUNCTION_BLOCK\n"
    return small_checks.report_of(
        folder, pool, source, f"SCAN T#10ms; OUTPUT ram; {asked}", options
    )


def verdict_of(folder: Path, pool: Pool, body: str, asked: str) -> Verdict:
    (verdict,) = report_of(folder, pool, body, asked).verdicts
    return verdict


@pytest.mark.long
@pytest.mark.parametrize("around", ["", "POWER CYCLES;"])
def test_a_timer_that_is_called_in_a_branch_is_named(
    tmp_path: Path, pool: Pool, around: str
) -> None:
    verdict = verdict_of(tmp_path, pool, IN_A_BRANCH, f"{around} {SETTLED}")
    call, run = verdict.left_out, verdict.counterexample
    assert (verdict.outcome, call is not None, run is not None) == (Outcome.VIOLATED, True, True)
    assert call is not None
    assert run is not None
    assert (call.name, call.block, call.span.line) == ("settle", "TON", 6)
    assert call.words == "with IN FALSE"
    values = [record.values for record in run.records]
    ran = [each for each in values if each.get("power.on", True)]
    assert call.scans == sum(not (each["left"] and each["right"]) for each in ran)


@pytest.mark.long
def test_what_is_said_of_the_mended_block_is_true(tmp_path: Path, pool: Pool) -> None:
    assert verdict_of(tmp_path, pool, MENDED, SETTLED).outcome is Outcome.PROVED


@pytest.mark.long
def test_a_call_with_the_same_arguments_is_named_where_only_that_mends(
    tmp_path: Path, pool: Pool
) -> None:
    body = "IF guard THEN settle(IN := left, PT := T#30ms); END_IF; ram := settle.Q;"
    asked = "PROPERTY goes_on : held(left AND ANY_SCAN, T#60ms) -> ram;"
    call = verdict_of(tmp_path, pool, body, asked).left_out
    assert call is not None
    assert call.words == "with the arguments of its call"


@pytest.mark.parametrize(
    ("body", "asked"),
    [
        (MENDED, "PROPERTY settled : ram -> held(left AND right, T#50ms);"),
        (IN_A_BRANCH, "PROPERTY guarded : ram -> guard;"),
        ("ram := left;", "PROPERTY guarded : ram -> guard;"),
    ],
)
def test_nothing_is_said_where_the_call_is_not_the_cause(
    tmp_path: Path, pool: Pool, body: str, asked: str
) -> None:
    verdict = verdict_of(tmp_path, pool, body, asked)
    assert (verdict.outcome, verdict.left_out) == (Outcome.VIOLATED, None)


@pytest.mark.long
def test_nothing_is_said_where_with_the_call_nothing_ever_happens(
    tmp_path: Path, pool: Pool
) -> None:
    body = """IF left THEN
        settle(IN := TRUE, PT := T#30ms); late := FALSE; ram := FALSE;
    ELSE
        ram := late AND settle.Q; late := TRUE;
    END_IF;"""
    verdict = verdict_of(tmp_path, pool, body, "PROPERTY held_left : ram -> left;")
    assert (verdict.outcome, verdict.left_out) == (Outcome.VIOLATED, None)


@pytest.mark.long
def test_nothing_is_asked_of_a_comparison_or_under_faults(tmp_path: Path, pool: Pool) -> None:
    options = replace(OPTIONS, causes=False)
    (verdict,) = report_of(tmp_path, pool, IN_A_BRANCH, SETTLED, options).verdicts
    assert (verdict.outcome, verdict.left_out) == (Outcome.VIOLATED, None)


@pytest.mark.long
def test_the_report_and_the_answer_show_the_call(tmp_path: Path, pool: Pool) -> None:
    report = report_of(tmp_path, pool, IN_A_BRANCH, SETTLED)
    shown = " ".join(" ".join(report_lines(report, Terminal(100))).split())
    assert "lids.st:6:5: 'settle' (TON) is not called in" in shown
    assert "called at the end of every such scan (with IN FALSE), this requirement is pr" in shown
    (found,) = checked_spec(report).requirements
    call = found.call_left_out
    assert call is not None
    assert (call.name, call.how, call.place.line) == ("settle", "with IN FALSE", 6)
