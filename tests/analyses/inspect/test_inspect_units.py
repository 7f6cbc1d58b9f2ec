"""A folder's units: which are inspected, which are within others, and what is refused and why."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from twohand.analyses.inspect.subject import SourceUnit, in_turn
from twohand.commands import main as cli
from twohand.report.exit_code import ExitCode

from tests.support.places import from_here
from tests.support.schemas import schema

STEP = (
    "FUNCTION_BLOCK Step VAR_INPUT on : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR\n"
    "q := on;\nEND_FUNCTION_BLOCK\n"
)
OF_A_POINTER = (
    "FUNCTION_BLOCK Gate VAR_INPUT on : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR\n"
    "VAR_INPUT    p : POINTER TO BOOL; END_VAR VAR s : Step; END_VAR\n"
    "s(on := on);\nq := s.q;\nEND_FUNCTION_BLOCK\n"
)
NESTED = (
    "PROGRAM Main VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR\n"
    "q := Inverse(a);\nEND_PROGRAM\n"
    "FUNCTION Inverse : BOOL VAR_INPUT a : BOOL; END_VAR\nInverse := NOT a;\nEND_FUNCTION\n"
)
RATIO = (
    "FUNCTION Ratio : INT VAR_INPUT a, b : INT; END_VAR\n"
    "IF b > 0 THEN Ratio := a / b; END_IF;\n"
    "IF b > 5 THEN IF b < 3 THEN Ratio := 1; END_IF; END_IF;\nEND_FUNCTION\n"
)


def written(folder: Path, **files: str) -> str:
    for name, text in files.items():
        (folder / f"{name}.st").write_text(text, encoding="utf-8")
    return from_here(folder)


def asked(words: list[str], capsys: pytest.CaptureFixture[str]) -> dict[str, object]:
    code = cli.run(["inspect", *words, "--json", "-"])
    document = json.loads(capsys.readouterr().out)
    assert list(schema("inspection").iter_errors(document)) == []
    assert code == document["exit_code"]
    return document  # type: ignore[no-any-return]


def test_the_table_of_a_folder_comes_first_with_what_became_of_each_unit(
    inside: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = written(inside, step=STEP, gate=OF_A_POINTER, main=NESTED)
    assert cli.run(["inspect", folder, "--brief", "--kinds", "unused"]) == ExitCode.UNDECIDED
    shown = " ".join(capsys.readouterr().out.split())
    assert shown.startswith("4 units REFUSED Gate (FUNCTION_BLOCK, ")
    assert "gate.st:2:18: the checker does not read pointers" in shown
    assert "CLEAN Step (" in shown, "what only a refused unit has is inspected by itself"
    assert "WITHIN Inverse (FUNCTION, " in shown
    assert "main.st): inspected within Main" in shown
    assert "2 blocks inspected: nothing found; 1 unit refused" in shown
    assert "Main of " not in shown, "there is nothing to add"
    cli.run(["inspect", folder, "--details", "--kinds", "unused"])
    detailed = " ".join(capsys.readouterr().out.split())
    assert "Main of " in detailed.partition("WITHIN Inverse")[2]


def test_a_unit_with_a_warning_or_a_point_has_its_details(
    inside: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = written(inside, step=STEP, idle=STEP.replace("Step", "Idle").replace("q := on", ""))
    cli.run(["inspect", folder, "--brief", "--kinds", "unused"])
    shown = capsys.readouterr().out
    assert "Idle of " in shown
    assert "Step of " not in shown


def test_a_document_has_a_row_for_each_unit(
    inside: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = written(inside, step=STEP, gate=OF_A_POINTER, main=NESTED)
    document = asked([folder, "--kinds", "unused"], capsys)
    rows = {each["name"]: each for each in document["units"]}  # type: ignore[attr-defined]
    answers = {name: (row["kind"], row["answer"], row["users"]) for name, row in rows.items()}
    assert answers == {
        "Step": ("FUNCTION_BLOCK", "clean", []),
        "Gate": ("FUNCTION_BLOCK", "refused", []),
        "Main": ("PROGRAM", "clean", []),
        "Inverse": ("FUNCTION", "within", ["Main"]),
    }
    (message,) = rows["Gate"]["messages"]
    assert message["code"] == "unsupported-pointer"
    assert [each["code"] for each in document["problems"]] == ["unsupported-pointer"]  # type: ignore[attr-defined]


def test_a_unit_that_is_named_and_cannot_be_read_is_an_unusable_input(
    inside: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = written(inside, step=STEP, gate=OF_A_POINTER)
    assert cli.run(["inspect", folder, "--block", "Gate"]) == ExitCode.UNUSABLE
    assert "unsupported-pointer" in capsys.readouterr().err
    assert cli.run(["inspect", folder, "--kinds", "unused"]) == ExitCode.UNDECIDED
    (inside / "step.st").unlink()
    (inside / "gate.st").write_text(OF_A_POINTER.replace("s : Step;", ""), encoding="utf-8")
    assert cli.run(["inspect", folder]) == ExitCode.UNUSABLE


@pytest.mark.long
def test_a_function_is_inspected_with_inputs_that_are_free_each_call(
    inside: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = written(inside, ratio=RATIO)
    words = [folder, "--kinds", "constant-condition,finding", "--processes", "1"]
    document = asked(words, capsys)
    assert document["exit_code"] == ExitCode.VIOLATED
    (block,) = document["blocks"]  # type: ignore[misc]
    found = [(p["kind"], p["place"]["line"]) for p in block["points"]]
    assert found == [("constant-condition", 3)], "the division is guarded"
    cli.run(["inspect", folder, "--kinds", "unused", "--brief"])
    shown = " ".join(capsys.readouterr().out.split())
    assert "inputs free each call: a and b" in shown
    assert "1 function inspected" in shown


def test_a_function_that_calls_itself_is_refused(
    inside: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = "FUNCTION Deep : INT VAR_INPUT n : INT; END_VAR\nDeep := Deep(n);\nEND_FUNCTION\n"
    folder = written(inside, deep=text)
    assert cli.run(["inspect", folder]) == ExitCode.UNUSABLE
    assert "[recursion]" in capsys.readouterr().err


def test_every_unit_is_listed_once_and_what_only_refused_units_have_is_inspected() -> None:
    top, bad = SourceUnit("Top", "PROGRAM", ""), SourceUnit("Bad", "PROGRAM", "")
    both = SourceUnit("Both", "FUNCTION", "", ("Bad", "Top"))
    alone = SourceUnit("Alone", "FUNCTION", "", ("Bad",))
    below = SourceUnit("Below", "FUNCTION", "", ("Alone",))
    refused: list[SourceUnit] = []
    seen = []
    for unit, by_itself in in_turn([both, below, alone, bad, top], refused):
        seen.append((unit.name, by_itself))
        if unit is bad:
            refused.append(unit)
    own = [("Bad", True), ("Top", True), ("Alone", True)]
    assert seen == [*own, ("Both", False), ("Below", False)]


def test_units_of_which_each_is_within_another_are_all_inspected() -> None:
    first, second = SourceUnit("A", "PROGRAM", "", ("B",)), SourceUnit("B", "PROGRAM", "", ("A",))
    assert list(in_turn([first, second], [])) == [(first, True), (second, True)]
