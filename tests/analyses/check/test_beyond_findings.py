"""What holds if an overflow wraps is said in words of its own, and makes no pass."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
import twohand
from twohand.analyses.check.check import check
from twohand.analyses.check.exit_code import report_code
from twohand.commands.main import run
from twohand.evidence.limits import Options
from twohand.evidence.verdict import Report
from twohand.report.beyond_findings import beyond_sentences
from twohand.report.exit_code import ExitCode
from twohand.results import IfWrapped

from tests.support.samples.check_samples import logic, specification

OPTIONS = Options(effort=30.0, processes=1, beyond=True)
BLOCK = logic("n := s + k; q := a AND n < 10;", "a : BOOL; s, k : SINT;", "n : SINT;")
ASKED = """OUTPUT q; PROPERTY p : q -> a; PROPERTY w : s > 100 AND k > 100 -> n > 0;
    PROPERTY any : q -> TRUE; REACHABLE r : s > 100 AND k > 100 AND n < 0;
    REACHABLE never : q AND NOT a;"""


def found(folder: Path, block: str = BLOCK, asked: str = ASKED) -> Report:
    return check(specification(folder, block, asked), OPTIONS)


@pytest.mark.long
def test_what_holds_if_it_wraps_is_no_proof_and_no_pass(tmp_path: Path) -> None:
    report = found(tmp_path)
    said = list(beyond_sentences(report))
    falls = said.pop(1)
    assert said == [
        "p holds if it wraps",
        "any says nothing if it wraps",
        "r is reached if it wraps",
        "never is never reached if it wraps",
    ]
    assert falls.startswith("w falls if it wraps: at 0 ms (scan 1)")
    assert report.beyond is not None
    assert "PROVED" not in " ".join(said)
    assert report_code(report) is ExitCode.VIOLATED
    assert report_code(replace(report, beyond=None)) is ExitCode.VIOLATED


@pytest.mark.long
@pytest.mark.parametrize(
    ("body", "asks"),
    [
        ("n := 0; q := a;", False),
        ("n := 1 / k; q := a;", False),
        ("n := s + 1; q := a;", True),
    ],
)
def test_it_is_asked_only_where_an_overflow_may_happen(
    tmp_path: Path, body: str, asks: bool
) -> None:
    block = logic(body, "a : BOOL; s, k : SINT;", "n : SINT;")
    assert (found(tmp_path, block, "PROPERTY p : q -> a;").beyond is not None) is asks
    plain = check(
        specification(tmp_path, block, "PROPERTY p : q -> a;"), replace(OPTIONS, beyond=False)
    )
    assert plain.beyond is None


@pytest.mark.long
def test_another_finding_ends_what_holds_if_it_wraps(tmp_path: Path) -> None:
    block = logic("n := s + k / s; q := a;", "a : BOOL; s, k : SINT;", "n : SINT;")
    (said,) = beyond_sentences(found(tmp_path, block, "PROPERTY p : q -> a;"))
    assert said == "p holds if it wraps, until another finding happens"


@pytest.mark.long
def test_the_command_and_programs_are_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    specification(tmp_path, BLOCK, ASKED)
    path = tmp_path / "block.spec"
    command = ["check", str(path), "--beyond-findings", "--processes", "1"]
    for options in ["--brief"], ["--format", "concise"]:
        assert run([*command, *options]) == ExitCode.VIOLATED
        assert "p holds if it wraps" in capsys.readouterr().out
    (spec,) = twohand.check(path, beyond_findings=True, processes=1).specs
    words = {each.name: each.word for each in spec.if_it_wraps}
    assert words["p"] is IfWrapped.HOLDS
    assert words["w"] is IfWrapped.FALLS
    assert spec.exit_code is ExitCode.VIOLATED
    assert twohand.check(path, processes=1).specs[0].if_it_wraps == ()
