"""What has to be reached is reached on every platform, or the report names the reading."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.analyses.check.check import check
from twohand.evidence.limits import Options
from twohand.evidence.verdict import Outcome, Report, Verdict
from twohand.report.drawing.terminal import Terminal
from twohand.report.summary import report_lines

from tests.support.samples.check_samples import logic, specification

OPTIONS = Options(effort=20.0, processes=2)
FIRST_CALL = "falling_edge_at_first_call"
AT_FIRST_CALL = logic(
    "edge(CLK := a); IF edge.Q THEN m := TRUE; END_IF; q := m AND b;", more="edge : F_TRIG; m:BOOL;"
)
"""With 'a' never on, 'q' comes on only where F_TRIG fires at its first call (IEC 61131-3 leaves
that open)."""


def verdicts(report: Report) -> dict[str, Verdict]:
    return {verdict.requirement.identifier: verdict for verdict in report.verdicts}


def test_what_is_reached_under_one_reading_only_is_unreachable(tmp_path: Path) -> None:
    statements = "OUTPUT q; ASSUME NOT a; REACHABLE on : q; PROPERTY needs_b : q -> b;"
    report = check(specification(tmp_path, AT_FIRST_CALL, statements), OPTIONS)
    for name in ("on", "needs_b"):
        verdict = verdicts(report)[name]
        assert verdict.outcome is Outcome.VACUOUS
        assert verdict.readings == {FIRST_CALL: False}
        assert verdict.certificate is not None
        assert verdict.witness is not None
    assert report.never_on == ("q",)
    assert report.never_on_where == {"q": {FIRST_CALL: False}}


@pytest.mark.long
def test_what_is_reached_without_the_reading_only_is_unreachable_as_well(tmp_path: Path) -> None:
    """The opposite of the block above: 'q' needs an F_TRIG that is silent at its first call."""
    block = AT_FIRST_CALL.replace("q := m AND b", "q := NOT m AND b")
    report = check(specification(tmp_path, block, "ASSUME NOT a; REACHABLE on : q;"), OPTIONS)
    assert verdicts(report)["on"].outcome is Outcome.VACUOUS
    assert verdicts(report)["on"].readings == {FIRST_CALL: True}


@pytest.mark.long
@pytest.mark.parametrize(
    ("more", "outcome"),
    [("READING falling_edge_at_first_call TRUE;", "PROVED"), ("ASSUME b OR NOT b;", "VACUOUS"),
     ("READING falling_edge_at_first_call FALSE;", "VACUOUS")],
)  # fmt: skip
def test_a_spec_that_fixes_the_reading_is_judged_by_it(
    tmp_path: Path, more: str, outcome: str
) -> None:
    statements = f"{more} OUTPUT q; ASSUME NOT a; REACHABLE on : q;"
    report = check(specification(tmp_path, AT_FIRST_CALL, statements), OPTIONS)
    assert verdicts(report)["on"].outcome.value == outcome
    assert bool(report.never_on) is (outcome == "VACUOUS")


@pytest.mark.long
def test_runs_of_different_platforms_may_reach_it_in_different_ways(tmp_path: Path) -> None:
    """'m' is on where F_TRIG fires at its first call; then it takes 'b', else its absence."""
    body = "edge(CLK := a); IF edge.Q THEN m := TRUE; END_IF; q := m AND b OR NOT m AND NOT b;"
    block = logic(body, more="edge : F_TRIG; m : BOOL;")
    statements = "OUTPUT q; ASSUME NOT a; REACHABLE on : q; PROPERTY p : q -> m = b;"
    report = check(specification(tmp_path, block, statements), OPTIONS)
    assert {verdict.outcome for verdict in report.verdicts} == {Outcome.PROVED}
    assert report.never_on == ()


@pytest.mark.long
def test_a_reading_does_not_decide_what_is_violated_under_every_one(tmp_path: Path) -> None:
    """The run that is shown hangs on the reading; another one violates it under the other."""
    body = "edge(CLK := a); IF edge.Q THEN m := TRUE; END_IF; q := m AND b OR NOT m AND NOT b;"
    block = logic(body, more="edge : F_TRIG; m : BOOL;")
    report = check(specification(tmp_path, block, "ASSUME NOT a; PROPERTY off : NOT q;"), OPTIONS)
    run = verdicts(report)["off"].counterexample
    assert run is not None
    assert set(run.readings) == {FIRST_CALL}
    assert not run.reading_decides


@pytest.mark.long
def test_the_reading_that_decides_verdicts_is_warned_of_once(tmp_path: Path) -> None:
    statements = "ASSUME NOT a; REACHABLE on : q; PROPERTY off : NOT q; PROPERTY fine : b = b;"
    report = check(specification(tmp_path, AT_FIRST_CALL, statements), OPTIONS)
    assert verdicts(report)["off"].outcome is Outcome.VIOLATED
    (warning,) = [w for w in report.warnings if w.code == "reading-decides"]
    assert warning.message == (
        "what is said of 'on' and 'off' hangs on how the platform reads "
        "'falling_edge_at_first_call'"
    )
    assert "READING falling_edge_at_first_call TRUE; or FALSE;" in warning.help


@pytest.mark.long
@pytest.mark.parametrize("value", ["TRUE", "FALSE"])
def test_a_reading_that_is_fixed_is_not_warned_of(tmp_path: Path, value: str) -> None:
    statements = f"READING falling_edge_at_first_call {value}; ASSUME NOT a; PROPERTY off : NOT q;"
    report = check(specification(tmp_path, AT_FIRST_CALL, statements), OPTIONS)
    assert [w for w in report.warnings if w.code == "reading-decides"] == []


@pytest.mark.long
def test_the_report_names_the_reading_under_which_nothing_happens(tmp_path: Path) -> None:
    statements = "OUTPUT q; ASSUME NOT a; REACHABLE on : q; PROPERTY needs_b : q -> b;"
    report = check(specification(tmp_path, AT_FIRST_CALL, statements), OPTIONS)
    text = " ".join(line.strip() for line in report_lines(report, Terminal(width=200)))
    where = (
        "where F_TRIG is silent when its first call finds CLK FALSE, though under another "
        "reading it does"
    )
    assert f"no run ever reaches it {where}" in text
    assert f"what it speaks of can never happen {where}" in text
    assert f"output q can never turn on {where}" in text
