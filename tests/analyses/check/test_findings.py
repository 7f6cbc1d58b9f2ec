"""Overflows, divisions by zero and their like: shown with their runs, or proved impossible."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from twohand.analyses.check.check import check
from twohand.evidence.limits import Options
from twohand.evidence.proofs.dispatcher import Dispatcher
from twohand.evidence.runs.long_runs import LongRuns
from twohand.evidence.verdict import Outcome
from twohand.scan.finding import FindingKind

from tests.support.samples.check_samples import (
    logic,
    outcomes,
    specification,
)
from tests.support.unanswered import NO_ANSWER

OPTIONS = Options(effort=30.0, processes=2)


def test_findings_are_shown_with_their_runs_and_the_rest_counts_as_impossible(
    tmp_path: Path,
) -> None:
    block = logic(
        "IF a THEN n := n + 1; ELSIF n > 0 THEN n := n - 1; END_IF;"
        "m := 10 / (n + 1); q := n > 120;",
        "a, b : BOOL;",
        "n, m : SINT := 120;",
    )
    spec = specification(tmp_path, block, "PROPERTY p : q -> once(a); PROPERTY wrong : NOT q;")
    report = check(spec, OPTIONS)
    kinds = {found.finding.kind for found in report.findings}
    assert kinds == {FindingKind.OVERFLOW}
    for found in report.findings:
        assert found.outcome is Outcome.VIOLATED
        assert found.counterexample is not None
        last = found.counterexample.records[-1].finding
        assert last is not None
        assert last.span.start == found.finding.span.start
    assert outcomes(report) == {"p": "PROVED", "wrong": "VIOLATED"}
    total = len(report.findings) + report.findings_excluded
    assert total >= 2


@pytest.mark.long
def test_a_finding_that_only_ever_precedes_another_one_in_its_scan_is_found(
    tmp_path: Path,
) -> None:
    """Without 'a' the second division fails alone; with it the first one fails before it."""
    block = logic(
        "IF b THEN n := 0; END_IF; IF a THEN m := 10 / n; END_IF; k := 20 / n; q := a;",
        more="m, k : INT; n : INT := 1;",
    )
    report = check(specification(tmp_path, block, "PROPERTY p : q -> a;"), OPTIONS)
    places = [found.finding.span.text for found in report.findings]
    assert places == ["10 / n", "20 / n"]
    for found in report.findings:
        assert found.counterexample is not None
        assert found.counterexample.records[-1].finding == found.finding


@pytest.mark.long
def test_a_run_to_one_finding_may_show_another_one_that_could_not_be_decided_by_itself(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Time runs out for both together and, twice, for '10 / n' alone; the run to '20 / n', which
    comes after it only, is executed and has '10 / n'."""
    questions: list[str] = []
    decide = Dispatcher.decide

    def late(desk: Dispatcher, name: str, *arguments: Any, **options: Any) -> None:
        if name == "automatic findings":
            questions.append(name)
            if len(questions) in (1, 3, 4):
                arguments[2](NO_ANSWER)
                return
        decide(desk, name, *arguments, **options)

    monkeypatch.setattr(Dispatcher, "decide", late)
    monkeypatch.setattr(LongRuns, "findings", {})
    block = logic(
        "IF c THEN k := 20 / n; END_IF; IF b THEN m := 10 / n; c := TRUE; END_IF; q := a;",
        more="m, k, n : INT; c : BOOL;",
    )
    report = check(specification(tmp_path, block, "PROPERTY p : q -> a;"), OPTIONS)
    (found,) = report.findings
    assert (found.finding.span.text, found.outcome) == ("10 / n", Outcome.VIOLATED)
    assert found.counterexample is not None
    assert found.counterexample.records[-1].finding == found.finding
    assert report.findings_excluded == 1
    assert len(questions) == 5


@pytest.mark.long
def test_a_violation_that_needs_a_finding_first_is_none(tmp_path: Path) -> None:
    """After the division by zero anything may be; until then the output stays off."""
    block = logic(
        "n := 10 / m; q := n > 10; m := 1; IF a THEN m := 0; END_IF;", more="n, m: INT:=1;"
    )
    spec = specification(tmp_path, block, "PROPERTY p : b -> NOT q;")
    report = check(spec, OPTIONS)
    assert [found.finding.kind for found in report.findings] == [FindingKind.DIVISION_BY_ZERO]
    assert outcomes(report) == {"p": "PROVED"}


@pytest.mark.long
def test_what_is_guarded_is_excluded_though_another_place_needs_a_long_run(tmp_path: Path) -> None:
    """'m' leaves its type after 65,535 scans, 'n' never does; neither keeps the other one open."""
    block = logic("IF n < 65535 THEN n := n + 1; END_IF; m := m + 1; q := a;", more="n, m : UINT;")
    report = check(specification(tmp_path, block, "PROPERTY p : q -> a;"), OPTIONS)
    assert [found.finding.span.text for found in report.findings] == ["m + 1"]
    assert report.findings[0].outcome is Outcome.VIOLATED
    assert report.findings_excluded == 1


def test_what_is_not_answered_soon_is_asked_place_by_place_with_all_the_time(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[float] = []
    decide = Dispatcher.decide

    def slow(self: Dispatcher, name: str, *rest: Any, **options: Any) -> None:
        if name != "automatic findings":
            decide(self, name, *rest, **options)
            return
        asked.append(rest[3])
        rest[2](NO_ANSWER)

    monkeypatch.setattr(Dispatcher, "decide", slow)
    monkeypatch.setattr(LongRuns, "findings", {})
    block = logic("n := n + 1; m := m + 1; q := a;", more="n, m : INT;")
    report = check(specification(tmp_path, block, "PROPERTY p : q -> a;"), OPTIONS)
    assert [found.outcome for found in report.findings] == [Outcome.UNDECIDED] * 2
    assert asked[0] < OPTIONS.effort
    assert sorted(asked) == [asked[0]] * 3 + [OPTIONS.effort] * 2
