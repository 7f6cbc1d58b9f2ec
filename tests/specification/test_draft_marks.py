"""While a line of a spec is marked as a draft's, nothing is asked of it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import twohand
from twohand.commands.main import run
from twohand.specification.load import load_specifications
from twohand.specification.syntax.parse import parse_specification
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText

from tests.support.places import PACKAGE

BLOCK = """FUNCTION_BLOCK Press
VAR_INPUT left, right : BOOL; END_VAR
VAR_OUTPUT stroke : BOOL; END_VAR
stroke := left AND right;
END_FUNCTION_BLOCK
"""
SPEC = """SPEC Press
    SOURCE 'press.st';
    SCAN T#10ms{scan};
    HAND one = left{hand};
    HAND other = right;
    OUTPUT stroke;{more}
    REQUIRE TWO_HAND LOGIC TYPE I;
END_SPEC
"""
Capture = pytest.CaptureFixture[str]
STATEMENTS = re.findall(
    r"^\| `([A-Z_]+ .*?;)` \|", (PACKAGE / "manual" / "spec_language.md").read_text("utf-8"), re.M
)
ASKING = (
    ["check"],
    ["measure"],
    ["faults"],
    ["inspect"],
    ["review"],
)


def written(folder: Path, scan: str = "", hand: str = "", more: str = "") -> Path:
    (folder / "press.st").write_text(BLOCK, encoding="utf-8")
    path = folder / "press.spec"
    path.write_text(SPEC.format(scan=scan, hand=hand, more=more), encoding="utf-8")
    return path


@pytest.mark.parametrize("statement", STATEMENTS)
def test_every_statement_may_be_marked_as_guessed(statement: str) -> None:
    plain = statement.removesuffix(";").removesuffix(" GUESSED")
    text = f"SPEC Marked {plain} GUESSED; END_SPEC"
    (node,) = parse_specification(SourceText("marked.spec", text)).statements
    assert node.guessed is not None
    assert node.guessed.text == "GUESSED"


def test_the_statements_are_those_of_the_manual() -> None:
    assert len(STATEMENTS) > 40


def test_the_mark_is_no_word_that_is_lost_to_names() -> None:
    text = "SPEC Marked OUTPUT guessed, missing; HAND guessed = missing GUESSED; END_SPEC"
    outputs, hand = parse_specification(SourceText("marked.spec", text)).statements
    assert outputs.guessed is None
    assert hand.guessed is not None


def test_every_marked_line_is_named_and_nothing_else(tmp_path: Path) -> None:
    path = written(tmp_path, " GUESSED", " guessed", " MISSING 'what it is for';")
    with pytest.raises(InputError) as caught:
        load_specifications(path)
    found = [(each.code, each.span and each.span.line) for each in caught.value.diagnostics]
    assert found == [("draft-mark", 3), ("draft-mark", 4), ("draft-mark", 6)]
    assert "what it is for" in caught.value.diagnostics[2].message


def test_without_marks_it_is_a_spec_like_any_other(tmp_path: Path) -> None:
    (only,) = load_specifications(written(tmp_path))
    assert [each.identifier for each in only.requirements] == ["both_hands"]


@pytest.mark.parametrize("command", ASKING, ids=" ".join)
def test_every_command_that_asks_a_spec_refuses_it_with_two(
    command: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    written(tmp_path, hand=" GUESSED")
    (tmp_path / "twohand.toml").write_text('specs = ["press.spec"]\n', encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    assert run([*command, "press.spec"]) == 2
    shown = capsys.readouterr()
    assert "draft-mark" in shown.out + shown.err
    assert "PROVED" not in shown.out


def test_the_python_interface_refuses_it(tmp_path: Path) -> None:
    path = written(tmp_path, hand=" GUESSED")
    with pytest.raises(twohand.InputError, match="nobody has confirmed"):
        twohand.check(path)
