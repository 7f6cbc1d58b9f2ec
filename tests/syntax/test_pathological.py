"""Texts that nobody writes end in an error with its place, or are read."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

from tests.pathological import BELOW, DEEP, KINDS, size_of, told
from tests.support.tiers import rows

READ = frozenset(
    {"parentheses", "comments", "spec-parentheses", "semicolons", "spec-semicolons", "rounds"}
)
"""Whatever their size."""
READ_IF_SMALL = READ | {
    *("one-line", "long-name", "spec-long-name", "whole-units", "declarations", "timers", "arms"),
    *("ranges", "branches", "array", "array-of-structures", "enumeration", "types"),
    *(
        "structures",
        "same-units",
        "chain-of-types",
        "chain-of-blocks",
        "disjunction",
        "unknown-types",
        "spec-properties",
    ),
}
LIMITED = """
import sys
try:
    import resource
except ImportError:
    pass
else:
    resource.setrlimit(resource.RLIMIT_DATA, (1_000_000_000, 1_000_000_000))
    resource.setrlimit(resource.RLIMIT_CPU, (60, 60))
from tests.pathological import told
from pathlib import Path
for problem in told(sys.argv[1], int(sys.argv[2]), Path(sys.argv[3])):
    print(f"{problem.code}: {problem.message}"[:200])
"""


@pytest.mark.parametrize("kind", KINDS)
def test_a_strange_text_of_small_size_is_told_or_read(kind: str, tmp_path: Path) -> None:
    problems = told(kind, 300, tmp_path)
    for problem in problems:
        assert re.fullmatch("[a-z]+(-[a-z]+)*", problem.code)
        assert problem.span is not None or problem.path
    assert problems or kind in READ_IF_SMALL


FULL = frozenset(
    {
        *("parentheses", "open-ifs", "structures", "long-name", "errors", "semicolons", "ends"),
        *("unknown-types", "chain-of-blocks", "array-values", "spec-errors", "spec-once"),
    }
)
SOME_BELOW = ("array", "words", "types", "declarations")
FULL = DEEP | {
    *("long-name", "errors", "semicolons", "ends", "one-line", "units", "unknown-types"),
    *("chain-of-blocks", "array-values", "spec-errors", "spec-quotes", "spec-zeros"),
}
"""CI has these at full size and all others at a hundredth of it; the others of full size, and those
that are just small enough, are run by night and by ``python -m tests.pathological``."""


@pytest.mark.long
@pytest.mark.parametrize("kind", KINDS)
def test_a_strange_text_of_large_size_ends_in_time_and_memory(kind: str, tmp_path: Path) -> None:
    size = size_of(kind) if kind in FULL else size_of(kind) // 100
    assert ended(kind, size, tmp_path) or kind in READ_IF_SMALL


@pytest.mark.nightly
@pytest.mark.parametrize("kind", KINDS)
def test_a_strange_text_of_full_size_ends_in_time_and_memory(kind: str, tmp_path: Path) -> None:
    assert ended(kind, size_of(kind), tmp_path) or kind in READ


@pytest.mark.long
@pytest.mark.parametrize("kind", rows(BELOW, lambda _: True, lambda kind: kind not in SOME_BELOW))
def test_a_strange_text_just_small_enough_ends_in_time_and_memory(
    kind: str, tmp_path: Path
) -> None:
    ended(kind, BELOW[kind], tmp_path)


def ended(kind: str, size: int, folder: Path) -> str:
    """What is said of a text, within a minute of its own and 1 GB."""
    done = subprocess.run(
        [sys.executable, "-c", LIMITED, kind, str(size), str(folder)],
        capture_output=True,
        encoding="utf-8",
        timeout=600,
        check=False,
    )
    assert done.returncode == 0, done.stderr[-2_000:]
    return done.stdout
