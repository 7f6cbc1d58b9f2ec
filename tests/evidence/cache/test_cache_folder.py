"""The folder of kept answers: whole files only, none that is not its own, and not too many."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest
from twohand.evidence.cache.answers import AnswerCache
from twohand.evidence.cache.folder import CacheFolder

from tests.evidence.cache.asking import Keepable, answered
from tests.support.worker_jobs import Give

KEYS = [f"{number:064x}" for number in range(6)]


def filled(root: Path, bytes_each: int = 1000) -> CacheFolder:
    """With an entry for each key, the first not used for longest."""
    folder = CacheFolder(root)
    for number, key in enumerate(KEYS):
        folder.write(key, b"x" * bytes_each)
        os.utime(folder.path(key), (number + 1e9, number + 1e9))
    return folder


def test_what_was_written_is_there_and_git_does_not_see_it(tmp_path: Path) -> None:
    folder = CacheFolder(tmp_path / ".twohand")
    assert not folder.has(KEYS[0])
    folder.write(KEYS[0], b"abc")
    assert folder.has(KEYS[0])
    assert folder.path(KEYS[0]).read_bytes() == b"abc"
    assert [each.name for each in folder.path(KEYS[0]).parent.iterdir()] == [f"{KEYS[0]}.json"]
    assert "\n*\n" in (tmp_path / ".twohand" / ".gitignore").read_text(encoding="utf-8")


def test_what_was_not_used_for_longest_goes_first(tmp_path: Path) -> None:
    folder = filled(tmp_path / "kept")
    folder.keep_below(6000)
    assert len(folder.entries()) == 6, "they fit"
    assert folder.has(KEYS[0]), "which is a use"
    folder.keep_below(4000)
    left = [each.stem for each in folder.entries()]
    assert left == [KEYS[0], KEYS[4], KEYS[5]], "down to four fifths, so that it is not soon again"


def test_files_that_are_not_finished_go_once_they_are_abandoned(tmp_path: Path) -> None:
    folder = filled(tmp_path / "kept")
    now = time.time()
    for number, age in enumerate((10, 10_000)):
        path = folder.path(KEYS[0]).with_name(f"{KEYS[0]}.{number}-1.new")
        path.write_bytes(b"half")
        os.utime(path, (now - age, now - age))
    folder.keep_below(1e6)
    assert [p.name[65:] for p in folder.path(KEYS[0]).parent.glob("*.new")] == ["0-1.new"]
    assert len(folder.entries()) == 6


def test_nothing_else_is_ever_removed(tmp_path: Path) -> None:
    folder = filled(tmp_path / "kept")
    others = [folder.root / "notes.txt", folder.path(KEYS[0]).with_name("mine.json")]
    for other in others:
        other.write_text("mine", encoding="utf-8")
    folder.keep_below(0)
    assert folder.entries() == []
    assert filled(tmp_path / "kept").clear() == (6, 0)
    assert all(other.is_file() for other in others)


def test_a_folder_that_is_a_link_is_not_used(tmp_path: Path) -> None:
    elsewhere = filled(tmp_path / "elsewhere")
    linked = CacheFolder(tmp_path / "linked")
    linked.root.symlink_to(elsewhere.root)
    with pytest.raises(OSError, match="link"):
        linked.write(KEYS[0], b"abc")
    assert linked.clear() == (0, 0)
    assert len(elsewhere.entries()) == 6


def test_what_cannot_be_written_is_answered_and_said_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(self: CacheFolder, key: str, data: bytes) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(CacheFolder, "write", full)
    cache = AnswerCache(CacheFolder(tmp_path / "kept"), 10.0)
    assert [answered(cache, Keepable(each)) for each in (1, 2)] == [1, 2]
    (line,) = cache.told()
    assert line.endswith("No space left on device")
    assert cache.told() == []


def test_a_file_where_the_folder_should_be_is_left_as_it_is(tmp_path: Path) -> None:
    (tmp_path / "kept").write_text("mine", encoding="utf-8")
    cache = AnswerCache(CacheFolder(tmp_path / "kept"), 10.0)
    assert answered(cache, Keepable(5)) == 5
    assert len(cache.told()) == 1
    assert (tmp_path / "kept").read_text(encoding="utf-8") == "mine"


def test_other_jobs_are_run_as_ever(tmp_path: Path) -> None:
    cache = AnswerCache(CacheFolder(tmp_path / "kept"), 10.0)
    assert [answered(cache, Give(each)) for each in (1, 1)] == [1, 1]
    assert not (tmp_path / "kept").exists()
