"""Where assumptions may contradict each other nothing is proved, in no kind of report."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from twohand.analyses.check.check import check
from twohand.analyses.check.exit_code import report_code
from twohand.analyses.faults.check import check_faults
from twohand.analyses.faults.table import Standing
from twohand.analyses.measure.measure import measure
from twohand.analyses.measure.results import Decision
from twohand.analyses.measure.text import measure_code
from twohand.engine.system.contract import Unknown
from twohand.evidence.checks.input_existence import CheckAssumptions
from twohand.evidence.limits import Options, open_pool
from twohand.evidence.verdict import Outcome
from twohand.report.exit_code import ExitCode

from tests.support.samples.check_samples import TWO_HANDS, TYPE_THREE, specification
from tests.support.samples.fault_samples import PAIR_SPEC, analysis

OPTIONS = Options(effort=20.0, processes=1)


pytestmark = pytest.mark.skipif(
    sys.platform != "linux", reason="a spawned worker does not see the change"
)
ASSUMED = "ASSUME NOT (left AND prev(right));"


@pytest.fixture(autouse=True)
def too_hard(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nobody can say whether the assumptions leave a possible input."""
    monkeypatch.setattr(CheckAssumptions, "__call__", lambda _: Unknown("too hard"))


@pytest.mark.long
def test_what_is_reached_is_told_and_is_no_pass(tmp_path: Path) -> None:
    spec = specification(tmp_path, TYPE_THREE, f"{ASSUMED} REACHABLE r : stroke;")
    report = check(spec, OPTIONS)
    assert [verdict.outcome for verdict in report.verdicts] == [Outcome.PROVED]
    assert report.doubt
    assert report_code(report) is ExitCode.UNDECIDED


@pytest.mark.long
def test_no_reading_is_said_to_decide(tmp_path: Path) -> None:
    block = TYPE_THREE.replace("PT := T#100ms", "PT := T#0ms")
    asked = f"{TWO_HANDS} {ASSUMED} PROPERTY p : NOT stroke; PROPERTY q : stroke -> left;"
    report = check(specification(tmp_path, block, asked), OPTIONS)
    assert {verdict.outcome for verdict in report.verdicts} <= {
        Outcome.VIOLATED,
        Outcome.UNDECIDED,
    }
    runs = [v.counterexample for v in report.verdicts if v.counterexample is not None]
    assert not any(run.reading_decides for run in runs)
    assert report.never_on_where == {}
    assert [w.code for w in report.warnings if w.code.startswith("reading")] == []


@pytest.mark.long
def test_no_lag_is_bounded_and_no_finding_excluded(tmp_path: Path) -> None:
    """The sum never leaves its type, which would be told if the assumptions were not in doubt."""
    asked = f"{TWO_HANDS} {ASSUMED} REQUIRE TWO_HAND LOGIC TYPE III, WINDOW T#100ms;"
    block = TYPE_THREE.replace("armed : BOOL;", "armed : BOOL; k : INT;").replace(
        "END_FUNCTION_BLOCK", "k := (k + 1) MOD 5;\nEND_FUNCTION_BLOCK"
    )
    report = check(specification(tmp_path, block, asked), OPTIONS)
    assert [lag.bound for lag in report.lags] == [None]
    assert report.findings_excluded == 0


@pytest.mark.long
def test_no_limit_is_no_pass(tmp_path: Path) -> None:
    asked = f"{TWO_HANDS} {ASSUMED} PROPERTY p : stroke -> left;"
    block = TYPE_THREE.replace("stroke := TRUE;", "stroke := left;")
    report = measure(specification(tmp_path, block, asked), OPTIONS)
    assert report.figures
    decisions = {result.time.decision for result in report.figures}
    assert decisions <= {Decision.UNDECIDED, Decision.NO_LIMIT}
    assert measure_code(report) is not ExitCode.ALL_PROVED


@pytest.mark.long
def test_no_requirement_is_proved_under_a_fault(
    tmp_path: Path,
) -> None:
    asked = analysis(tmp_path, PAIR_SPEC, "ASSUME guardShut OR prev(guardShut);")
    with open_pool(OPTIONS) as pool:
        table = check_faults(asked, OPTIONS, lambda *_: None, pool, combine=False)
    standings = {cell.standing for row in table.rows for cell in row.cells}
    assert Standing.PROVED not in standings
    assert Standing.UNDECIDED in standings
