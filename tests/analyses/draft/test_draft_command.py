"""``twohand draft``: what it prints and writes, and what it refuses."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.commands.main import run

from tests.support.places import EXCHANGE_FILES, GALLERY

SERIES = """FUNCTION_BLOCK Press
VAR_INPUT leftPalm, rightPalm : BOOL; END_VAR
VAR_OUTPUT stroke : BOOL; END_VAR
stroke := leftPalm AND rightPalm;
END_FUNCTION_BLOCK
"""
ROD = """FUNCTION_BLOCK Rod
VAR_INPUT coil : BOOL; END_VAR
VAR_OUTPUT atTop : BOOL; END_VAR
atTop := NOT coil;
END_FUNCTION_BLOCK
"""
CONFIGURED = """PROGRAM Main
VAR_INPUT leftPalm, rightPalm : BOOL; END_VAR
VAR_OUTPUT stroke : BOOL; END_VAR
stroke := leftPalm AND rightPalm;
END_PROGRAM
CONFIGURATION Cell
RESOURCE R ON Controller
TASK Fast (INTERVAL := T#8ms, PRIORITY := 1);
PROGRAM p WITH Fast : Main;
END_RESOURCE
END_CONFIGURATION
"""
Capture = pytest.CaptureFixture[str]


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (tmp_path / "press.st").write_text(SERIES, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_a_draft_is_printed_and_the_same_each_time(folder: Path, capsys: Capture) -> None:
    assert run(["draft", "press.st"]) == 0
    first = capsys.readouterr().out
    for line in ("HAND left = leftPalm", "HAND right = rightPalm", "OUTPUT stroke"):
        assert f"    {line} GUESSED;" in first
    assert "    MISSING 'what is required of this machine" in first
    assert run(["draft", "press.st"]) == 0
    assert capsys.readouterr().out == first


@pytest.mark.long
def test_a_draft_goes_into_a_new_file_with_paths_from_there(folder: Path, capsys: Capture) -> None:
    (folder / "specs").mkdir()
    assert run(["draft", "press.st", "--to", "specs/press.spec"]) == 0
    assert "specs/press.spec is written, with 4 guesses and 1 thing to fill in" in " ".join(
        capsys.readouterr().out.split()
    )
    text = (folder / "specs" / "press.spec").read_text(encoding="utf-8")
    assert "SOURCE '../press.st';" in text
    assert run(["check", "specs/press.spec"]) == 2
    assert "draft-mark" in capsys.readouterr().err


def test_a_block_may_be_called_as_a_statement_of_a_spec(folder: Path, capsys: Capture) -> None:
    (folder / "press.st").write_text(SERIES.replace("Press", "Clutch"), encoding="utf-8")
    assert run(["draft", "press.st", "--to", "clutch.spec"]) == 0
    assert "SPEC Drafted_Clutch\n" in (folder / "clutch.spec").read_text(encoding="utf-8")
    assert run(["check", "clutch.spec"]) == 2
    shown = capsys.readouterr().err
    assert "draft-mark" in shown
    assert "missing-name" not in shown


def test_a_file_that_is_there_is_left_as_it_is(folder: Path, capsys: Capture) -> None:
    kept = folder / "press.spec"
    kept.write_text("mine", encoding="utf-8")
    assert run(["draft", "press.st", "--to", "press.spec"]) == 2
    assert "it is there already" in capsys.readouterr().err
    assert kept.read_text(encoding="utf-8") == "mine"


@pytest.mark.long
def test_the_interval_of_the_task_is_the_scan_time(folder: Path, capsys: Capture) -> None:
    (folder / "main.st").write_text(CONFIGURED, encoding="utf-8")
    assert run(["draft", "main.st"]) == 0
    assert "    SCAN T#8ms GUESSED;" in capsys.readouterr().out


@pytest.mark.long
def test_an_exchange_file_is_drafted(folder: Path, capsys: Capture) -> None:
    assert run(["draft", str(EXCHANGE_FILES / "two_hand_ladder.xml")]) == 0
    assert "OUTPUT stroke GUESSED;" in capsys.readouterr().out


@pytest.mark.long
def test_a_plant_of_the_folder_that_fits_is_told_and_not_stated(
    folder: Path, capsys: Capture
) -> None:
    text = SERIES.replace("rightPalm :", "rightPalm, top :").replace(
        "AND rightPalm", "AND rightPalm AND NOT top"
    )
    (folder / "press.st").write_text(text, encoding="utf-8")
    (folder / "rod.st").write_text(ROD, encoding="utf-8")
    assert run(["draft", ".", "--block", "Press"]) == 0
    shown = capsys.readouterr().out
    told = " ".join(line.removeprefix("    // ") for line in shown.splitlines())
    assert "PLANT machine : Rod (coil := stroke); FEEDBACK top := machine.atTop;" in told
    assert "\n    PLANT" not in shown
    assert "SOURCE '.';" in shown


def test_where_several_blocks_could_be_meant_all_are_listed(folder: Path, capsys: Capture) -> None:
    (folder / "rod.st").write_text(ROD, encoding="utf-8")
    assert run(["draft", "."]) == 2
    shown = capsys.readouterr().err
    assert "several-blocks" in shown
    assert "--block: Press, Rod" in shown


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["missing.st"], "missing-file"),
        (["press.st", "--block", "Pres"], "unknown-block"),
        (["press.st", "--to", "press.txt"], "ends in .spec"),
        (["press.st", "--to", "nowhere/press.spec"], "not-written"),
        (["press.st", "--machine", "lathe"], "lathe"),
        (["press.st", "other.st"], "one file at a time"),
        (["broken.st"], "missing-expression"),
        (["empty.st"], "empty-file"),
    ],
    ids=lambda each: each if isinstance(each, str) else " ".join(each),
)
def test_what_cannot_be_drafted_is_told_with_two(
    folder: Path, capsys: Capture, arguments: list[str], told: str
) -> None:
    (folder / "broken.st").write_text(SERIES.replace(":= leftPalm", ":= := "), encoding="utf-8")
    (folder / "empty.st").write_text("", encoding="utf-8")
    assert run(["draft", *arguments]) == 2
    shown = capsys.readouterr()
    assert told in shown.err + shown.out
    assert "Traceback" not in shown.err


def test_a_spec_is_no_source_of_a_draft(folder: Path, capsys: Capture) -> None:
    (folder / "press.spec").write_text("SPEC", encoding="utf-8")
    assert run(["draft", "press.spec"]) == 2
    assert "spec-for-source" in capsys.readouterr().err


@pytest.mark.long
def test_each_requirement_has_its_outcome_and_one_that_does_not_hold_stays(
    folder: Path, capsys: Capture
) -> None:
    assert run(["draft", "press.st", "--machine", "clamp", "--to", "press.spec"]) == 0
    text = (folder / "press.spec").read_text(encoding="utf-8")
    shown = " ".join(line.removeprefix("    // ") for line in text.splitlines())
    assert (
        "1 PROVED, 2 VIOLATED (release_both and power_up)     REQUIRE TWO_HAND LOGIC TYPE II;"
        in shown
    )
    assert "EXPECT" not in text
    plain = text.replace(" GUESSED;", ";")
    (folder / "press.spec").write_text(plain, encoding="utf-8")
    capsys.readouterr()
    assert run(["check", "press.spec", "--brief"]) == 1
    assert "3 VIOLATED" in capsys.readouterr().out


@pytest.mark.long
def test_a_draft_of_a_press_without_marks_is_checked(folder: Path, capsys: Capture) -> None:
    source = (GALLERY / "lid_press_type3.st").read_text(encoding="utf-8")
    (folder / "lid.st").write_text(source, encoding="utf-8")
    assert run(["draft", "lid.st", "--machine", "table", "--to", "lid.spec"]) == 0
    path = folder / "lid.spec"
    text = path.read_text(encoding="utf-8").replace(" GUESSED;", ";")
    path.write_text(text, encoding="utf-8")
    capsys.readouterr()
    assert run(["check", "lid.spec", "--brief"]) in (0, 1)
    assert "(window_missed)" in capsys.readouterr().out
