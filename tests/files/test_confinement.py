"""--confined FOLDER: nothing outside is opened, whatever leads there, and nothing of it is said."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from twohand.commands import main as cli
from twohand.files import reading
from twohand.files.confinement import confined_to, is_outside
from twohand.files.reading import read_source, source_files
from twohand.report.exit_code import ExitCode
from twohand.text.diagnostic import InputError

SECRET = "FUNCTION_BLOCK Secret\nVAR_INPUT a : BOOL; END_VAR\nhidden := a;\nEND_FUNCTION_BLOCK\n"
BLOCK = "FUNCTION_BLOCK B\nVAR_INPUT a : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR q := a;\nEND_FUNCTION_BLOCK\n"  # noqa: E501
SPEC = "SPEC S\n  SOURCE '{}';\n  SCAN T#10ms;\n  PROPERTY p : q -> a;\nEND_SPEC\n"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder of a repository, beside a file of the reader's own."""
    inner = tmp_path / "repository"
    (inner / "logic").mkdir(parents=True)
    (tmp_path / "secret.st").write_text(SECRET, encoding="utf-8")
    (tmp_path / "repository_too").mkdir()
    (tmp_path / "repository_too" / "secret.st").write_text(SECRET, encoding="utf-8")
    (inner / "logic" / "b.st").write_text(BLOCK, encoding="utf-8")
    monkeypatch.chdir(inner)
    return inner


def linked(link: Path, target: Path) -> None:
    try:
        link.symlink_to(target, target_is_directory=target.is_dir())
    except OSError:
        pytest.skip("the system makes no symbolic links")


def checked(name: str, capsys: pytest.CaptureFixture[str]) -> tuple[int, str]:
    Path("s.spec").write_text(SPEC.format(name), encoding="utf-8")
    code = cli.run(["check", "s.spec", "--confined", ".", "--brief"])
    out, err = capsys.readouterr()
    return code, out + err


@pytest.mark.parametrize(
    "name",
    ["../secret.st", "../repository_too/secret.st", "logic/../../secret.st", "..", "../nothing.st"],
)
def test_a_source_outside_is_refused_where_it_is_named_whether_it_is_there_or_not(
    name: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, told = checked(name, capsys)
    assert code == ExitCode.UNUSABLE
    assert "s.spec:2:10: error: this lies outside of the folder" in told
    assert "[outside-folder]" in told
    assert "hidden" not in told


def test_an_absolute_path_counts_by_where_it_leads(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert checked(str(folder.parent / "secret.st"), capsys)[0] == ExitCode.UNUSABLE
    assert checked(str(folder / "logic" / "b.st"), capsys)[0] == ExitCode.ALL_PROVED


@pytest.mark.parametrize("name", ["link.st", "linked/secret.st", "linked"])
def test_a_link_counts_as_what_it_leads_to(
    name: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    linked(folder / "link.st", folder.parent / "secret.st")
    linked(folder / "linked", folder.parent / "repository_too")
    code, told = checked(name, capsys)
    assert code == ExitCode.UNUSABLE
    assert "[outside-folder]" in told
    assert "hidden" not in told


def test_a_link_inside_of_a_folder_is_noted_and_not_read(folder: Path) -> None:
    linked(folder / "logic" / "link.st", folder.parent / "secret.st")
    (folder.parent / "secret.xml").write_text("<Project/>", encoding="utf-8")
    linked(folder / "logic" / "link.xml", folder.parent / "secret.xml")
    notes: list[object] = []
    with confined_to(folder):
        files = source_files(folder / "logic")
        texts = reading.readable(files, read_source, notes)  # type: ignore[arg-type]
    assert [Path(text.path).name for text in texts] == ["b.st"]
    assert [note.code for note in notes] == ["outside-folder"] * 2  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    "arguments",
    [
        ["check", "../s.spec"],
        ["check", ".."],
        ["faults", "../s.spec"],
        ["measure", "../s.spec"],
        ["inspect", "../secret.st"],
        ["inspect", ".."],
        ["compare", "../secret.st", "logic/b.st"],
        ["read", "../secret.st"],
    ],
    ids=" ".join,
)
def test_every_command_that_reads_files_is_confined(
    arguments: list[str], folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.run([*arguments, "--confined", "."]) == ExitCode.UNUSABLE
    out, err = capsys.readouterr()
    assert "[outside-folder]" in err
    assert "hidden" not in out + err


@pytest.mark.skipif(not hasattr(os, "O_NOFOLLOW"), reason="the system opens links only")
def test_a_link_that_is_put_in_place_of_a_file_that_was_looked_at_is_not_followed(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = folder / "late.st"
    linked(file, folder.parent / "secret.st")
    monkeypatch.setattr(os.path, "realpath", str)
    with confined_to(folder), pytest.raises(InputError) as caught:
        read_source(file)
    assert [each.code for each in caught.value.diagnostics] == ["unreadable-file"]


def test_without_confinement_nothing_is_outside(folder: Path) -> None:
    assert not is_outside(folder.parent / "secret.st")
    with confined_to(folder):
        assert is_outside(folder.parent / "secret.st")
        assert not is_outside(folder)
    assert not is_outside(folder.parent / "secret.st")


def test_a_folder_that_is_not_there_confines_nothing_and_is_told(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.run(["read", "logic/b.st", "--confined", "nowhere"]) == ExitCode.UNUSABLE
    assert "'nowhere' does not exist" in capsys.readouterr().err
