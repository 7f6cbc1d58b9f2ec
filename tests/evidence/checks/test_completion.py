"""Where every run ends in a finding in its first scan, nothing is proved, clean or the same."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from twohand.analyses.check.check import check
from twohand.analyses.check.exit_code import report_code
from twohand.commands.main import run
from twohand.evidence.contradiction import InternalContradiction
from twohand.evidence.encoding import Encoding
from twohand.evidence.limits import Options
from twohand.evidence.verdict import Outcome, Report, Vacuity
from twohand.report.drawing.terminal import Terminal
from twohand.report.exit_code import ExitCode
from twohand.report.summary import report_lines

from tests.support.samples.check_samples import logic, outcomes, specification

OPTIONS = Options(effort=20.0, processes=1)
MORE = "n, zero : INT; t : TON; list : ARRAY[0..3] OF BOOL; i : INT := 4; back : BOOL;"
ALWAYS = "n := 7 / zero; q := a;"
ASKED = """OUTPUT q; PROPERTY p : q -> a; PROPERTY w : NOT q; PROPERTY any : q -> TRUE;
    REACHABLE on : q; REACHABLE r : a;"""


def report(folder: Path, body: str, asked: str = ASKED) -> Report:
    return check(specification(folder, logic(body, more=MORE), asked), OPTIONS)


@pytest.mark.long
@pytest.mark.parametrize(
    "body",
    [
        ALWAYS,
        "list[i] := a; i := 0; q := a;",
        "q := a; IF a THEN n := 1 / zero; ELSE list[i] := b; END_IF;",
    ],
)
def test_where_no_scan_completes_nothing_is_proved(tmp_path: Path, body: str) -> None:
    found = report(tmp_path, body)
    assert set(outcomes(found).values()) == {"VACUOUS"}
    assert {verdict.vacuity for verdict in found.verdicts} == {Vacuity.NO_SCAN}
    assert all(verdict.certificate is not None for verdict in found.verdicts)
    assert "no-scan-completes" in [each.code for each in found.warnings]
    assert report_code(found) is ExitCode.VIOLATED


@pytest.mark.long
def test_what_happens_without_power_is_no_scan_that_completes(tmp_path: Path) -> None:
    found = report(
        tmp_path,
        ALWAYS,
        "POWER CYCLES; OUTPUT q; PROPERTY p : NOT q; PROPERTY w : power.on OR q;"
        "REACHABLE r : a; REACHABLE on : q;",
    )
    assert outcomes(found) == {"p": "VACUOUS", "w": "VIOLATED", "r": "PROVED", "on": "VACUOUS"}
    (warning,) = [each for each in found.warnings if each.code == "no-scan-completes"]
    assert "no scan under power completes" in warning.message
    assert found.verdicts[0].vacuity is Vacuity.NO_SCAN


@pytest.mark.long
@pytest.mark.parametrize(
    "body",
    [
        "IF a THEN n := 1 / zero; END_IF; q := a OR b;",
        "IF back THEN n := 1 / zero; END_IF; back := TRUE; q := a;",
        "IF NOT back THEN n := 0; ELSE n := 1 / zero; END_IF; back := a; q := a;",
    ],
)
def test_where_some_scan_completes_what_holds_until_a_finding_is_said_to(
    tmp_path: Path, body: str
) -> None:
    found = report(tmp_path, body, "OUTPUT q; PROPERTY p : q -> once(a) OR once(b); REACHABLE q;")
    assert [each.outcome for each in found.findings] == [Outcome.VIOLATED]
    assert set(outcomes(found).values()) == {"PROVED"}
    assert "no-scan-completes" not in [each.code for each in found.warnings]


@pytest.mark.long
def test_an_output_that_only_a_finding_keeps_off_is_not_never_on(tmp_path: Path) -> None:
    body = "IF a THEN n := 1 / zero; END_IF; q := a; dead := FALSE;"
    block = logic(body, more=MORE).replace("q : BOOL;", "q, dead : BOOL;")
    statements = "OUTPUT q, dead; PROPERTY p : NOT (q AND b);"
    found = check(specification(tmp_path, block, statements), OPTIONS)
    assert found.never_on == ("dead",)
    assert found.on_after_finding == ("q",)
    assert "OFF          output q stays off until" in "\n".join(report_lines(found, Terminal(100)))


@pytest.mark.long
def test_one_reading_may_leave_a_finding_before_an_output_goes_on(tmp_path: Path) -> None:
    """F_TRIG on a first call with CLK FALSE gives an edge or none: with one 'q' needs 'once' to
    be FALSE, and then the division comes first."""
    body = (
        "e(CLK := FALSE); IF e.Q THEN back := TRUE; END_IF;"
        "IF a AND back THEN n := 1 / zero; END_IF; q := a;"
    )
    block = logic(body, more=f"{MORE} e : F_TRIG;")
    found = check(specification(tmp_path, block, "OUTPUT q; PROPERTY p : q -> a;"), OPTIONS)
    assert found.never_on == ()
    assert found.on_after_finding == ("q",)
    assert found.never_on_where == {"q": {"falling_edge_at_first_call": True}}
    shown = " ".join(" ".join(report_lines(found, Terminal(100))).split())
    assert re.search("output q stays off where [^,]+, until one of the findings below", shown)


@pytest.mark.long
@pytest.mark.parametrize(
    ("other", "until"), [("IF a THEN n := 1 / zero; END_IF;", True), ("", False)]
)
def test_what_is_excluded_is_so_until_another_finding_comes(
    tmp_path: Path, other: str, until: bool
) -> None:
    found = report(tmp_path, f"i := i MOD 4; list[i] := b; {other} q := b;", "PROPERTY p : q -> b;")
    assert found.findings_excluded
    (line,) = [each for each in report_lines(found, Terminal(200)) if "EXCLUDED" in each]
    assert line.endswith("until a finding happens") is until


def test_a_run_of_whole_scans_contradicts_that_none_completes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    impossible = Encoding.finding
    monkeypatch.setattr(
        Encoding, "completed_scan", lambda self: impossible(self, (), [f for f, _ in self.findings])
    )
    with pytest.raises(InternalContradiction, match="no scan completes"):
        report(tmp_path, "IF a THEN n := 1 / zero; END_IF; q := b;", "PROPERTY p : NOT q;")


@pytest.mark.long
def test_inspect_and_compare_say_that_no_scan_completes(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    block = logic(ALWAYS, more=MORE)
    Path("one.st").write_text(block, encoding="utf-8")
    Path("two.st").write_text(block.replace("q := a", "q := NOT a"), encoding="utf-8")
    Path("right.st").write_text(block.replace("7 / zero", "7"), encoding="utf-8")

    def said(code: ExitCode, *arguments: str) -> str:
        assert run([*arguments, "--processes", "1"]) == code
        return capsys.readouterr().out

    def told(text: str) -> bool:
        return "[no-scan-completes]" in text

    for options in (), ("--skip", "finding"):
        shown = said(ExitCode.VIOLATED, "inspect", "one.st", *options)
        assert told(shown)
        assert "CLEAN" not in shown
    same = said(ExitCode.UNUSABLE, "compare", "one.st", "two.st")
    assert told(same)
    assert "NO SCAN      q is not compared: no scan completes" in same
    assert "never-changes" not in same
    assert told(said(ExitCode.VIOLATED, "compare", "one.st", "right.st"))
