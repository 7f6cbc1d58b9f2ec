"""Where a requirement, an EXPECT or a scan fails, and what says nothing."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.analyses.play.exit_code import play_code
from twohand.report.exit_code import ExitCode
from twohand.scan.finding import Finding
from twohand.scenarios import play as playing
from twohand.scenarios.model import Expected
from twohand.specification.model.specification import Requirement

from tests.scenarios.samples import BLOCK, failures, played, written

PRESS = "AT T#10ms a := TRUE; AT T#40ms a := FALSE; UNTIL T#80ms;"
EXPECTED = [
    ("AT T#10ms EXPECT q;", None),
    ("AT T#9ms EXPECT q;", None),
    ("AT T#0ms EXPECT q;", 0),
    ("AT T#11ms..T#35ms EXPECT q;", None),
    ("AT T#10ms..T#40ms EXPECT q;", 40),
    ("AT T#20ms..T#39ms EXPECT q;", None),
    ("AT T#31ms..T#32ms EXPECT q;", 40),
    ("AT T#40ms.. EXPECT NOT q;", None),
    ("AT T#30ms.. EXPECT NOT q;", 30),
    ("AT T#0ms EXPECT q WITHIN T#10ms;", None),
    ("AT T#1ms EXPECT NOT q WITHIN T#38ms;", 40),
    ("AT T#1ms EXPECT NOT q WITHIN T#39ms;", None),
    ("AT T#31ms EXPECT q WITHIN T#1ms;", 50),
    ("ALWAYS EXPECT q -> once(rose(a));", None),
    ("ALWAYS EXPECT NOT q;", 10),
    ("AT T#40ms EXPECT prev(q) AND fell(q);", None),
    ("AT T#40ms EXPECT left;", 40),
]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return written(tmp_path)


@pytest.mark.parametrize(("line", "time"), EXPECTED, ids=[line for line, _ in EXPECTED])
def test_what_is_expected_fails_in_the_first_scan_in_which_it_is_not_so(
    line: str, time: int | None, folder: Path
) -> None:
    shown = played(folder, f"{PRESS}\n{line}")
    found = [at for at, failure in failures(shown) if isinstance(failure.about, Expected)]
    assert found == ([] if time is None else [time])
    assert play_code(shown) is (ExitCode.ALL_PROVED if time is None else ExitCode.VIOLATED)


def test_a_requirement_of_the_spec_fails_where_the_run_violates_it(tmp_path: Path) -> None:
    folder = written(tmp_path, "PROPERTY never_on : NOT q;")
    shown = played(folder, PRESS)
    ((time, failure),) = failures(shown)
    assert isinstance(failure.about, Requirement)
    assert (failure.about.identifier, time) == ("never_on", 10)
    assert play_code(shown) is ExitCode.VIOLATED


def test_what_is_reachable_is_asked_of_no_single_run(tmp_path: Path) -> None:
    more = "REACHABLE never : q AND NOT a; REACHABLE reached : q;"
    shown = played(written(tmp_path, more), PRESS)
    assert play_code(shown) is ExitCode.ALL_PROVED


def test_from_a_broken_assumption_on_nothing_is_said_of_requirements(tmp_path: Path) -> None:
    folder = written(tmp_path, "ASSUME NOT a OR n = 0; PROPERTY never_on : NOT q;")
    before = played(folder, "AT T#10ms a := TRUE; AT T#20ms n := 1; UNTIL T#40ms;")
    assert [time for time, _ in failures(before)] == [10]
    after = played(folder, "INITIALLY n := 1; AT T#10ms a := TRUE; UNTIL T#40ms;")
    assert failures(after) == []
    ((outside, _),) = after.outside
    assert outside.position == 1
    assert play_code(after) is ExitCode.UNDECIDED


def test_contacts_of_a_hand_that_do_not_agree_break_an_assumption(folder: Path) -> None:
    shown = played(folder, "AT T#10ms leftNC := FALSE; UNTIL T#20ms;")
    ((outside, _),) = shown.outside
    assert outside.assumption.stated is False


def test_what_is_expected_counts_outside_of_assumptions_too(tmp_path: Path) -> None:
    folder = written(tmp_path, "ASSUME NOT a;")
    assert play_code(played(folder, f"{PRESS} AT T#10ms EXPECT q;")) is ExitCode.ALL_PROVED
    assert play_code(played(folder, f"{PRESS} AT T#10ms EXPECT NOT q;")) is ExitCode.VIOLATED


def test_a_scan_that_does_not_complete_fails_and_ends_the_run(tmp_path: Path) -> None:
    block = BLOCK.replace("q := a", "IF a THEN kept := 1 / n; END_IF;\nq := a", 1)
    shown = played(written(tmp_path, block=block), f"{PRESS} AT T#40ms EXPECT NOT q;")
    found = failures(shown)
    assert [time for time, _ in found] == [10, 10]
    assert {type(failure.about) for _, failure in found} == {Finding, Expected}


def test_only_the_reading_decides_and_the_failing_runs_are_counted(folder: Path) -> None:
    """With edge_call_counts the timer has its scan of 10 ms at its edge."""
    text = "AT T#10ms a := TRUE; AT T#30ms EXPECT NOT delay.Q; UNTIL T#60ms;"
    shown = played(folder, text)
    (seen,) = shown.failures
    assert (seen.runs, shown.runs) == (2, 4)
    assert seen.run.readings["edge_call_counts"] is True


def test_choices_that_were_not_played_are_no_pass(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(playing, "MOST_RUNS", 3)
    shown = played(folder, PRESS)
    assert (shown.runs, shown.all_played) == (3, False)
    assert play_code(shown) is ExitCode.UNDECIDED
