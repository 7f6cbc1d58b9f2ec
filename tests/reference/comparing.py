"""Two stored references, case by case."""

from __future__ import annotations

import difflib
from collections.abc import Iterator
from pathlib import Path

from tests.reference.normal import relied as relied_part
from tests.reference.storing import INPUTS, SUFFIX


def differences(first: Path, second: Path, *, relied: bool) -> Iterator[list[str]]:
    """For each case that differs its unified diff, or in which of the two it is missing."""
    for folder in (first, second):
        if not folder.is_dir():
            raise FileNotFoundError(f"there is no folder {folder}")
    for name in sorted(_cases(first) | _cases(second)):
        files = first / name, second / name
        held = [
            folder for folder, file in zip((first, second), files, strict=True) if file.exists()
        ]
        if len(held) == 1:
            yield [f"{name}: only in {held[0]}"]
            continue
        before, after = (_lines(file, relied) for file in files)
        if before != after:
            yield list(
                difflib.unified_diff(before, after, str(files[0]), str(files[1]), lineterm="")
            )


def _lines(file: Path, relied: bool) -> list[str]:
    text = file.read_text(encoding="utf-8")
    return (relied_part(text) if relied else text).splitlines()


def _cases(folder: Path) -> set[str]:
    """The inputs are not compared: a case whose input changed differs itself."""
    names = {path.relative_to(folder) for path in folder.rglob(f"*{SUFFIX}")}
    return {name.as_posix() for name in names if name.parts[0] != INPUTS}
