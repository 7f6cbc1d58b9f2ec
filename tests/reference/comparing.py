"""Two stored references, case by case."""

from __future__ import annotations

import difflib
from collections.abc import Iterator
from pathlib import Path

from tests.reference.normal import relied as relied_part
from tests.reference.storing import INPUTS, SUFFIX


def differences(first: Path, second: Path, *, relied: bool) -> Iterator[list[str]]:
    """For each case that differs its unified diff, or in which of the two it is missing."""
    for missing in (folder for folder in (first, second) if not folder.is_dir()):
        raise SystemExit(f"{missing}: there is no such folder")
    for name in sorted(_cases(first) | _cases(second)):
        files = [folder / name for folder in (first, second)]
        for file, other in zip(files, reversed(files), strict=True):
            if not file.exists():
                yield [f"{name}: only in {other.parents[len(Path(name).parts) - 1]}"]
                break
        else:
            before, after = (_text(file, relied).splitlines() for file in files)
            if before != after:
                yield list(difflib.unified_diff(before, after, *map(str, files), lineterm=""))


def _text(file: Path, relied: bool) -> str:
    text = file.read_text(encoding="utf-8")
    return relied_part(text) if relied and file.suffix == SUFFIX else text


def _cases(folder: Path) -> set[str]:
    """The inputs are not compared: a case whose input changed differs itself."""
    names = {path.relative_to(folder) for path in folder.rglob(f"*{SUFFIX}")}
    return {name.as_posix() for name in names if name.parts[0] != INPUTS}
