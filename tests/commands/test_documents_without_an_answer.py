"""``--json`` where something has no answer: a document with the reason, never the older one."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import Any

import pytest
from twohand.commands import main as cli
from twohand.commands.shared.session import Session
from twohand.report.exit_code import ExitCode

from tests.support.schemas import schema

BROKEN = "FUNCTION_BLOCK Broken\nVAR_OUTPUT q : BOOL; END_VAR\nq = TRUE;\nEND_FUNCTION_BLOCK\n"
SPEC = "SPEC Broken\n  SOURCE 'broken.st';\n  SCAN T#10ms;\n  REACHABLE FIRST_SCAN;\nEND_SPEC\n"
COMMANDS = {
    "check": ("check", "broken.spec"),
    "measurement": ("measure", "broken.spec"),
    "fault-table": ("faults", "broken.spec"),
    "inspection": ("inspect", "broken.st"),
    "audit": ("audit", "broken.spec"),
    "mending": ("mend", "broken.spec"),
    "comparison": ("compare", "broken.st", "broken.st"),
}


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (tmp_path / "broken.st").write_text(BROKEN, encoding="utf-8")
    (tmp_path / "broken.spec").write_text(SPEC, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def document(folder: Path) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((folder / "found.json").read_text(encoding="utf-8"))
    return found


@pytest.mark.parametrize("kind", COMMANDS)
def test_an_input_that_cannot_be_used_is_in_the_document(kind: str, folder: Path) -> None:
    (folder / "found.json").write_text('{"of": "yesterday"}', encoding="utf-8")
    assert cli.run([*COMMANDS[kind], "--json", "found.json"]) == ExitCode.UNUSABLE
    found = document(folder)
    assert list(found)[:5] == ["format", "version", "options", "sources", "exit_code"]
    assert (found["format"], found["exit_code"]) == (f"twohand-{kind}", ExitCode.UNUSABLE)
    (problem,) = found["problems"]
    assert (problem["code"], problem["severity"]) == ("equals-for-assignment", "error")
    assert (problem["place"]["path"], problem["place"]["line"]) == ("broken.st", 3)
    assert problem["place"]["identifier"].startswith("Broken:")
    assert problem["help"]
    read = [path for path in COMMANDS[kind][1:] if path.endswith(".spec")]
    assert found["sources"] == [
        {"path": path, "sha256": hashlib.sha256((folder / path).read_bytes()).hexdigest()}
        for path in (*read, "broken.st")
    ]
    assert list(schema(kind).iter_errors(found)) == []


@pytest.mark.parametrize("kind", COMMANDS)
def test_a_page_of_it_says_that_it_is_not_complete(kind: str, folder: Path) -> None:
    page = folder / "found.html"
    page.write_text("yesterday's", encoding="utf-8")
    assert cli.run([*COMMANDS[kind], "--page", "found.html"]) == ExitCode.UNUSABLE
    text = page.read_text(encoding="utf-8")
    assert "yesterday" not in text
    assert "NOT COMPLETE" in text
    assert 'class="sign"' not in text
    assert "broken.st:3" in text


@pytest.mark.parametrize("command", ["check", "measure"])
def test_the_document_is_alone_on_the_output(
    command: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.run([command, "nowhere.spec", "--json", "-"]) == ExitCode.UNUSABLE
    shown = capsys.readouterr()
    (problem,) = json.loads(shown.out)["problems"]
    whole = {"path": "nowhere.spec", "line": 0, "column": 0, "identifier": ""}
    assert (problem["code"], problem["place"]) == ("missing-file", whole)
    assert "[missing-file]" in shown.err


@pytest.mark.parametrize("command", ["check", "measure"])
@pytest.mark.parametrize(
    ("error", "code", "told"),
    [
        (KeyboardInterrupt(), ExitCode.INTERRUPTED, "interrupted"),
        (ValueError("no"), ExitCode.INTERNAL, "internal-error"),
    ],
)
def test_what_came_to_no_end_is_in_the_document(
    command: str,
    error: BaseException,
    code: ExitCode,
    told: str,
    folder: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def failing(*_: object) -> None:
        raise error

    monkeypatch.setattr(Session, "specifications", failing)
    assert cli.run([command, "broken.spec", "--json", "found.json"]) == code
    assert [each["code"] for each in document(folder)["problems"]] == [told]
