"""A folder that cannot be listed is told: what lies in it would be passed over without a word."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from twohand.commands.shared.spec_files import find_spec_files
from twohand.files.reading import read_source, source_files
from twohand.text.diagnostic import InputError
from twohand.text.resources import is_folder


@pytest.fixture
def locked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a file in it and one in a folder below, which cannot be listed."""
    below = tmp_path / "below"
    below.mkdir()
    for folder in (tmp_path, below):
        (folder / "a.st").write_text("FUNCTION_BLOCK A\nEND_FUNCTION_BLOCK\n", encoding="utf-8")
        (folder / "a.spec").write_text("SPEC A\nEND_SPEC\n", encoding="utf-8")
    listed = os.scandir

    def scandir(path: str) -> object:
        if Path(path) == below:
            raise PermissionError(13, "Permission denied", str(path))
        return listed(path)

    monkeypatch.setattr(os, "scandir", scandir)
    return tmp_path


def test_sources_below_a_locked_folder_are_not_passed_over(locked: Path) -> None:
    with pytest.raises(InputError) as caught:
        source_files(locked)
    (problem,) = caught.value.diagnostics
    assert (problem.code, problem.path) == ("unreadable-path", str(locked / "below"))


def test_specs_below_a_locked_folder_are_not_passed_over(locked: Path) -> None:
    found, problems = find_spec_files([str(locked)])
    assert found == []
    (problem,) = problems
    assert problem.code == "unreadable-path"
    assert str(locked / "below") in problem.message


def test_a_path_that_may_not_be_looked_at_is_an_error_of_reading(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(path: Path, *_: object, **__: object) -> object:
        raise PermissionError(13, "Permission denied", str(path))

    monkeypatch.setattr(Path, "stat", refuse)
    monkeypatch.setattr(Path, "open", refuse)
    monkeypatch.setattr(Path, "is_dir", refuse)
    assert not is_folder(tmp_path)
    with pytest.raises(InputError) as caught:
        read_source(tmp_path / "a.st")
    assert caught.value.diagnostics[0].code == "unreadable-file"
