"""Every program that the manual shows does what it says, and its test fails for a wrong block."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.support.places import PACKAGE
from tests.support.shown_commands import PAGES, ShownProgram, blocks_of, programs_of

PROGRAMS = [each for page in PAGES for each in programs_of(blocks_of(page))]
FIRST, LATER = programs_of(blocks_of(PACKAGE / "manual" / "programs.md"))


def run_program(text: str, files: dict[str, str], folder: Path) -> None:
    """Runs it beside its files, and calls its tests."""
    for name, content in files.items():
        (folder / name).write_text(content, encoding="utf-8")
    names: dict[str, object] = {}
    exec(compile(text, "program.py", "exec"), names)
    for name, function in names.items():
        if name.startswith("test_"):
            assert isinstance(function, Callable)
            function()


@pytest.mark.parametrize("shown", PROGRAMS, ids=lambda shown: shown.place)
def test_a_program_does_what_it_says(
    shown: ShownProgram, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    run_program(shown.text, shown.files, tmp_path)


def test_the_test_to_copy_is_ten_lines_and_fails_for_a_wrong_block(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert len([line for line in FIRST.text.splitlines() if line.strip()]) <= 10
    monkeypatch.chdir(tmp_path)
    with pytest.raises(AssertionError, match=r"guard_first: at .* stroke becomes TRUE"):
        run_program(FIRST.text, LATER.files, tmp_path)
