"""Output that nobody reads to its end is no verdict and no error."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from twohand.commands import main as cli
from twohand.commands.shared.session import Session
from twohand.report.exit_code import ExitCode

from tests.support.answered_specs import COMMAND, surroundings


def with_reader_gone(command: list[str], folder: Path, errors_too: bool = False) -> tuple[int, str]:
    """Exit code and error output where the other end of the standard output is closed."""
    read_end, write_end = os.pipe()
    os.close(read_end)
    try:
        done = subprocess.run(
            command,
            cwd=folder,
            env=surroundings(),
            stdout=write_end,
            stderr=write_end if errors_too else subprocess.PIPE,
            text=True,
            check=False,
        )
    finally:
        os.close(write_end)
    return done.returncode, done.stderr or ""


@pytest.mark.long
@pytest.mark.parametrize("spec", ["good.spec", "bad.spec"])
def test_a_reader_that_left_gets_no_verdict(folder: Path, spec: str) -> None:
    command = [*COMMAND, "check", spec]
    assert with_reader_gone(command, folder) == (ExitCode.UNREAD, "")


def test_a_reader_of_both_streams_that_left_gets_no_verdict(folder: Path) -> None:
    command = [*COMMAND, "check", "broken.spec", "bad.spec"]
    assert with_reader_gone(command, folder, errors_too=True) == (ExitCode.UNREAD, "")


@pytest.mark.parametrize("arguments", [["--help"], ["check", "--help"], ["--version"]])
def test_help_that_nobody_reads_is_no_violation(folder: Path, arguments: list[str]) -> None:
    command = [sys.executable, "-m", "twohand", *arguments]
    assert with_reader_gone(command, folder) == (ExitCode.UNREAD, "")


def test_a_pipe_to_another_process_that_breaks_is_an_internal_error(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(*_: object) -> None:
        raise BrokenPipeError(32, "Broken pipe")

    monkeypatch.setattr(Session, "check", broken)
    assert cli.run(["check", "good.spec"]) == ExitCode.INTERNAL
    assert "internal error at good.spec" in capsys.readouterr().err
