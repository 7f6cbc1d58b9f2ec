"""``--total`` cuts what is open and keeps what is decided; a long silence is broken."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.commands import main as cli
from twohand.commands.shared import session
from twohand.commands.shared.session import Progress, say
from twohand.engine.workers.process import CUT_BY_TIME
from twohand.report.drawing.terminal import Terminal
from twohand.report.exit_code import ExitCode

from tests.support.places import GALLERY
from tests.support.tiers import rows

SPEC = str(GALLERY / "lid_press_type3.spec")
BLOCKS = (str(GALLERY / "lid_press_type2.st"), str(GALLERY / "lid_press_type3.st"))
AT_ONCE = ("--total", "0.000001", "--processes", "1")


@pytest.mark.parametrize(
    "command", rows(["check", "measure", "faults"], lambda name: name == "faults")
)
def test_what_a_command_has_no_time_for_is_open_and_no_pass(
    command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    code = cli.run([command, SPEC, *AT_ONCE])
    printed = " ".join(capsys.readouterr().out.split())
    assert code == ExitCode.UNDECIDED
    assert CUT_BY_TIME in printed or command == "faults", "the table has a word for each cell"
    assert "PROVED" not in printed
    assert "none costs" not in printed


def test_a_comparison_and_an_inspection_without_time_are_open(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    compared = ["compare", *BLOCKS, "--scan", "T#10ms", "--common", *AT_ONCE]
    assert cli.run(compared) == ExitCode.UNDECIDED
    assert CUT_BY_TIME in " ".join(capsys.readouterr().out.split())
    counts = tmp_path / "counts.st"
    counts.write_text(
        "FUNCTION_BLOCK Counts VAR_INPUT a : BOOL; END_VAR VAR n : INT; END_VAR"
        " IF a AND n < 100 THEN n := n + 1; END_IF; END_FUNCTION_BLOCK",
        encoding="utf-8",
    )
    assert cli.run(["inspect", str(counts), *AT_ONCE]) == ExitCode.UNDECIDED
    assert "CLEAN      no overflow" not in capsys.readouterr().out


def test_with_time_enough_nothing_changes(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    (tmp_path / "b.st").write_text(
        "FUNCTION_BLOCK B VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR q := a;"
        " END_FUNCTION_BLOCK",
        encoding="utf-8",
    )
    asked = "PROPERTY follows : q -> a;"
    text = f"SPEC B SOURCE 'b.st'; SCAN T#10ms; {asked} END_SPEC"
    (tmp_path / "b.spec").write_text(text, encoding="utf-8")
    assert cli.run(["check", str(tmp_path / "b.spec"), "--total", "1000"]) == ExitCode.ALL_PROVED
    assert "1 PROVED" in capsys.readouterr().out


def test_a_long_silence_is_broken_on_the_error_stream(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    progress = Progress(Terminal(80), enabled=False, prefix="press.spec: ")
    say("something", Terminal(80))
    progress("window: PROVED", 3, 7)
    assert capsys.readouterr() == ("something\n", "")
    monkeypatch.setattr(session, "LONG_SILENCE", 0.0)
    progress.at_work()
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("at work for ")
    assert err.endswith(": press.spec: 3 of 7, window: PROVED\n")
    monkeypatch.setattr(session, "LONG_SILENCE", 30.0)
    progress.at_work()
    assert capsys.readouterr() == ("", "")


def test_a_silence_before_a_command_began_is_not_its_own(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(session.SILENCE, "since", session.SILENCE.since - 1000.0)
    Progress(Terminal(80), enabled=False).at_work()
    assert capsys.readouterr().err == ""


def test_on_a_terminal_the_line_that_is_written_over_is_enough(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(session, "LONG_SILENCE", 0.0)
    progress = Progress(Terminal(80), enabled=True)
    progress.at_work()
    assert capsys.readouterr().err == ""
