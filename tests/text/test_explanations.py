"""Every code that the program can give is explained, and each example does what its page says."""

from __future__ import annotations

import ast
import re
import shlex
from collections.abc import Iterator
from difflib import SequenceMatcher
from functools import cache
from pathlib import Path
from typing import NamedTuple

import pytest
from twohand.commands import main as cli
from twohand.report.exit_code import ExitCode
from twohand.specification.load import load_specifications
from twohand.text.diagnostic import Diagnostic, InputError
from twohand.text.explanation import Explanation, explanations
from twohand.text.source_text import COMMAND_LINE, Span

from tests.support.places import PACKAGE
from tests.support.tiers import rows

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
SPEC_OF_A_SOURCE = """SPEC S
SOURCE 'b.st';
SCAN T#10ms;
BLOCK B;
REACHABLE FIRST_SCAN;
END_SPEC
"""
FILE = re.compile(r"^--- (\S+) ---$", re.MULTILINE)
TOLD = re.compile(
    r"^(?:(?P<path>[^:\n]+?)(?::(?P<line>\d+):\d+)?: )?"
    r"(?:error|warning|note): .*\[(?P<code>[a-z-]+)\]$",
    re.MULTILINE,
)


class Told(NamedTuple):
    """A code that is told and its place; ``line`` is 0 where only the file is named."""

    code: str
    path: str
    line: int


def spec_with(statements: str) -> str:
    """A spec of the block: the first word of a line that it gives is not given otherwise."""
    own = {line.split()[0] for line in statements.split("\n") if line.strip()}
    kept = [line for line in STATEMENTS if line.split()[0] not in own]
    return "\n".join(["SPEC S", *kept, statements, "END_SPEC", ""])


@cache
def parsed(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def codes_in(path: Path) -> Iterator[str]:
    """The codes that the calls in a file give."""
    for node in ast.walk(parsed(path)):
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
                text = text_of(part)
                if text is not None and (first or "-" in text) and CODE.fullmatch(text):
                    yield text
            first = False


def text_of(node: ast.AST) -> str | None:
    """What a literal says; None for anything else."""
    return node.value if isinstance(node, ast.Constant) and isinstance(node.value, str) else None


def texts_in(path: Path) -> Iterator[str]:
    return (text for n in ast.walk(parsed(path)) if (text := text_of(n)) is not None)


def all_codes() -> set[str]:
    root = PACKAGE
    return {code for path in root.rglob("*.py") for code in codes_in(path)}


def test_every_code_has_a_page() -> None:
    assert all_codes() - set(explanations()) == set()


def test_every_page_explains_a_code() -> None:
    root = PACKAGE
    used = {text for path in root.rglob("*.py") for text in texts_in(path)}
    assert set(explanations()) - used == set()


def files_of(page: Explanation, text: str) -> dict[str, str]:
    """The files in which the example stands."""
    source = BLOCK.format(declarations="", body="")
    spec = spec_with("")
    match page.kind:
        case "body":
            source = BLOCK.format(declarations="", body=text)
        case "declarations":
            source = BLOCK.format(declarations=text, body="")
        case "source":
            source, spec = text, SPEC_OF_A_SOURCE
        case "spec":
            spec = spec_with(text)
        case "whole_spec":
            spec = text
        case "command":
            source = BLOCK.format(declarations="", body="q := a AND b;")
        case "files":
            _, *parts = FILE.split(text)
            return {name: part.lstrip("\n") for name, part in zip(*[iter(parts)] * 2, strict=True)}
    return {"b.st": source, "s.spec": spec}


def shown_by(command: str, output: pytest.CaptureFixture[str]) -> str:
    """What a command line shows, which the page gives as a user types it."""
    program, *arguments = shlex.split(command)
    assert program == "twohand"
    assert cli.run(arguments) != ExitCode.INTERNAL
    found = output.readouterr()
    return found.out + found.err


def told(page: Explanation, text: str, output: pytest.CaptureFixture[str]) -> list[Told]:
    """The codes and places that are told of an example, in the working folder."""
    for name, content in files_of(page, text).items():
        Path(name).parent.mkdir(exist_ok=True)
        Path(name).write_text(content, encoding="utf-8", newline="\n")
    command = text if page.kind == "command" else page.reported_by
    if command:
        return [
            Told(found["code"], posix(found["path"]), int(found["line"] or 0))
            for found in TOLD.finditer(shown_by(command, output))
        ]
    try:
        specifications = load_specifications(Path("s.spec"))
    except InputError as error:
        problems = list(error.diagnostics)
    else:
        problems = [problem for each in specifications for problem in each.warnings]
    return [place for problem in problems for place in places_of(problem)]


def places_of(problem: Diagnostic) -> Iterator[Told]:
    yield Told(problem.code, *(line_of(problem.span) if problem.span else (posix(problem.path), 0)))
    for span, _ in problem.related:
        yield Told(problem.code, *line_of(span))


def line_of(span: Span) -> tuple[str, int]:
    return posix(span.source.path), span.line


def posix(path: str | None) -> str:
    return Path(path).as_posix() if path else ""


def is_at_the_mistake(page: Explanation, place: Told) -> bool:
    """Whether a place is where the page says, or one that the mended text has otherwise."""
    if page.kind == "command":
        return place.path in (*page.example.split(), COMMAND_LINE, "")
    before = files_of(page, page.example)
    after = files_of(page, page.mended)
    if place.line == 0:
        return place.path in {part for name in before for part in (name, name.split("/")[0])}
    lines = before[place.path].split("\n")
    if page.marked:
        return lines[place.line - 1].strip() == page.marked
    matcher = SequenceMatcher(None, lines, after.get(place.path, "").split("\n"), autojunk=False)
    return any(
        first - (kind == "insert") < place.line <= last + (kind == "insert")
        for kind, first, last, _, _ in matcher.get_opcodes()
        if kind != "equal"
    )


def needs_a_command(page: Explanation) -> bool:
    return page.kind == "command" or bool(page.reported_by)


@pytest.mark.parametrize(
    "page",
    rows(
        (p for p in explanations().values() if p.kind),
        lambda p: p.kind == "command" or bool(p.reported_by),
    ),
    ids=lambda p: p.code,
)
def test_an_example_gives_its_code_at_the_mistake_and_its_mended_text_does_not(
    page: Explanation,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    found = [place for place in told(page, page.example, capsys) if place.code == page.code]
    assert found
    assert any(is_at_the_mistake(page, place) for place in found), found
    left = told(page, page.mended, capsys)
    assert [each for each in left if each.code in (page.code, *serious())] == []


def serious() -> set[str]:
    """All codes but that of a note on forms that several mended texts have to have."""
    return set(explanations()) - {"outside-standard"}


def test_explain_shows_a_page(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["explain", "equals-for-assignment"]) == 0
    assert "x := 5;" in capsys.readouterr().out
    assert cli.run(["check", "--explain", "EQUALS-for-assignment"]) == 0
    assert "x := 5;" in capsys.readouterr().out


def test_explain_shows_what_tells_and_what_is_marked(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["explain", "never-changes"]) == 0
    shown = capsys.readouterr().out
    assert "Gives it (as files, with 'twohand compare old.st new.st'):" in shown
    assert "It marks: VAR_OUTPUT q : BOOL; END_VAR" in shown


def test_explain_lists_all_codes(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["explain"]) == 0
    shown = capsys.readouterr().out.splitlines()
    assert [line.split()[0] for line in shown] == list(explanations())


def test_an_unknown_code_is_told_with_the_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["explain", "equal-for-assignment"]) == 2
    assert "did you mean 'equals-for-assignment'?" in capsys.readouterr().err
