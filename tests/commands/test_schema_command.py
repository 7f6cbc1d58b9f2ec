"""``twohand schema``: which documents there are, and the JSON Schema of each."""

from __future__ import annotations

import json

import pytest
from jsonschema import Draft202012Validator
from twohand.commands import main as cli
from twohand.gate.documents import IN_PARTS, KINDS
from twohand.record.document import VERSION
from twohand.report.exit_code import ExitCode

Capture = pytest.CaptureFixture[str]


def test_without_a_name_the_kinds_are_listed_with_their_commands(capsys: Capture) -> None:
    assert cli.run(["schema"]) == ExitCode.ALL_PROVED
    rows = [line.split(maxsplit=1) for line in capsys.readouterr().out.splitlines()]
    wholes = [[name, f"twohand {each.command} --json"] for name, each in KINDS.items()]
    parts = [[f"{n}-part", f"twohand {e.command} --part K/N --json"] for n, e in IN_PARTS.items()]
    assert rows == wholes + parts
    assert {each.command for each in KINDS.values()} <= set(cli.COMMANDS)


@pytest.mark.parametrize("name", [*KINDS, *(f"{each}-part" for each in IN_PARTS)])
def test_a_schema_is_one_and_closed_where_the_record_is(name: str, capsys: Capture) -> None:
    assert cli.run(["schema", f"twohand-{name}"]) == ExitCode.ALL_PROVED
    shown = capsys.readouterr().out
    assert shown.isascii()
    found = json.loads(shown)
    Draft202012Validator.check_schema(found)
    assert found["properties"]["format"] == {"const": f"twohand-{name}"}
    assert found["properties"]["version"] == {"const": VERSION}
    for each in (found, *found["$defs"].values()):
        assert each["additionalProperties"] is False
        assert each["required"] == list(each["properties"])
        assert each["description"]


@pytest.mark.parametrize(("wrong", "near"), [("faults", "fault-table"), ("chek", "check")])
def test_another_name_is_told_with_the_nearest(wrong: str, near: str, capsys: Capture) -> None:
    assert cli.run(["schema", wrong]) == ExitCode.UNUSABLE
    said = " ".join(capsys.readouterr().err.split())
    assert f"there is no document '{wrong}'; did you mean '{near}'?" in said
