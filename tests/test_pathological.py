"""Texts that nobody writes end in an error with its place, or are read."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

from tests.pathological import DEEP, KINDS, told

READ = frozenset({"parentheses", "comments", "spec-parentheses", "semicolons", "spec-semicolons"})
LIMITED = """
import sys
try:
    import resource
except ImportError:
    pass
else:
    resource.setrlimit(resource.RLIMIT_DATA, (1_000_000_000, 1_000_000_000))
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
    assert problems or kind in READ | {"one-line", "long-name", "spec-long-name"}


@pytest.mark.long
@pytest.mark.parametrize("kind", KINDS)
def test_a_strange_text_of_full_size_ends_in_time_and_memory(kind: str, tmp_path: Path) -> None:
    size = 10_000 if kind in DEEP else 9_900_000
    done = subprocess.run(
        [sys.executable, "-c", LIMITED, kind, str(size), str(tmp_path)],
        capture_output=True,
        encoding="utf-8",
        timeout=60,
        check=False,
    )
    assert done.returncode == 0, done.stderr[-2_000:]
    assert done.stdout or kind in READ
