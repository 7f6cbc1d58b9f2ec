"""``twohand sheet``: where it writes, what it refuses. A whole one is on the manual's page."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.commands import main as cli

from tests.support.places import GALLERY

BLOCK = """FUNCTION_BLOCK Press
VAR_INPUT leftPalm, rightPalm : BOOL; END_VAR
VAR_OUTPUT stroke : BOOL; END_VAR
stroke := leftPalm;
END_FUNCTION_BLOCK
"""
SPEC = """SPEC Press
SOURCE 'press.st';
SCAN T#50ms;
HAND left = leftPalm;
HAND right = rightPalm;
OUTPUT stroke;
REQUIRE TWO_HAND LOGIC TYPE I;
END_SPEC
"""


@pytest.mark.parametrize("name", ["sheet.pdf", "sheet", "there.txt", "none/sheet.txt"])
def test_a_sheet_lies_in_a_new_file_of_a_known_kind(
    tmp_path: Path, name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "there.txt").write_text("kept", encoding="utf-8")
    spec = GALLERY / "lid_press_type1.spec"
    assert cli.run(["sheet", str(spec), "--to", str(tmp_path / name)]) == 2
    assert "[not-written]" in capsys.readouterr().err
    assert [each.name for each in tmp_path.iterdir()] == ["there.txt"]
    assert (tmp_path / "there.txt").read_text(encoding="utf-8") == "kept"


def test_a_spec_without_true_lines_is_refused_with_the_reason(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target = tmp_path / "sheet.txt"
    assert cli.run(["sheet", str(GALLERY / "relay_armed.spec"), "--to", str(target)]) == 2
    said = " ".join(capsys.readouterr().err.split())
    assert "[no-sheet]" in said
    assert "its PLANT moves with the outputs" in said
    assert not target.exists()


@pytest.mark.long
def test_a_violated_block_has_a_sheet_that_says_so_first_and_the_same_each_time(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "press.st").write_text(BLOCK, encoding="utf-8")
    (tmp_path / "press.spec").write_text(SPEC, encoding="utf-8")
    texts = []
    for name in ("one.txt", "two.txt"):
        command = ["sheet", str(tmp_path / "press.spec"), "--to", str(tmp_path / name)]
        assert cli.run(command) == 1
        texts.append((tmp_path / name).read_text(encoding="utf-8"))
    assert texts[0] == texts[1]
    before = texts[0].split("Part 1: without motion")[0]
    assert "Do not run the machine before this is settled" in before
    assert "- both_hands (" in before
    assert "There is no Part 2" in texts[0]
    assert "do not run the machine" in " ".join(capsys.readouterr().out.split())


def test_a_program_is_of_a_spec_with_lines_and_lies_in_a_new_file_of_its_kind(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What one has that is written is on the manual's page."""
    spec = GALLERY / "relay_armed.spec"
    command = ["sheet", str(spec), "--program", "--to"]
    assert cli.run([*command, str(tmp_path / "trials.html")]) == 2
    assert "it does not end in .st" in " ".join(capsys.readouterr().err.split())
    assert cli.run([*command, str(tmp_path / "trials.st")]) == 2
    assert "[no-sheet]" in capsys.readouterr().err
    shared = BLOCK.replace("VAR_OUTPUT", "VAR lamp AT %QX0.0 : BOOL; END_VAR\nVAR_OUTPUT")
    (tmp_path / "press.st").write_text(shared, encoding="utf-8")
    (tmp_path / "press.spec").write_text(SPEC, encoding="utf-8")
    command = ["sheet", str(tmp_path / "press.spec"), "--program", "--to"]
    assert cli.run([*command, str(tmp_path / "trials.st")]) == 2
    said = capsys.readouterr().err
    assert "press.st:3:5" in said
    assert "'lamp' lies at the address %QX0.0 [no-program]" in " ".join(said.split())
    assert not list(tmp_path.glob("trials*"))
