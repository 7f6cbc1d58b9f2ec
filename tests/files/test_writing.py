"""A file is written whole, or the older one stays."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest
from twohand.files.writing import replace_file, write_new_file

POSIX = pytest.mark.skipif(sys.platform == "win32", reason="links and rights are another matter")


def test_a_new_file_and_an_older_one_get_the_text_and_nothing_stays_beside(tmp_path: Path) -> None:
    target = tmp_path / "found.json"
    for text in ("first", "é second\n"):
        replace_file(target, text)
        assert target.read_bytes() == text.encode()
    assert list(tmp_path.iterdir()) == [target]


def test_what_cannot_be_written_leaves_the_older_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "found.json"
    target.write_text("older")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space left"):
        replace_file(target, "newer")
    assert target.read_text() == "older"
    assert list(tmp_path.iterdir()) == [target]


def test_a_text_that_has_no_encoding_leaves_the_older_file(tmp_path: Path) -> None:
    target = tmp_path / "found.json"
    target.write_text("older")
    with pytest.raises(UnicodeEncodeError):
        replace_file(target, "\udce4")
    assert target.read_text() == "older"
    assert list(tmp_path.iterdir()) == [target]


@POSIX
def test_a_link_stays_one_and_rights_are_kept(tmp_path: Path) -> None:
    real, link = tmp_path / "real.json", tmp_path / "link.json"
    real.write_text("older")
    real.chmod(0o640)
    link.symlink_to(real)
    replace_file(link, "newer")
    assert link.is_symlink()
    assert real.read_text() == "newer"
    assert real.stat().st_mode & 0o777 == 0o640


@POSIX
def test_a_device_is_written_to_and_not_replaced() -> None:
    replace_file(Path(os.devnull), "text")
    assert not Path(os.devnull).is_file()


def test_a_new_file_is_written_and_one_that_is_there_is_left(tmp_path: Path) -> None:
    path = tmp_path / "press.spec"
    write_new_file(path, "first")
    with pytest.raises(FileExistsError):
        write_new_file(path, "second")
    assert path.read_text(encoding="utf-8") == "first"
    with pytest.raises(UnicodeEncodeError):
        write_new_file(tmp_path / "other.spec", "\udcff")
    assert not (tmp_path / "other.spec").exists()
