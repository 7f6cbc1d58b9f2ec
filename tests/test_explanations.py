"""Every code that the program can give is explained, and each example does what its page says."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from typing import TypeGuard

import pytest

import checker
from checker import cli
from checker.report.exit_code import ExitCode
from checker.source.diagnostic import InputError
from checker.source.explanation import Explanation, explanations
from checker.temporal.specification import load_specifications

CODE = re.compile(r"[a-z]+(?:-[a-z]+)*")
GIVING = {
    "Diagnostic", "Refusal", "problem", "error", "warn", "wrong", "repeated", "_error", "_problem",
    "_unusable", "_stop", "unknown_name",
}  # fmt: skip
BLOCK = """TYPE Mode : (Idle, Run); END_TYPE
FUNCTION_BLOCK B
VAR_INPUT a, b : BOOL; END_VAR
VAR_OUTPUT q : BOOL; END_VAR
VAR x, y : INT; t : TON; w : WORD; d : TIME; mode : Mode; END_VAR
{declarations}
{body}
END_FUNCTION_BLOCK
"""
STATEMENTS = (
    "SOURCE 'b.st';", "SCAN T#10ms;", "HAND left = a;", "HAND right = b;", "OUTPUT q;",
    "REQUIRE TWO_HAND LOGIC TYPE I;",
)  # fmt: skip
COMMANDS = {
    "needless-assumption": "check",
    "nothing-to-fail": "faults",
    "nothing-to-measure": "measure",
    "reading-decides": "check",
}
"""The commands that tell what is not told as the spec is read."""
ASKED_WITH = {"retained-timer": "POWER CYCLES;"}
"""What the spec says besides, where an example of the source depends on it."""


def spec_with(statements: str) -> str:
    """A spec of the block: the first word of a line that it gives is not given otherwise."""
    own = {line.split()[0] for line in statements.split("\n") if line.strip()}
    kept = [line for line in STATEMENTS if line.split()[0] not in own]
    return "\n".join(["SPEC S", *kept, statements, "END_SPEC", ""])


def codes_in(path: Path) -> Iterator[str]:
    """The codes that the calls in a file give."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if not isinstance(node, ast.Call):
            continue
        name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(
            node.func, "id", ""
        )  # fmt: skip
        if name not in GIVING:
            continue
        first, given = True, [*node.args, *(k.value for k in node.keywords)]
        for argument in given:
            for part in ast.walk(argument) if first else (argument,):
                if is_text(part) and (first or "-" in part.value) and CODE.fullmatch(part.value):
                    yield part.value
            first = False


def is_text(node: ast.AST) -> TypeGuard[ast.Constant]:
    return isinstance(node, ast.Constant) and isinstance(node.value, str)


def texts_in(path: Path) -> Iterator[str]:
    return (n.value for n in ast.walk(ast.parse(path.read_text(encoding="utf-8"))) if is_text(n))


def all_codes() -> set[str]:
    root = Path(checker.__file__).parent
    return {code for path in root.rglob("*.py") for code in codes_in(path)}


def test_every_code_has_a_page() -> None:
    assert all_codes() - set(explanations()) == set()


def test_every_page_explains_a_code() -> None:
    root = Path(checker.__file__).parent
    used = {text for path in root.rglob("*.py") for text in texts_in(path)}
    assert set(explanations()) - used == set()


def files_of(page: Explanation, text: str) -> tuple[str, str]:
    """The source and the spec in which the example stands."""
    source = BLOCK.format(declarations="", body="")
    spec = spec_with(ASKED_WITH.get(page.code, ""))
    match page.kind:
        case "body":
            source = BLOCK.format(declarations="", body=text)
        case "declarations":
            source = BLOCK.format(declarations=text, body="")
        case "source":
            source = text
            spec = "SPEC S\nSOURCE 'b.st';\nSCAN T#10ms;\nBLOCK B;\nEND_SPEC\n"
        case "spec":
            spec = spec_with(text)
        case "whole_spec":
            spec = text
    return source, spec


def shown_by(command: str, path: Path, output: pytest.CaptureFixture[str]) -> set[str]:
    """The codes in what a command shows."""
    assert cli.run([command, str(path)]) != ExitCode.INTERNAL
    found = output.readouterr()
    return set(re.findall(r"\[([a-z-]+)\]", found.out + found.err)) & set(explanations())


def told(
    page: Explanation, text: str, folder: Path, output: pytest.CaptureFixture[str]
) -> set[str]:
    source, spec = files_of(page, text)
    (folder / "b.st").write_text(source, encoding="utf-8")
    (folder / "s.spec").write_text(spec, encoding="utf-8")
    if page.code in COMMANDS:
        return shown_by(COMMANDS[page.code], folder / "s.spec", output)
    try:
        found = load_specifications(folder / "s.spec")
    except InputError as error:
        return {problem.code for problem in error.diagnostics}
    return {problem.code for each in found for problem in each.warnings}


@pytest.mark.parametrize(
    "page", [p for p in explanations().values() if p.kind], ids=lambda p: p.code
)
def test_an_example_gives_its_code_and_its_mended_text_does_not(
    page: Explanation, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert page.code in told(page, page.example, tmp_path, capsys)
    left = told(page, page.mended, tmp_path, capsys)
    assert left <= {"nothing-to-check"}, left


def test_explain_shows_a_page(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["explain", "equals-for-assignment"]) == 0
    assert "x := 5;" in capsys.readouterr().out
    assert cli.run(["check", "--explain", "EQUALS-for-assignment"]) == 0
    assert "x := 5;" in capsys.readouterr().out


def test_explain_lists_all_codes(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["explain"]) == 0
    shown = capsys.readouterr().out.splitlines()
    assert [line.split()[0] for line in shown] == list(explanations())


def test_an_unknown_code_is_told_with_the_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["explain", "equal-for-assignment"]) == 2
    assert "did you mean 'equals-for-assignment'?" in capsys.readouterr().err
