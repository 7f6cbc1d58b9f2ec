"""What stays open under one reading is open; a finding that was executed is never impossible."""

from __future__ import annotations

import sys
from pathlib import Path
from types import SimpleNamespace
from typing import cast

import pytest
from twohand.analyses.check.check import check
from twohand.analyses.check.exit_code import report_code
from twohand.engine.system.contract import Unknown
from twohand.evidence.checks.finding import FindingCheck
from twohand.evidence.context import CheckContext
from twohand.evidence.contradiction import InternalContradiction
from twohand.evidence.limits import Options
from twohand.evidence.proofs.query import Query, QueryResult
from twohand.evidence.runs.long_runs import LongRuns
from twohand.evidence.verdict import Outcome
from twohand.report.exit_code import ExitCode
from twohand.scan.finding import Finding, FindingKind
from twohand.text.source_text import SourceText, Span

from tests.support.samples.check_samples import logic, specification

OPTIONS = Options(effort=20.0, processes=1, start_method="fork")
AT_FIRST_CALL = logic(
    "edge(CLK := a); IF edge.Q THEN m := TRUE; END_IF; q := m AND b;", more="edge : F_TRIG; m:BOOL;"
)


@pytest.mark.long
@pytest.mark.skipif(sys.platform != "linux", reason="a spawned worker does not see the change")
def test_what_is_open_under_one_reading_is_open(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whether the output can be on, what is to be reached, and what a requirement speaks of."""
    ask = Query.__call__

    def asked(query: Query) -> QueryResult:
        return QueryResult(Unknown("asleep")) if query.problem.fixed else ask(query)

    monkeypatch.setattr(Query, "__call__", asked)
    statements = "OUTPUT q; ASSUME NOT a; REACHABLE on : q; PROPERTY needs_b : q -> b;"
    report = check(specification(tmp_path, AT_FIRST_CALL, statements), OPTIONS)
    found = {verdict.requirement.identifier: verdict for verdict in report.verdicts}
    assert found["on"].outcome is Outcome.UNDECIDED
    assert "asleep" in found["on"].reason
    assert found["needs_b"].outcome is Outcome.PROVED
    assert "can happen was not decided (asleep)" in found["needs_b"].reason
    assert [warning.code for warning in report.warnings] == ["output-undecided"]
    assert report_code(report) is ExitCode.UNDECIDED


@pytest.mark.long
@pytest.mark.skipif(sys.platform != "linux", reason="a spawned worker does not see the change")
def test_every_finding_that_nobody_decides_is_open(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Asked together and each by itself; none of them is executed."""
    monkeypatch.setattr(Query, "__call__", lambda _: QueryResult(Unknown("asleep")))
    monkeypatch.setattr(LongRuns, "findings", {})
    monkeypatch.setattr(LongRuns, "refuting", lambda *_: None)
    block = logic("n := n + 1; m := m - 1; k := 1 / n;", more="n, m, k : INT;")
    report = check(specification(tmp_path, block, "OUTPUT q; PROPERTY p : q = q;"), OPTIONS)
    open_ones = {found.finding.span.text: found.outcome for found in report.findings}
    assert open_ones == dict.fromkeys(("n + 1", "m - 1", "1 / n"), Outcome.UNDECIDED)
    assert report.findings_excluded == 0
    assert [warning.code for warning in report.warnings] == ["output-undecided"]
    assert report.never_on == ()
    assert report_code(report) is ExitCode.UNDECIDED


def test_a_finding_that_was_executed_is_not_impossible() -> None:
    span = Span(SourceText("block.st", "n := n + 1;"), 0, 10)
    seen = Finding(FindingKind.OVERFLOW, span)
    case = SimpleNamespace(questions=SimpleNamespace(findings=[]))
    with pytest.raises(InternalContradiction, match="proved impossible that was executed"):
        FindingCheck(cast(CheckContext, case)).agree_with([seen])
