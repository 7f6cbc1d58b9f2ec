"""Streams that are closed or full, and documents with names that no encoding has."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from twohand.commands.shared.document import OUTPUT, write_document
from twohand.record.plain import Data
from twohand.report.drawing.terminal import Terminal
from twohand.report.exit_code import ExitCode

FULL = Path("/dev/full")
STRANGE: Data = {"file": "p\udce4.st", "title": "Rüstplatz 手"}


def console(encoding: str) -> Terminal:
    return Terminal(80, encoding=encoding)


def test_a_document_keeps_a_path_with_bytes_that_are_none_of_utf_8(tmp_path: Path) -> None:
    target = tmp_path / "found.json"
    assert write_document(STRANGE, str(target), console("utf-8")) is ExitCode.ALL_PROVED
    assert json.loads(target.read_text(encoding="utf-8")) == STRANGE


@pytest.mark.parametrize("encoding", ["ascii", "cp1252"])
def test_a_document_on_a_plain_console_keeps_its_names(
    encoding: str, capsys: pytest.CaptureFixture[str]
) -> None:
    write_document(STRANGE, OUTPUT, console(encoding))
    shown = capsys.readouterr().out
    assert shown.isascii()
    assert json.loads(shown) == STRANGE


def test_a_document_on_a_good_console_is_readable(capsys: pytest.CaptureFixture[str]) -> None:
    write_document({"title": STRANGE["title"]}, OUTPUT, console("utf-8"))
    assert "Rüstplatz 手" in capsys.readouterr().out


def ended(arguments: list[str], **streams: Any) -> tuple[int, str]:
    """The exit code, and what the error stream shows where it is a pipe."""
    done = subprocess.run(
        [sys.executable, "-m", "twohand", *arguments], text=True, check=False, **streams
    )
    return done.returncode, done.stderr or ""


@pytest.mark.skipif(sys.platform == "win32", reason="the shells there cannot close a stream")
@pytest.mark.parametrize(
    ("arguments", "code"), [(["explain"], 0), (["check", "nothing.spec"], 2), (["--help"], 0)]
)
def test_streams_that_are_closed_change_no_exit_code(arguments: list[str], code: int) -> None:
    def close() -> None:
        os.close(1)
        os.close(2)

    assert ended(arguments, preexec_fn=close)[0] == code


@pytest.mark.skipif(not FULL.exists(), reason="the system has no device that is always full")
def test_output_that_cannot_be_written_is_no_violation() -> None:
    with FULL.open("w") as full:
        code, told = ended(["explain"], stdout=full, stderr=subprocess.PIPE)
        assert code == ExitCode.UNUSABLE
        assert told.startswith("error: the output cannot be written: ")
        assert len(told.splitlines()) == 1
        assert ended(["explain", "--no"], stdout=full, stderr=full)[0] == ExitCode.UNUSABLE
