"""``twohand play``: what it prints, its exit codes, its document; no solver is loaded."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from twohand.commands import main as cli

from tests.scenarios.samples import written
from tests.support.schemas import schema

FAILS = """SCENARIO fails FOR 'shown.spec';
AT T#10ms a := TRUE; ALWAYS EXPECT NOT q; UNTIL T#30ms; END_SCENARIO"""
PASSES = "SCENARIO passes FOR 'shown.spec'; AT T#10ms a := TRUE; AT T#10ms EXPECT q; END_SCENARIO"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "f.scenario").write_text(FAILS, encoding="utf-8")
    (tmp_path / "p.scenario").write_text(PASSES, encoding="utf-8")
    return written(tmp_path)


def test_scan_and_value_of_a_failure_are_said_and_its_run_is_drawn(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.run(["play", "--ascii", "f.scenario"]) == 1
    out = capsys.readouterr().out
    assert "not so at 10 ms (scan 2): q is TRUE; asked: ALWAYS EXPECT NOT q" in out
    assert "^ wrong" in out
    assert "at 10 ms: q becomes TRUE  shown.st:7" in out
    assert "prove nothing of any other run" in " ".join(out.split())


def test_a_run_in_which_nothing_fails_is_drawn_as_well(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.run(["play", "--ascii", "p.scenario"]) == 0
    assert "^ as expected" in capsys.readouterr().out


def test_the_worst_of_several_files_counts(folder: Path) -> None:
    assert cli.run(["play", "--brief", "p.scenario", "f.scenario"]) == 1
    assert cli.run(["play", "--brief", "f.scenario", "none.scenario"]) == 2


def test_a_recording_needs_its_spec(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (folder / "r.csv").write_text("time,name,value\n0,a,1\n20,a,0\n", encoding="utf-8")
    assert cli.run(["play", "r.csv"]) == 2
    assert "--for press.spec" in capsys.readouterr().err
    assert cli.run(["play", "--brief", "r.csv", "--for", "shown.spec"]) == 0


def test_the_document_has_what_is_printed_and_keeps_to_its_schema(folder: Path) -> None:
    assert cli.run(["play", "f.scenario", "p.scenario", "--json", "a.json"]) == 1
    content = json.loads((folder / "a.json").read_text(encoding="utf-8"))
    schema("play").validate(content)
    first, second = content["scenarios"]
    assert (first["passes"], second["passes"], content["exit_code"]) == (False, True, 1)
    (failure,) = first["failures"]
    assert (failure["scan"], failure["time"], failure["kind"]) == (2, 10_000_000, "expected")
    assert failure["place"]["line"] == 2
    assert first["runs"] == failure["runs"] == 4
    assert {each["path"] for each in content["sources"]} >= {"f.scenario", "shown.spec"}


def test_the_same_input_gives_the_same_bytes(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    written(folder, longest="..T#30ms")
    outputs = []
    for _ in range(2):
        cli.run(["play", "f.scenario"])
        outputs.append(capsys.readouterr().out)
    assert outputs[0] == outputs[1]
    assert "8 at random (seed 1)" in outputs[0]


@pytest.mark.long
def test_no_solver_is_loaded(folder: Path) -> None:
    text = (
        "import sys; from twohand.commands.main import run; "
        "code = run(['play', 'f.scenario', '--json', 'a.json']); "
        "sys.exit(99 if {'z3', 'cvc5'} & set(sys.modules) else code)"
    )
    done = subprocess.run([sys.executable, "-c", text], capture_output=True, check=False)
    assert done.returncode == 1, done.stderr


def test_a_run_in_which_several_things_fail_is_drawn_once(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    twice = FAILS.replace("UNTIL", "AT T#20ms EXPECT NOT q; UNTIL")
    (folder / "f.scenario").write_text(twice, encoding="utf-8")
    assert cli.run(["play", "--ascii", "f.scenario"]) == 1
    out = capsys.readouterr().out
    assert out.count("^ wrong") == 1
    assert out.count(": FAILS") == 3  # the scenario and both
    assert out.index("the run is drawn below, at EXPECT in line 2") < out.index("^ wrong")


def test_what_a_reading_was_observed_by_is_repeated_and_has_to_be_filled_in(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The lines that ``twohand probe`` prints can stand in a scenario."""
    for by, code in (("controller 7, by N", 0), ("controller ?, by N", 2)):
        reading = f"READING preset_latched TRUE SHOWN BY '{by}';"
        text = PASSES.replace("AT T#10ms", f"{reading} AT T#10ms", 1)
        (folder / "p.scenario").write_text(text, encoding="utf-8")
        assert cli.run(["play", "--ascii", "--brief", "p.scenario"]) == code
        shown = capsys.readouterr()
        if code == 0:
            assert by in " ".join(shown.out.split())
            assert "nothing proves" in " ".join(shown.out.split())
        else:
            assert "[observation-not-filled-in]" in shown.err
