"""Runs that repeat a short cycle of inputs: they find what searching had no time for.

In these tests no search has any time; what a run has to show is counted by hand beside it.
"""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest
from twohand.analyses.check.check import check
from twohand.engine.jobs import Problem
from twohand.evidence.limits import Options
from twohand.evidence.proofs.dispatcher import Dispatcher, Then
from twohand.evidence.runs.input_cycles import cycles
from twohand.evidence.verdict import Outcome, Report
from twohand.report.drawing.terminal import Terminal
from twohand.report.run import finding_lines
from twohand.scan.finding import FindingKind

from tests.support.samples.check_samples import TWO_HANDS, logic, specification
from tests.support.tiers import nightly
from tests.support.unanswered import leave_unanswered

OPTIONS = Options(effort=60.0, processes=1)


@pytest.fixture(autouse=True)
def no_time(monkeypatch: pytest.MonkeyPatch) -> None:
    leave_unanswered(monkeypatch)


def checked(folder: Path, body: str, more: str, statements: str) -> Report:
    return check(specification(folder, logic(body, more=more), statements), OPTIONS)


def test_a_number_that_moves_on_in_every_scan_is_followed_until_it_overflows(
    tmp_path: Path,
) -> None:
    """n is 100 after the first scan: 327 scans have room below 32767."""
    report = checked(tmp_path, "n := n + 100; q := a;", "n : INT;", "PROPERTY p : q -> a;")
    (found,) = report.findings
    assert (found.outcome, found.finding.kind) == (Outcome.VIOLATED, FindingKind.OVERFLOW)
    assert found.counterexample is not None
    assert len(found.counterexample.records) == 328


@pytest.mark.long
def test_a_count_of_scans_in_16_bits_is_followed_until_it_overflows(tmp_path: Path) -> None:
    report = checked(tmp_path, "n := n + 1; q := a;", "n : INT;", "PROPERTY p : q -> a;")
    (found,) = report.findings
    assert found.counterexample is not None
    assert len(found.counterexample.records) == 32768


@pytest.mark.long
def test_a_number_that_moves_on_with_each_press_is_followed_until_it_leaves_its_type(
    tmp_path: Path,
) -> None:
    """One press in two scans, the first one in the first scan: 300 fits 109 times in 32768."""
    body = "IF a AND NOT was THEN n := n - 300; END_IF; was := a; q := a;"
    report = checked(tmp_path, body, "n : INT; was : BOOL;", "PROPERTY p : q -> a;")
    (found,) = report.findings
    assert found.counterexample is not None
    assert found.counterexample.records[-1].finding == found.finding
    assert len(found.counterexample.records) == 2 * 110 - 1


@pytest.mark.long
def test_numbers_that_come_back_have_no_finding(tmp_path: Path) -> None:
    body = "n := n + 100; IF n > 1000 THEN n := 0; END_IF; q := a;"
    report = checked(tmp_path, body, "n : INT;", "PROPERTY p : q -> a;")
    assert [found.outcome for found in report.findings] == [Outcome.UNDECIDED]


@pytest.mark.long
def test_a_run_that_breaks_an_assumption_shows_nothing(tmp_path: Path) -> None:
    body = "IF a AND b THEN n := n + 100; END_IF; q := a;"
    allowed = "ASSUME NOT (a AND b); PROPERTY p : NOT (a AND b);"
    report = checked(tmp_path, body, "n : INT;", allowed)
    assert [found.outcome for found in report.findings] == [Outcome.UNDECIDED]
    assert [verdict.outcome for verdict in report.verdicts] == [Outcome.UNDECIDED]
    told = " ".join(" ".join(finding_lines(report.findings[0], report, Terminal(80))).split())
    assert "no time a number that only ever grows leaves its type in the end" in told


@pytest.mark.long
def test_a_property_that_falls_with_the_hundredth_press_is_refuted_there(tmp_path: Path) -> None:
    body = "c(CU := a, PV := 100); q := c.Q;"
    report = checked(tmp_path, body, "c : CTU;", "PROPERTY p : NOT q; REACHABLE r : c.CV > 7;")
    never, reached = report.verdicts
    assert never.outcome is Outcome.VIOLATED
    assert never.counterexample is not None
    assert len(never.counterexample.records) == 2 * 100 - 1  # pressed in the first scan
    assert reached.outcome in (Outcome.PROVED, Outcome.UNDECIDED)


FORGETFUL = """
FUNCTION_BLOCK Press
VAR_INPUT left, right : BOOL; END_VAR
VAR_OUTPUT stroke : BOOL; END_VAR
VAR window : TON; armed : BOOL; c : CTU; END_VAR
window(IN := left OR right, PT := T#100ms);
IF NOT left AND NOT right THEN armed := TRUE; END_IF;
IF left AND right THEN
    IF {ready} THEN stroke := TRUE; END_IF;
    armed := FALSE;
ELSE
    stroke := FALSE;
END_IF;
c(CU := stroke, PV := {strokes});
END_FUNCTION_BLOCK
"""
WINDOW_FORGOTTEN = "armed AND (NOT window.Q OR c.Q)"
RELEASE_FORGOTTEN = "NOT window.Q AND armed OR c.Q"
TYPE_THREE = f"{TWO_HANDS} REQUIRE TWO_HAND LOGIC TYPE III, WINDOW T#100ms;"


@pytest.mark.long
@pytest.mark.parametrize(
    ("strokes", "ready", "fallen", "effort"),
    [
        nightly(300, WINDOW_FORGOTTEN, ["start_window", "window_missed"], 60),
        (30, RELEASE_FORGOTTEN, ["release_both", "start_window", "window_missed"], 20),
    ],
)
def test_what_a_block_forgets_at_some_stroke_is_seen_there(
    strokes: int, ready: str, fallen: list[str], effort: float, tmp_path: Path
) -> None:
    block = FORGETFUL.format(strokes=strokes, ready=ready)
    options = Options(effort=effort, processes=1)
    report = check(specification(tmp_path, block, TYPE_THREE), options)
    violated = [v for v in report.verdicts if v.outcome is Outcome.VIOLATED]
    assert [v.requirement.identifier for v in violated] == fallen
    for verdict in violated:
        assert verdict.counterexample is not None
        on = [record.values["stroke"] for record in verdict.counterexample.records]
        assert sum(after > before for before, after in pairwise([0, *on])) == strokes + 1


@pytest.mark.long
def test_runs_are_executed_before_a_search_has_all_the_effort(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[tuple[str, float | None]] = []
    decide = Dispatcher.decide

    def noted(
        desk: Dispatcher,
        name: str,
        problem: Problem,
        index: int,
        then: Then,
        effort: float | None = None,
        hints: tuple[str, ...] = (),
    ) -> None:
        asked.append((name, effort))
        decide(desk, name, problem, index, then, effort, hints)

    monkeypatch.setattr(Dispatcher, "decide", noted)
    body = "c(CU := a, PV := 100); q := c.Q;"
    report = checked(tmp_path, body, "c : CTU;", "PROPERTY p : NOT q; PROPERTY s : NOT q OR c.Q;")
    fallen, still_open = report.verdicts
    assert (fallen.outcome, still_open.outcome) == (Outcome.VIOLATED, Outcome.UNDECIDED)
    assert [effort for name, effort in asked if name == "p"] == [5.0]
    assert [effort for name, effort in asked if name == "s"] == [5.0, None]


def test_the_supply_is_on_in_every_cycle(tmp_path: Path) -> None:
    spec = specification(tmp_path, logic("q := a;"), "POWER CYCLES; PROPERTY p : q -> a;")
    assert spec.power is not None
    found = list(cycles(spec))
    assert len(found) > 10
    assert all(scan.inputs[spec.power.name] for cycle in found for scan in cycle)
