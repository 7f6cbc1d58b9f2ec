"""Lines of the files that an answer is of, with places marked in them."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from twohand.files.reading import decode_source
from twohand.record.message import FilePlace
from twohand.record.plain import relative_path
from twohand.record.sources import HashedFile
from twohand.text.diagnostic import InputError

BESIDE = 2
"""Lines shown above and below a marked one."""
LONGEST_LINE = 160
MOST_LINES = 60


@dataclass(frozen=True)
class ShownLine:
    """``marks`` say what was done in this line, nothing where that is no marked one; ``gap``: lines
    are left out above it."""

    number: int
    text: str
    marks: tuple[str, ...]
    gap: bool


@dataclass(frozen=True)
class Excerpt:
    """``missing`` says why there are no ``lines``."""

    path: str
    lines: tuple[ShownLine, ...]
    missing: str = ""


@dataclass
class Texts:
    """The texts of the files whose hashes an answer has; a file that is another one by now has
    none."""

    hashes: dict[str, str]
    _lines: dict[str, list[str] | None] = field(default_factory=dict)

    @classmethod
    def of(cls, files: Iterable[HashedFile]) -> Texts:
        return cls({relative_path(each.path): each.sha256 for each in files})

    def lines(self, path: str) -> list[str] | None:
        if path not in self._lines:
            self._lines[path] = self._read(path)
        return self._lines[path]

    def excerpts(
        self, places: Sequence[tuple[FilePlace, str]], beside: Sequence[tuple[FilePlace, str]] = ()
    ) -> tuple[Excerpt, ...]:
        """The marked places with the lines around them, file by file. ``beside`` are marked in
        those files as well, and shown where there is room for them."""
        by_path = _marks_by_path(places)
        more = _marks_by_path(beside)
        return tuple(
            self._excerpt(path, marks, more.get(path, {})) for path, marks in by_path.items()
        )

    def _excerpt(
        self, path: str, marks: dict[int, list[str]], more: dict[int, list[str]]
    ) -> Excerpt:
        lines = self.lines(path)
        if lines is None:
            where = ", ".join(f"line {line}: {'; '.join(marks[line])}" for line in sorted(marks))
            return Excerpt(path, (), f"the file is not the one of this hash any more; {where}")
        wanted = _around(marks, len(lines))
        every = wanted | _around(more, len(lines))
        room = every if len(every) <= MOST_LINES else wanted
        shown, before = [], 0
        for line in sorted(room)[:MOST_LINES]:
            text = lines[line - 1].expandtabs(4)[:LONGEST_LINE]
            said = tuple(marks.get(line, more.get(line, ())))
            shown.append(ShownLine(line, text, said, line > before + 1 > 1))
            before = line
        return Excerpt(path, tuple(shown))

    def _read(self, path: str) -> list[str] | None:
        try:
            data = Path(path).read_bytes()
            if hashlib.sha256(data, usedforsecurity=False).hexdigest() != self.hashes.get(path):
                return None
            return decode_source(data, path).text.split("\n")
        except (OSError, ValueError, InputError):
            return None


def _marks_by_path(places: Sequence[tuple[FilePlace, str]]) -> dict[str, dict[int, list[str]]]:
    by_path: dict[str, dict[int, list[str]]] = {}
    for place, words in places:
        if place.line:
            said = by_path.setdefault(relative_path(place.path), {}).setdefault(place.line, [])
            if words not in said:
                said.append(words)
    return by_path


def _around(marks: Iterable[int], last: int) -> set[int]:
    """Their lines, and those near them, of a file of so many."""
    return {
        line
        for mark in marks
        for line in range(mark - BESIDE, mark + BESIDE + 1)
        if 1 <= line <= last
    }
