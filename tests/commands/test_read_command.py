"""``twohand read``: what is checked, for a reviewer to hold against the drawing."""

from __future__ import annotations

from pathlib import Path

from click.testing import CliRunner
from twohand.commands.main import commands
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.places import EXCHANGE_FILES

LADDER = EXCHANGE_FILES / "two_hand_ladder.xml"


def test_a_ladder_is_shown_as_the_text_that_is_checked() -> None:
    result = CliRunner().invoke(commands, ["read", str(LADDER)], standalone_mode=False)
    assert result.return_value == 0
    assert "run(S1 := rose AND armed.Q1 AND NOT window.Q, R := NOT both);" in result.output
    assert load_program([SourceText("shown.st", result.output)]).name == "TwoHand"


def test_what_cannot_be_read_is_told_at_its_place_behind_the_text(tmp_path: Path) -> None:
    broken = tmp_path / "broken.xml"
    text = LADDER.read_text(encoding="utf-8").replace('xsi:type="Contact"', 'xsi:type="Lamp"', 1)
    broken.write_text(text, encoding="utf-8")
    result = CliRunner().invoke(commands, ["read", str(broken)], standalone_mode=False)
    line = next(n for n, each in enumerate(text.splitlines(), 1) if "Lamp" in each)
    assert result.return_value == 2
    assert f"broken.xml:{line}:" in result.output
    assert "elements of the kind 'Lamp'" in result.output
    assert "(* FUNCTION_BLOCK TwoHand: not read *)" in result.output
    assert "FUNCTION_BLOCK TwoHand :" not in result.output
