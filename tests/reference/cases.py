"""The cases of ``cases.toml``: which command lines are run, and in which folder of the inputs."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fnmatch import fnmatchcase
from pathlib import Path
from typing import Any

CASES = Path(__file__).parent / "cases.toml"
Printed = Callable[[list[str]], str]
"""What a command line prints on standard output."""


@dataclass(frozen=True)
class Case:
    """``name`` is the file of its answer, less the suffix; ``folder`` is relative to the inputs.
    ``quick``: it starts no solver and writes no file, so that many may share one process."""

    name: str
    folder: str
    arguments: tuple[str, ...]
    quick: bool


def all_cases(inputs: Path, printed: Printed) -> list[Case]:
    """Every case, by name; ValueError where two have the same one."""
    groups = tomllib.loads(CASES.read_text(encoding="utf-8"))["group"]
    cases = [case for group in groups for case in _cases(group, inputs, printed)]
    names = [case.name for case in cases]
    for name in names:
        if names.count(name) > 1:
            raise ValueError(f"two cases are named {name}")
    return sorted(cases, key=lambda case: case.name)


def _cases(group: dict[str, Any], inputs: Path, printed: Printed) -> Iterator[Case]:
    pattern = group.get("folder", ".")
    several = "*" in pattern
    for folder in sorted(inputs.glob(pattern)) if several else [inputs / pattern]:
        for row in _rows(group, folder, printed):
            arguments = _filled(group.get("arguments", ["{*}"]), row)
            words = ([folder.name] if several else []) + row
            name = f"{group['name']}/{_file_name(words)}"
            relative = folder.relative_to(inputs).as_posix()
            yield Case(name, relative, tuple(arguments), group.get("quick", False))


def _filled(arguments: list[str], row: list[str]) -> list[str]:
    """``{*}`` is the whole row, ``{0}`` its first word."""
    parts = [row if part == "{*}" else [part.format(*row)] for part in arguments]
    return [word for part in parts for word in part]


def _rows(group: dict[str, Any], folder: Path, printed: Printed) -> list[list[str]]:
    """The words put into the arguments, one list a case."""
    if "each" in group:
        files = {path.name for pattern in group["each"] for path in folder.glob(pattern)}
        left_out = group.get("without", [])
        return [[n] for n in sorted(files) if not any(fnmatchcase(n, out) for out in left_out)]
    if "words_of" in group:
        found = re.findall(group["word"], printed(group["words_of"]), re.MULTILINE)
        return [[word] for word in dict.fromkeys(found)]
    return [list(row) for row in group.get("rows", [[]])]


def _file_name(words: list[str]) -> str:
    """Letters, digits and ``-_.+`` only, so that every system takes it for a file."""
    return "_".join(re.sub(r"[^\w.+-]+", "-", word) or "empty" for word in words) or "nothing"
