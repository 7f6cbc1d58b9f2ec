"""``check --junit --sarif --waves``: each to its own place, whatever becomes of the others."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from junitparser import JUnitXml
from twohand.commands import main as cli
from twohand.commands.checking import other_tools
from twohand.commands.shared import document
from twohand.commands.shared.session import Session

from tests.support.answered_specs import answer

ALL = ("--junit", "out.xml", "--sarif", "out.sarif", "--waves", "runs")


@pytest.fixture(autouse=True)
def answered(monkeypatch: pytest.MonkeyPatch, inside: Path) -> None:
    """Specs are answered by their names, without a check."""
    monkeypatch.setattr(Session, "check", answer)
    for name in ("good", "bad", "meant", "open", "broken", "crash"):
        (inside / f"{name}.spec").write_text("SPEC", encoding="utf-8")


def run(*line: str) -> int:
    return cli.run(["check", *line])


def test_all_formats_are_written_at_once() -> None:
    assert run("good.spec", "bad.spec", *ALL, "--json", "out.json") == 1
    assert [suite.tests for suite in JUnitXml.fromfile("out.xml")] == [1, 2]
    (sarif,) = json.loads(Path("out.sarif").read_text(encoding="utf-8"))["runs"]
    assert [each["ruleId"] for each in sarif["results"]] == ["start_window"]
    assert sarif["invocations"][0]["exitCode"] == 1
    assert [each.name for each in Path("runs").iterdir()] == ["Press_start_window.vcd"]
    assert Path("out.json").exists()


def test_what_has_no_answer_is_in_each_of_them() -> None:
    assert run("good.spec", "broken.spec", "crash.spec", *ALL) == 4
    _, unusable = JUnitXml.fromfile("out.xml")
    assert [case.name for case in unusable] == ["missing-word", "internal-error"]
    (sarif,) = json.loads(Path("out.sarif").read_text(encoding="utf-8"))["runs"]
    (invocation,) = sarif["invocations"]
    assert not invocation["executionSuccessful"]
    notes = [each["descriptor"]["id"] for each in invocation["toolExecutionNotifications"]]
    assert notes == ["missing-word", "internal-error"]


def test_an_expected_violation_is_skipped_where_that_is_asked_for() -> None:
    assert run("meant.spec", "--as-expected", *ALL) == 0
    ((case,),) = JUnitXml.fromfile("out.xml")
    assert case.is_skipped
    (sarif,) = json.loads(Path("out.sarif").read_text(encoding="utf-8"))["runs"]
    assert sarif["results"] == []


def test_one_that_cannot_be_written_costs_no_other(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    write = document.replace_file

    def full(path: Path, text: str) -> None:
        if path.name == "out.xml":
            raise OSError(28, "No space left on device")
        write(path, text)

    monkeypatch.setattr(document, "replace_file", full)
    assert run("good.spec", *ALL) == 2
    assert "out.xml" in capsys.readouterr().err
    assert not Path("out.xml").exists()
    assert Path("out.sarif").exists()


def test_a_page_that_cannot_be_written_costs_no_document_and_the_other_way_round(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    write = document.replace_file
    for lost, kept in (("out.html", "out.json"), ("out.json", "out.html")):

        def full(path: Path, text: str, lost: str = lost) -> None:
            if path.name == lost:
                raise OSError(28, "No space left on device")
            write(path, text)

        monkeypatch.setattr(document, "replace_file", full)
        assert run("good.spec", "--json", "out.json", "--page", "out.html") == 2
        assert f"{lost}" in capsys.readouterr().err
        assert not Path(lost).exists()
        Path(kept).unlink()


@pytest.mark.parametrize(
    ("line", "said"),
    [
        (("--junit", "-"), "only the JSON document goes there"),
        (("--sarif", "none/out.sarif"), "there is no such folder"),
        (("--junit", "."), "this is a folder"),
        (("--junit", "same", "--sarif", "./same"), "two of what is asked for would lie there"),
        (("--junit", "same", "--json", "same"), "two of what is asked for would lie there"),
        (("--page", "-"), "only the JSON document goes there"),
        (("--page", "none/out.html"), "there is no such folder"),
        (("--page", "same", "--json", "same"), "two of what is asked for would lie there"),
        (("--waves", "."), "this folder is not empty"),
        (("--waves", "good.spec"), "this is no folder"),
        (("--waves", "none/runs"), "there is no such folder"),
    ],
)
def test_a_place_that_cannot_be_is_said_before_the_work(
    line: tuple[str, ...],
    said: str,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(Session, "check", lambda *_: pytest.fail("it has begun"))
    assert run("good.spec", *line) == 2
    printed = capsys.readouterr()
    assert said in printed.err
    assert "not-written" in printed.err


def test_without_the_package_for_dumps_it_is_said_how_to_get_it(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(other_tools, "find_spec", lambda name: None)
    assert run("good.spec", "--waves", "runs") == 2
    assert "pip install 'twohand[waves]'" in capsys.readouterr().err
