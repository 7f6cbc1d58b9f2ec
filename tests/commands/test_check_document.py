"""``twohand check --json``: the whole answer, with what it is about, and its schema."""

from __future__ import annotations

import copy
import hashlib
import json
import re
from pathlib import Path
from typing import Any

import pytest
from twohand.commands import main as cli
from twohand.record.document import VERSION
from twohand.report.exit_code import ExitCode

from tests.support.schemas import schema

BLOCK = """FUNCTION_BLOCK Lid
VAR_INPUT left, right, shut : BOOL; n : SINT; END_VAR
VAR_OUTPUT stroke : BOOL; END_VAR
VAR k : SINT; END_VAR
stroke := left AND right;
IF shut THEN
    k := n + 1;
END_IF;
END_FUNCTION_BLOCK
"""
SPEC = """SPEC Lid
    SOURCE 'logic/lid.st';
    SCAN T#10ms;
    OUTPUT stroke;
    ASSUME NOT (left AND shut);
    READING preset_latched TRUE;
    PROPERTY guarded : stroke -> shut;
    PROPERTY both : stroke -> left AND right;
    REACHABLE on : stroke;
    EXPECT VIOLATED guarded;
END_SPEC
"""
Capture = pytest.CaptureFixture[str]


@pytest.fixture
def folder(inside: Path) -> Path:
    (inside / "logic").mkdir()
    (inside / "logic" / "lid.st").write_text(BLOCK, encoding="utf-8")
    (inside / "lid.spec").write_text(SPEC, encoding="utf-8")
    return inside


def document(*arguments: str) -> dict[str, Any]:
    """What was written; the exit code is the one in it."""
    code = cli.run(["check", *arguments, "--processes", "1", "--json", "found.json"])
    found: dict[str, Any] = json.loads(Path("found.json").read_text(encoding="utf-8"))
    assert list(schema("check").iter_errors(found)) == []
    assert found["exit_code"] == code
    return found


def hashed(path: str) -> dict[str, str]:
    return {"path": path, "sha256": hashlib.sha256(Path(path).read_bytes()).hexdigest()}


def test_the_head_says_what_was_asked_of_which_files(folder: Path) -> None:
    found = document("lid.spec", "--another", "--effort", "5")
    assert list(found) == [
        *("format", "version", "options", "sources", "exit_code", "specs", "cautions"),
        *("problems", "made"),
    ]
    assert (found["format"], found["version"]) == ("twohand-check", VERSION)
    assert found["options"] == {
        "effort": 5.0,
        "seconds": 600.0,
        "total": None,
        "beyond_findings": False,
        "another": True,
        "as_expected": False,
    }
    assert found["sources"] == [hashed("lid.spec"), hashed("logic/lid.st")]
    assert found["problems"] == []
    assert set(found["made"]["solvers"]) == {"z3", "cvc5"}
    spent = [each["identifier"] for each in found["made"]["spent"]]
    assert spent == ["Lid", "Lid/guarded", "Lid/both", "Lid/on"]


@pytest.mark.long
def test_a_requirement_has_what_is_asked_its_places_its_grounds_and_its_evidence(
    folder: Path,
) -> None:
    (spec,) = document("lid.spec")["specs"]
    guarded, both, on = spec["requirements"]
    assert guarded["asked"]["identifier"] == "Lid/guarded"
    assert guarded["asked"]["formula"] == "stroke -> shut"
    assert (guarded["asked"]["place"]["path"], guarded["asked"]["place"]["line"]) == ("lid.spec", 7)
    assert (guarded["outcome"], guarded["asked"]["expected"]) == ("VIOLATED", "VIOLATED")
    cause = guarded["cause"]
    assert (cause["path"], cause["line"]) == ("logic/lid.st", 5)
    assert cause["identifier"].startswith("Lid:")
    run = guarded["run"]
    assert run["causes"]["stroke"] == cause
    assert {"name": "stroke", "type": "BOOL", "unit": "", "role": "output"} in run["signals"]
    values: dict[str, object] = {}
    for step in run["steps"]:
        values |= step["changes"]
    assert {"left": True, "right": True, "stroke": True, "shut": False}.items() <= values.items()
    assert both["certificate"]["clauses"] is not None
    assert both["run"] is None
    assert on["witness"]["steps"]
    grounds = guarded["rests_on"]
    assert grounds["assumptions"] == ["ASSUME NOT (left AND shut)"]
    assert grounds["fixed"] == {"preset_latched": True, "integers_wrap": False}
    assert "edge_call_counts" in grounds["open"]
    (finding,) = spec["findings"]
    assert finding["identifier"] == f"Lid/overflow/{finding['place']['identifier']}"
    assert finding["run"]["steps"]


@pytest.mark.parametrize("more", [(), ("--as-expected",)])
def test_the_exit_code_is_that_of_the_command(folder: Path, more: tuple[str, ...]) -> None:
    text = SPEC.replace("    PROPERTY both", "    ASSUME n < 100;\n    PROPERTY both")
    (folder / "lid.spec").write_text(text, encoding="utf-8")
    found = document("lid.spec", *more)
    assert found["exit_code"] == (ExitCode.ALL_PROVED if more else ExitCode.VIOLATED)
    assert found["options"]["as_expected"] is bool(more)
    assert found["specs"][0]["exit_code"] == ExitCode.VIOLATED


@pytest.mark.long
def test_the_same_files_give_the_same_bytes_however_they_are_named(folder: Path) -> None:
    texts = []
    for path in ("lid.spec", str(folder / "lid.spec")):
        found = document(path)
        del found["made"]
        texts.append(json.dumps(found))
    assert texts[0] == texts[1]


@pytest.mark.long
def test_nothing_but_the_making_has_a_version_or_a_time(folder: Path) -> None:
    found = document("lid.spec")
    made = found.pop("made")
    text = json.dumps(found)
    for word in (*made["solvers"].values(), made["python"], made["program"], made["machine"]):
        assert word not in text
    assert not re.search(r'"(cvc5|z3) \d', text)
    assert str(folder) not in json.dumps(made | found)


@pytest.mark.long
def test_a_spec_that_cannot_be_read_is_told_beside_the_others(folder: Path) -> None:
    (folder / "other.spec").write_text("SPEC Other SOURCE 'no.st'; END_SPEC", encoding="utf-8")
    found = document("lid.spec", "other.spec")
    assert found["exit_code"] == ExitCode.UNUSABLE
    assert [each["spec"]["name"] for each in found["specs"]] == ["Lid"]
    assert "missing-file" in [each["code"] for each in found["problems"]]
    assert hashed("other.spec") in found["sources"]


@pytest.mark.long
@pytest.mark.parametrize("form", ["text", "concise"])
def test_the_document_is_alone_on_the_output(folder: Path, form: str, capsys: Capture) -> None:
    code = cli.run(["check", "lid.spec", "--processes", "1", "--json", "-", "--format", form])
    shown = capsys.readouterr()
    assert json.loads(shown.out)["exit_code"] == code == ExitCode.VIOLATED
    assert shown.err == ""


def test_a_document_that_cannot_be_written_is_told_before_the_work(
    folder: Path, capsys: Capture
) -> None:
    assert cli.run(["check", "lid.spec", "--json", "no/found.json"]) == ExitCode.UNUSABLE
    shown = capsys.readouterr()
    assert "[not-written]" in shown.err
    assert "PROVED" not in shown.out


@pytest.mark.long
def test_the_schema_refuses_what_no_document_has(folder: Path) -> None:
    found = document("lid.spec")
    for change in (
        lambda each: each.update(extra=1),
        lambda each: each.pop("problems"),
        lambda each: each["specs"][0]["requirements"][0].update(outcome="SURE"),
        lambda each: each["specs"][0]["requirements"][0]["run"].pop("steps"),
        lambda each: each["specs"][0]["requirements"][0]["cause"].update(line="5"),
        lambda each: each["made"].update(host="name"),
        lambda each: each.update(version=VERSION - 1),
    ):
        wrong = copy.deepcopy(found)
        change(wrong)
        assert list(schema("check").iter_errors(wrong)) != []
