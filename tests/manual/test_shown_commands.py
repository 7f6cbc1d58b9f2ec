"""Every command that README and manual show prints what they show, and ends as they say."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

import pytest
from twohand.commands.main import run

from tests.support.places import ROOT
from tests.support.shown_commands import (
    FILES,
    PAGES,
    Block,
    ShownCommand,
    blocks_of,
    changed,
    commands_of,
    shows,
)

COMMANDS = [each for page in PAGES for each in commands_of(blocks_of(page))]


@pytest.mark.parametrize(
    "shown",
    [
        pytest.param(each, id=each.place, marks=[pytest.mark.long] if each.long else [])
        for each in COMMANDS
    ],
)
def test_a_command_prints_what_is_shown(
    shown: ShownCommand,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    if shown.folder:
        shutil.copytree(ROOT / shown.folder, tmp_path, dirs_exist_ok=True)
    for name, text in shown.files.items():
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(sys, "stderr", sys.stdout)  # both in their order, as on a terminal
    code = run(shown.arguments)
    out = capsys.readouterr().out
    assert shows(shown.output, out.rstrip("\n").split("\n")), f"{shown.place}: it prints\n{out}"
    assert code == shown.exit_code


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_file_that_a_page_gives_is_used(page: Path) -> None:
    blocks = blocks_of(page)
    for place, block in enumerate(blocks):
        if block.language in FILES:
            later = [line for each in blocks[place + 1 :] for line in each.lines]
            assert any(block.title in line for line in later), f"{block.place} is never used"


SHOWN = ("PROVED  both (0.01 s)", "...", "1 spec, 0.20 s")


@pytest.mark.parametrize(
    ("printed", "same"),
    [
        (["PROVED  both (2.3 s)", "left", "out", "1 spec, 14 s"], True),
        (["PROVED  both (2.3 s)", "1 spec, 14 s"], False),
        (["VIOLATED  both (0.01 s)", "left out", "1 spec, 0.20 s"], False),
        (["PROVED  both (0.01 s)", "left out", "2 specs, 0.20 s"], False),
        (["PROVED  both (0.01 s)", "left out", "1 spec, 0.20 s", "more"], False),
        (["first", "PROVED  both (0.01 s)", "left out", "1 spec, 0.20 s"], False),
        (["PROVED  both (0.01)", "left out", "1 spec, 0.20 s"], False),
    ],
)
def test_only_what_is_left_out_and_what_was_needed_may_differ(
    printed: list[str], same: bool
) -> None:
    assert shows(SHOWN, printed) is same


def test_a_change_of_a_file_replaces_lines_that_occur_once() -> None:
    block = Block("page", 1, "diff", "a.st", (" one;", "+between;", "-two;", "+other;"))
    assert changed("one;\ntwo;\n", block) == "one;\nbetween;\nother;\n"
    with pytest.raises(AssertionError, match="does not occur once"):
        changed("one;\ntwo;\ntwo;\n", block)
