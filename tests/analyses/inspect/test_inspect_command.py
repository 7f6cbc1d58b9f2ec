"""``twohand inspect`` on the command line: what it says, its document, its exit codes."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from twohand.commands import main as cli
from twohand.report.exit_code import ExitCode

from tests.support.places import EXCHANGE_FILES, GALLERY, from_here
from tests.support.schemas import schema

CLEAN = """FUNCTION_BLOCK Clean
VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR VAR t : TON; END_VAR
t(IN := a, PT := T#50ms);
q := t.Q;
END_FUNCTION_BLOCK
"""
FAULTY = """FUNCTION_BLOCK Faulty
VAR_INPUT a, b : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR
q := a;
q := b;
END_FUNCTION_BLOCK
"""


def written(folder: Path, **files: str) -> Path:
    for name, text in files.items():
        (folder / f"{name}.st").write_text(text, encoding="utf-8")
    return folder


@pytest.mark.long
def test_a_fault_is_shown_with_its_places_and_its_run(
    inside: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = from_here(written(inside, faulty=FAULTY) / "faulty.st")
    assert cli.run(["inspect", file, "--kinds", "lost-write", "--ascii"]) == ExitCode.VIOLATED
    shown = " ".join(capsys.readouterr().out.split())
    assert "faulty.st:4:1: 'q' is written twice in one scan, with different values" in shown
    assert "^^^^^^^ written first here" in shown
    assert "^ here" in shown
    assert "1 block inspected: 1 fault" in shown
    assert "asked: whether" not in shown


@pytest.mark.long
def test_details_say_what_was_asked(inside: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = from_here(written(inside, faulty=FAULTY) / "faulty.st")
    cli.run(["inspect", file, "--kinds", "lost-write", "--details"])
    shown = " ".join(capsys.readouterr().out.split())
    assert "asked: whether some scan gives 'q' another value at line 4 than elsewhere" in shown


def test_a_clean_block_is_said_to_be_clean_of_what_was_looked_for(
    inside: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = from_here(written(inside, clean=CLEAN) / "clean.st")
    assert cli.run(["inspect", file, "--brief"]) == ExitCode.ALL_PROVED
    shown = capsys.readouterr().out
    assert "every timer, counter and edge block is called in every scan" in shown
    assert "no --scan, and no task with an INTERVAL" in shown


@pytest.mark.parametrize(
    "inside_the_block",
    ["", "VAR_INPUT a : REAL; END_VAR VAR_OUTPUT q : REAL; END_VAR q := a * 2.0;"],
)
def test_a_block_of_which_nothing_is_left_is_inspected(
    inside_the_block: str, inside: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = f"FUNCTION_BLOCK Nothing {inside_the_block} END_FUNCTION_BLOCK"
    file = from_here(written(inside, nothing=text) / "nothing.st")
    assert cli.run(["inspect", file]) == ExitCode.ALL_PROVED
    shown = " ".join(capsys.readouterr().out.split())
    assert "1 block inspected: nothing found" in shown
    assert ("Left out: REAL" in shown) is bool(inside_the_block)


@pytest.mark.long
def test_the_document_has_every_point_of_a_folder(
    inside: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = from_here(written(inside, faulty=FAULTY, clean=CLEAN))
    words = ["inspect", folder, "--json", "-", "--skip", "dead-code,constant-condition"]
    assert cli.run(words) == ExitCode.VIOLATED
    document = json.loads(capsys.readouterr().out)
    assert list(schema("inspection").iter_errors(document)) == []
    blocks = {each["block"]: each for each in document["blocks"]}
    assert set(blocks) == {"Faulty", "Clean"}
    (point,) = blocks["Faulty"]["points"]
    found = point["kind"], point["weight"], point["place"]["line"]
    assert found == ("lost-write", "fault", 4)
    assert [other["line"] for other in point["others"]] == [3]
    values: dict[str, object] = {}
    for step in point["run"]["steps"]:
        values |= step["changes"]
    assert values["a"] != values["b"]
    assert point["formula"] == (
        "whether some scan gives 'q' another value at line 4 than elsewhere before, which nobody "
        "read between (plain literals aside)"
    )


def test_files_of_a_folder_that_cannot_be_read_are_named_and_the_others_inspected(
    inside: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (written(inside, clean=CLEAN) / "empty.st").write_text("", encoding="utf-8")
    assert cli.run(["inspect", from_here(inside), "--kinds", "late-input"]) == ExitCode.ALL_PROVED
    captured = capsys.readouterr()
    assert "1 block inspected" in captured.out
    assert "nothing is taken from this file" in captured.err


@pytest.mark.long
def test_an_exchange_file_is_inspected_like_a_text(capsys: pytest.CaptureFixture[str]) -> None:
    file = EXCHANGE_FILES / "two_hand_ladder.xml"
    assert cli.run(["inspect", from_here(file), "--brief"]) == ExitCode.ALL_PROVED
    assert "TwoHand of" in capsys.readouterr().out


def test_what_cannot_be_read_is_told_apart(
    inside: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.run(["inspect", from_here(inside / "missing.st")]) == ExitCode.UNUSABLE
    assert cli.run(["inspect", from_here(inside), "--kinds", "nonsense"]) == ExitCode.UNUSABLE
    file = from_here(written(inside, clean=CLEAN) / "clean.st")
    platform = ["--platform", "HAND left = a"]
    assert cli.run(["inspect", file, *platform]) == ExitCode.UNUSABLE
    assert "this says nothing in an inspection" in capsys.readouterr().err


@pytest.mark.long
@pytest.mark.parametrize(
    ("name", "kinds"),
    [
        ("elapsed_time_equal", {"constant-condition", "passed-clock"}),
        ("written_twice", {"lost-write"}),
        ("homing_waits_for_ever", {"missed-case"}),
        ("beam_press", set()),
        ("plant_bouncing_contact", None),
        ("seam_press_latches", set()),
    ],
)
def test_the_gallery_has_the_faults_that_it_says(
    name: str, kinds: set[str] | None, capsys: pytest.CaptureFixture[str]
) -> None:
    spec = GALLERY / f"{name}.spec"
    file = spec if spec.exists() else spec.with_suffix(".st")
    code = cli.run(["inspect", from_here(file), "--json", "-"])
    document = json.loads(capsys.readouterr().out)
    points = [p for each in document["blocks"] for p in each["points"]]
    found = {point["kind"] for point in points if point["weight"] == "fault"}
    if kinds is not None:
        assert found == kinds
    assert code == (ExitCode.VIOLATED if found else ExitCode.ALL_PROVED)
