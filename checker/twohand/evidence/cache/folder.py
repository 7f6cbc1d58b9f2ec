"""The folder in which answers are kept: files that are written beside and renamed."""

from __future__ import annotations

import os
import re
import time
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from itertools import count
from pathlib import Path

NAME = ".twohand"
"""In the folder of a project file."""
MEGABYTES = 200.0
"""What a folder may hold where the project file does not say."""
_ENTRY = re.compile(r"[0-9a-f]{64}\.json")
_UNFINISHED = re.compile(r"[0-9a-f]{64}\.\d+-\d+\.new")
_ABANDONED = 3600.0
"""Seconds after which nobody writes a file any more that is not finished."""
_AFTER_REMOVAL = 0.8
"""The part of the limit that is left where entries have to go."""
_IGNORED = "# Kept answers of twohand: nothing here is trusted, and all of it may be deleted.\n*\n"


@dataclass(frozen=True)
class _File:
    path: Path
    bytes: int
    used: float


class CacheFolder:
    """``root`` has the entries in a folder of its own, so that nothing else in it is touched.
    Several processes may use it at once."""

    _numbers = count(1)

    def __init__(self, root: Path) -> None:
        self.root = root
        self._answers = root / "answers"

    def path(self, key: str) -> Path:
        return self._answers / f"{key}.json"

    def has(self, key: str) -> bool:
        """Whether there is an entry; it then counts as used now."""
        path = self.path(key)
        try:
            there = path.is_file()
        except OSError:
            return False
        if there:
            with suppress(OSError):
                os.utime(path)
        return there

    def write(self, key: str, data: bytes) -> None:
        """OSError where that cannot be; nothing unfinished is left then."""
        self._make()
        unfinished = self._answers / f"{key}.{os.getpid()}-{next(self._numbers)}.new"
        try:
            with unfinished.open("xb") as stream:
                stream.write(data)
            try:
                unfinished.replace(self.path(key))
            except PermissionError:  # where somebody reads it, systems do not replace a file
                if not self.path(key).is_file():
                    raise
                unfinished.unlink()
        except BaseException:
            with suppress(OSError):
                unfinished.unlink()
            raise

    def _make(self) -> None:
        if self.root.is_symlink() or self._answers.is_symlink():
            raise OSError("it is a link, which may lead anywhere")
        if not self.root.is_dir():
            self.root.mkdir(parents=True, exist_ok=True)
            (self.root / ".gitignore").write_text(_IGNORED, encoding="utf-8")
        self._answers.mkdir(exist_ok=True)

    def remove(self, key: str) -> None:
        with suppress(OSError):
            self.path(key).unlink()

    def entries(self) -> list[Path]:
        return [each.path for each in self._files() if _ENTRY.fullmatch(each.path.name)]

    def bytes(self) -> int:
        return sum(each.bytes for each in self._files())

    def keep_below(self, most: float) -> None:
        """Where it has more bytes, those entries go that were not used for longest."""
        files = sorted(self._files(), key=lambda each: each.used)
        now, left = time.time(), sum(each.bytes for each in files)
        wanted = most * _AFTER_REMOVAL if left > most else most
        for each in files:
            unfinished = not _ENTRY.fullmatch(each.path.name)
            if now - each.used > _ABANDONED if unfinished else left > wanted:
                with suppress(OSError):
                    each.path.unlink()
                    left -= each.bytes

    def clear(self) -> tuple[int, int]:
        """Removes all entries; how many there were, and how many could not be removed."""
        files = self._files()
        for each in files:
            with suppress(OSError):
                each.path.unlink()
        return len(files), len(self._files())

    def _files(self) -> list[_File]:
        """The entries, and what was not finished; never anything else."""
        return list(self._listed())

    def _listed(self) -> Iterator[_File]:
        if self.root.is_symlink() or self._answers.is_symlink():
            return
        try:
            names = sorted(each.name for each in self._answers.iterdir())
        except OSError:
            return
        for name in names:
            if _ENTRY.fullmatch(name) or _UNFINISHED.fullmatch(name):
                path = self._answers / name
                with suppress(OSError):
                    about = path.lstat()
                    yield _File(path, about.st_size, about.st_mtime)
