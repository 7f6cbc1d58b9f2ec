"""``--page`` of every command, on the command line."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from twohand.commands import main as cli

from tests.formats.page.pages import answers, below, read, text_of
from tests.support.tiers import rows

BLOCK = """FUNCTION_BLOCK Lid
VAR_INPUT left, right : BOOL; END_VAR
VAR_OUTPUT stroke : BOOL; END_VAR
stroke := left AND right;
END_FUNCTION_BLOCK
"""
SPEC = """SPEC Lid
    SOURCE 'lid.st';
    SCAN T#10ms;
    HAND l = left;
    HAND r = right;
    OUTPUT stroke;
    REQUIRE TWO_HAND LOGIC TYPE I;
    PROPERTY shut : stroke -> NOT left;
END_SPEC
"""
LINES = {
    "check": ("lid.spec",),
    "faults": ("lid.spec",),
    "measure": ("lid.spec",),
    "inspect": ("lid.st", "--scan", "T#10ms"),
    "compare": ("lid.st", "lid.st", "--scan", "T#10ms"),
}
_MADE = re.compile(r'<footer id="made">.*?</footer>', re.DOTALL)


@pytest.fixture
def folder(inside: Path) -> Path:
    (inside / "lid.st").write_text(BLOCK, encoding="utf-8")
    (inside / "lid.spec").write_text(SPEC, encoding="utf-8")
    return inside


def page(command: str, target: str = "page.html") -> str:
    cli.run([command, *LINES[command], "--page", target, "--processes", "1"])
    return Path(target).read_text(encoding="utf-8")


@pytest.mark.parametrize("command", rows(LINES, lambda name: name in ("faults", "measure")))
def test_two_runs_give_the_same_page_but_for_when_it_was_made(command: str, folder: Path) -> None:
    first, again = page(command), page(command, "again.html")
    assert _MADE.search(first)
    assert _MADE.sub("", first) == _MADE.sub("", again)
    read(first)
    assert list(folder.glob(".*")) == []


def test_the_lines_that_are_the_cause_are_marked(folder: Path) -> None:
    found = read(page("check"))
    assert answers(found)[:2] == ["PROVED", "VIOLATED"]
    (marked,) = (each for each in below(found, "span", class_="hit"))
    assert text_of(marked) == "4 stroke := left AND right; ◀ set stroke TRUE"


def test_lines_of_a_file_that_was_changed_meanwhile_are_not_shown(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from twohand.commands.shared import document

    write = document._write_page

    def later(*arguments):
        (folder / "lid.st").write_text(BLOCK + "// other\n", encoding="utf-8")
        return write(*arguments)

    monkeypatch.setattr(document, "_write_page", later)
    found = read(page("check"))
    assert not [*below(found, "pre")]
    assert "the file is not the one of this hash any more" in text_of(found)


def test_one_question_of_a_fault_table_has_no_page(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    line = ["faults", "lid.spec", "--trace", "left-stuck-open", "both_hands"]
    assert cli.run([*line, "--page", "page.html"]) == 2
    assert "--page" in capsys.readouterr().err
