"""``twohand probe``: the program for the bench, and what its numbers become."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.commands.main import run
from twohand.probe.number import probe_program
from twohand.report.exit_code import ExitCode

Capture = pytest.CaptureFixture[str]
NUMBER = 87385361
"""Of a platform where all readings are TRUE but that of loops."""

BLOCK = """FUNCTION_BLOCK Press VAR_INPUT a, b : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR
VAR t : TON; END_VAR
t(IN := a, PT := T#0s); q := b AND t.Q; END_FUNCTION_BLOCK"""
SPEC = """SPEC Press SOURCE 'press.st'; SCAN T#10ms; HAND left = a; HAND right = b; OUTPUT q;
REQUIRE TWO_HAND LOGIC TYPE I;
{readings}
END_SPEC"""


def reading(numbers: int) -> list[str]:
    return ["probe", *(["--read", str(NUMBER)] * numbers)]


def test_the_program_is_written_and_nothing_is_replaced(tmp_path: Path, capsys: Capture) -> None:
    target = tmp_path / "probe.st"
    assert run(["probe", "--to", str(target)]) == ExitCode.ALL_PROVED
    assert target.read_text(encoding="utf-8") == probe_program()
    assert "Never run it on a machine" in " ".join(capsys.readouterr().out.split())
    target.write_text("mine", encoding="utf-8")
    assert run(["probe", "--to", str(target)]) == ExitCode.UNUSABLE
    assert "there is a file already [not-written]" in capsys.readouterr().err
    assert target.read_text(encoding="utf-8") == "mine"


def test_what_it_prints_is_a_part_of_a_spec_once_it_is_filled_in(
    tmp_path: Path, capsys: Capture
) -> None:
    assert run(reading(3)) == ExitCode.ALL_PROVED
    shown = capsys.readouterr().out
    statements = "\n".join(line for line in shown.splitlines() if "READING" in line)
    (tmp_path / "press.st").write_text(BLOCK, encoding="utf-8")
    spec = tmp_path / "press.spec"
    spec.write_text(SPEC.format(readings=statements), encoding="utf-8")
    assert run(["check", str(spec)]) == ExitCode.UNUSABLE
    assert "[observation-not-filled-in]" in capsys.readouterr().err
    filled = statements.replace("?", "4711")
    spec.write_text(SPEC.format(readings=filled), encoding="utf-8")
    assert run(["check", str(spec)]) == ExitCode.ALL_PROVED
    said = " ".join(capsys.readouterr().out.split())
    assert "Of the platform somebody observed, and nothing proves: edge_call_counts TRUE," in said
    assert "loop_leaves_past_end FALSE (controller 4711, firmware 4711," in said


@pytest.mark.parametrize("numbers", [1, 2])
def test_fewer_starts_leave_all_open(numbers: int, capsys: Capture) -> None:
    assert run(reading(numbers)) == ExitCode.UNDECIDED
    shown = capsys.readouterr().out
    assert "Leave every reading open." in shown
    assert "READING" not in shown


@pytest.mark.parametrize(
    "arguments", [["probe"], [*reading(1), "--to", "p.st"], ["probe", "--read", str(NUMBER + 1)]]
)
def test_wrong_command_lines_are_refused(arguments: list[str]) -> None:
    assert run(arguments) == ExitCode.UNUSABLE
