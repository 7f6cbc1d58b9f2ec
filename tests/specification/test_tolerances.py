"""What leaves little of a requirement fails the check, unless the spec says why it does not."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.analyses.check.check import check
from twohand.analyses.check.exit_code import report_code
from twohand.commands.main import run
from twohand.evidence.limits import Options
from twohand.report.drawing.terminal import Terminal
from twohand.report.exit_code import ExitCode
from twohand.report.summary import report_lines
from twohand.specification.model.specification import Specification

from tests.support.samples.specification_samples import load

TYPE = "REQUIRE TWO_HAND LOGIC TYPE"
DISCREPANCY = "REQUIRE discrepancy (first := left, second := right, notice := lamp, within :="
STROKE = "REQUIRE single_stroke (complete := rodHome"
REASON = "BECAUSE 'hand-fed, and the guard shuts first';"


@pytest.mark.parametrize(
    ("within", "beyond", "code"),
    [
        (f"{TYPE} III, TRUE_LAG T#500ms;", f"{TYPE} III, TRUE_LAG T#501ms;", "true-lag-too-wide"),
        (f"{TYPE} III, WINDOW T#480ms;", f"{TYPE} III, WINDOW T#501ms;", "window-too-wide"),
        (
            f"{TYPE} I, RELEASE WITHIN 5 SCANS;",
            f"{TYPE} I, RELEASE WITHIN 6 SCANS;",
            "release-too-late",
        ),
        ("AVAILABLE WITHIN T#1s;", "AVAILABLE WITHIN T#1001ms;", "answer-too-late"),
        ("AVAILABLE WITHIN 50 SCANS;", "AVAILABLE WITHIN 51 SCANS;", "answer-too-late"),
        ("BOUNCE T#100ms;", "BOUNCE T#101ms;", "bounce-too-long"),
        (f"{DISCREPANCY} T#5s);", f"{DISCREPANCY} T#5001ms);", "notice-too-late"),
        (f"{STROKE}, scans := 5);", f"{STROKE}, scans := 6);", "end-too-late"),
        (f"{STROKE}, unchanged := T#60s);", f"{STROKE}, unchanged := T#60001ms);", "end-too-late"),
        (
            "REQUIRE anti_tie_down (window := T#480ms);",
            "REQUIRE anti_tie_down (window := T#501ms);",
            "window-too-wide",
        ),
    ],
)
def test_a_tolerance_is_too_wide_just_beyond_its_limit(
    within: str, beyond: str, code: str, tmp_path: Path
) -> None:
    without = "REQUIRE" if TYPE in beyond else ""
    assert load(tmp_path, within, without).wide == ()
    assert [each.code for each in load(tmp_path, beyond, without).wide] == [code]
    accepted = load(tmp_path, f"{beyond} ACCEPT '{code}' {REASON}", without)
    assert accepted.wide == accepted.warnings == ()
    ((warning, reason),) = ((each.warning.code, each.reason) for each in accepted.accepted)
    assert (warning, reason) == (code, "hand-fed, and the guard shuts first")


def late(folder: Path, more: str = "") -> Specification:
    return load(folder, f"{TYPE} I, RELEASE WITHIN 6 SCANS; {more}", "REQUIRE")


@pytest.mark.long
def test_what_is_too_wide_fails_the_check_and_is_in_every_report(tmp_path: Path) -> None:
    report = check(late(tmp_path), Options(effort=20.0, processes=1))
    assert {verdict.outcome.value for verdict in report.verdicts} == {"PROVED"}
    assert report_code(report) is ExitCode.VIOLATED
    for brief in (False, True):
        shown = " ".join(" ".join(report_lines(report, Terminal(100), brief)).split())
        assert "TOLERANCE a release may stop the output as late as 120 ms after it is seen" in shown


@pytest.mark.long
def test_what_is_accepted_passes_and_every_report_repeats_the_reason(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    late(tmp_path, f"ACCEPT 'release-too-late' {REASON}")
    (path,) = tmp_path.glob("*.spec")
    for command in (
        ["check", str(path)],
        ["check", str(path), "--brief"],
        ["check", str(path), "--format", "concise"],
        ["faults", str(path)],
        ["faults", str(path), "--json", "-"],
        ["measure", str(path)],
        ["measure", str(path), "--json", "-"],
    ):
        code = run([*command, "--processes", "1"])
        if command[0] == "check":
            assert code == ExitCode.ALL_PROVED
        shown = " ".join(capsys.readouterr().out.split())
        assert "hand-fed, and the guard shuts first" in shown, command
        assert "120 ms after it is seen" in shown, command
