"""The engine's own symbols can never be a program's: names of the program have no '#' in front."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest
import z3
from twohand.engine.portfolio import decide
from twohand.engine.system.contract import Violated
from twohand.scan.clocking import Clocking, Readings
from twohand.scan.symbolic.encode import encode
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.places import PACKAGE

ENGINE = PACKAGE / "engine"
WORDS = ("bad", "jump", "shorter", "more", "s", "proof", "needed", "scans", "elapsed")


def made_names(module: Path) -> Iterator[str]:
    """The literal beginning of each name that a file gives to a symbol."""
    for node in ast.walk(ast.parse(module.read_text(encoding="utf-8"))):
        if not isinstance(node, ast.Call) or not ast.unparse(node.func).startswith("z3."):
            continue
        if ast.unparse(node.func) not in {"z3.Bool", "z3.Int", "z3.Const", "z3.Function"}:
            continue
        match node.args[0]:
            case (
                ast.Constant(value=str() as text)
                | ast.JoinedStr(values=[ast.Constant(value=str() as text), *_])
            ):
                yield text
            case _:
                pass  # a copy of a symbol that there is, with '@' behind its name


def test_every_symbol_of_the_engine_has_a_name_that_no_program_can_have() -> None:
    names = [name for module in ENGINE.rglob("*.py") for name in made_names(module)]
    assert len(names) > 5
    assert [name for name in names if not name.startswith("#")] == []


@pytest.mark.parametrize("word", WORDS)
def test_variables_with_words_of_the_engine_hide_no_violation(word: str) -> None:
    """The output goes on in the third scan of ``a``, whatever the variable on the way is called."""
    text = f"""
    FUNCTION_BLOCK B
    VAR_INPUT a : BOOL; END_VAR
    VAR_OUTPUT q : BOOL; END_VAR
    VAR {word}, then : BOOL; END_VAR
    q := a AND then AND NOT {word};
    then := {word};
    {word} := a AND NOT {word};
    END_FUNCTION_BLOCK
    """.replace("then", "later")
    program = load_program([SourceText("b.st", text)], "B")
    system = encode(program, Clocking(1_000_000, 10, 10), Readings()).system
    q = system.signals["q"]
    assert z3.is_bool(q)
    answer = decide(system, q, 20)
    assert isinstance(answer, Violated)
    assert len(answer.steps) == 3
