"""What is typed wrong is told in a sentence, before any work, with what would be right."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest
from twohand.commands import main as cli
from twohand.files.reading import read_source, source_files
from twohand.text.diagnostic import InputError


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["check", "a.spec", "--seconds", "nan"], "'nan' is not a valid number"),
        (["check", "a.spec", "--seconds", "inf"], "not in the range 0<x<=1000000"),
        (["check", "a.spec", "--seconds", "5e6"], "not in the range 0<x<=1000000"),
        (["inspect", ""], "an empty path names no file"),
        (["measure", " "], "an empty path names no file"),
        (["read", ""], "an empty path names no file"),
        (["compare", "a.st", ""], "an empty path names no file"),
        (["check", ""], "an empty path names no file"),
        (["inspect", "a.st", "--kinds", ","], "names none of skipped-call"),
        (["inspect", "a.st", "--skip", ""], "names none of skipped-call"),
        (["inspect", "a.st", "--scan", "10ms"], "a time is written T#10ms"),
        (["check", "*"], "*: error: there is no such file or folder [missing-file]"),
        (["faults", "**"], "**: error: there is no such file or folder [missing-file]"),
        (["check", "[a"], "[a: error: there is no such file or folder [missing-file]"),
        (["a.st"], "twohand inspect a.st"),
        (["b.XML"], "twohand inspect b.XML"),
        (["a.spec"], "twohand check a.spec"),
        (["read", "c.st"], "c.st: error: there is no such file [missing-file]"),
        (["read", "a.spec"], "to check it, type: twohand check a.spec"),
        (["compare", "a.spec", "a.st"], "this is a spec; what is compared are blocks"),
        (["check", "a.st"], "or inspect it without one: twohand inspect a.st"),
        (
            ["measure", "a.spec", "b.spec"],
            "one file at a time; type: twohand measure a.spec; twohand measure b.spec",
        ),
        (["read", "a.st", "b.st"], "type: twohand read a.st; twohand read b.st"),
        (["measure"], "Missing argument 'FILE'"),
        (["measure", "."], ".: error: this is a folder, not a file [not-a-file]"),
        (["inspect", "a.st", "--json", ""], "cannot be written: its name is empty"),
        (["compare", "a.st", "a.st", "--json", "."], "cannot be written: this is a folder"),
        (["faults", "a.spec", "--json", "no/a.json"], "cannot be written: there is no such folder"),
    ],
)
def test_a_wrong_command_line_is_told(
    arguments: list[str],
    told: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("a.st").write_text("FUNCTION_BLOCK A\nEND_FUNCTION_BLOCK\n")
    Path("a.spec").write_text(
        "SPEC A\nSOURCE 'a.st';\nSCAN T#10ms;\nREACHABLE FIRST_SCAN;\nEND_SPEC"
    )
    assert cli.run(arguments) == 2
    assert told in " ".join(capsys.readouterr().err.split())


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="the system has no named pipes")
def test_a_pipe_in_a_folder_is_no_source_file(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.st")
    (tmp_path / "a.st").touch()
    (tmp_path / "gone.st").symlink_to("nowhere.st")
    found = [file.name for file in source_files(tmp_path)]
    assert found == ["a.st", "gone.st"], "what leads nowhere is told as it is read"


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="the system has no endless file")
def test_a_file_without_end_is_not_read() -> None:
    with pytest.raises(InputError) as refused:
        read_source(Path("/dev/zero"))
    assert [problem.code for problem in refused.value.diagnostics] == ["not-a-file"]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="the system has no named pipes")
@pytest.mark.parametrize(
    ("arguments", "spec"),
    [
        (["check", "pipe.spec"], ""),
        (["inspect", "pipe.st"], ""),
        (["read", "pipe.st"], ""),
        (["compare", "pipe.st", "pipe.st"], ""),
        (["check", "a.spec"], "SPEC A\nSOURCE 'pipe.st';\nSCAN T#10ms;\nEND_SPEC\n"),
        (
            ["check", "a.spec"],
            "SPEC A\nSOURCE 'a.st';\nSCAN T#10ms;\nPLANT p : P IN 'pipe.st';\nEND_SPEC\n",
        ),
    ],
)
def test_a_pipe_that_is_named_is_refused_and_not_waited_for(
    arguments: list[str],
    spec: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    os.mkfifo("pipe.st")
    os.mkfifo("pipe.spec")
    Path("a.st").write_text("FUNCTION_BLOCK A\nEND_FUNCTION_BLOCK\n")
    Path("a.spec").write_text(spec)
    assert cli.run(arguments) == 2
    assert "is a pipe or a device" in " ".join(capsys.readouterr().err.split())


@pytest.mark.skipif(sys.platform == "win32", reason="links need rights there")
def test_a_spec_of_a_folder_that_leads_nowhere_is_not_passed_over(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "gone.spec").symlink_to("nowhere.spec")
    assert cli.run(["check", str(tmp_path)]) == 2
    assert "gone.spec" in capsys.readouterr().err
