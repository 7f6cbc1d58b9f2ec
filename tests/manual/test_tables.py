"""What README and manual list is what there is: commands, options, statements, words and limits."""

from __future__ import annotations

import re
from dataclasses import fields
from pathlib import Path

import click
import pytest
from twohand.analyses.faults.words import WORDS
from twohand.analyses.inspect.points import InspectionKind
from twohand.commands.main import COMMANDS, commands
from twohand.files.reading import LARGEST_FILE, LONGEST_LINE, MOST_FILES
from twohand.files.suffixes import BY_CONTENT, MARKUP, STRUCTURED_TEXT
from twohand.program.standard_blocks import BLOCKS_BY_NAME, FUNCTION_NAMES
from twohand.report.exit_code import ExitCode
from twohand.scan.clocking import Readings
from twohand.scenarios.syntax.parse import STATEMENTS as STATEMENTS_OF_SCENARIOS
from twohand.scenarios.syntax.parse import parse_scenarios
from twohand.specification.catalogue.pages import catalogue_pages
from twohand.specification.syntax.parse import parse_specification
from twohand.syntax.lexing.tokens import MOST_TOKENS
from twohand.syntax.parsing.nesting import DEEPEST
from twohand.syntax.recovery.recovery import MOST_ERRORS
from twohand.text.explanation import explanations
from twohand.text.source_text import SourceText

from tests.support.places import PACKAGE, ROOT
from tests.support.shown_commands import PAGES

MANUAL = PACKAGE / "manual"
README = ROOT / "README.md"
MOST_BYTES = 9216


def rows(page: Path, heading: str) -> list[str]:
    """The rows of every table of a page whose first column has this heading."""
    found: list[str] = []
    inside = False
    for line in page.read_text(encoding="utf-8").split("\n"):
        if not line.startswith("|"):
            inside = False
        elif inside:
            found.append(line)
        else:
            inside = line.startswith(f"| {heading} |")
    return [line for line in found if not line.startswith("|-")]


def first_cells(page: Path, heading: str) -> list[str]:
    """The code in the first cells of such tables; a cell may have several pieces."""
    return [code for row in rows(page, heading) for code in re.findall("`([^`]+)`", cells(row)[0])]


def cells(row: str) -> list[str]:
    return [cell.strip() for cell in re.split(r"(?<!\\)\|", row)[1:-1]]


def options(name: str) -> set[str]:
    command = commands.get_command(click.Context(commands), name)
    assert command is not None
    found = [each for each in command.params if isinstance(each, click.Option)]
    return {option for each in found for option in (*each.opts, *each.secondary_opts)}


def test_the_readme_has_its_size_and_its_two_commands() -> None:
    text = README.read_text(encoding="utf-8")
    assert len(text.encode()) <= MOST_BYTES
    assert len(re.findall("^    python3 -m venv .*$", text, re.MULTILINE)) == 2


@pytest.mark.parametrize("page", [*PAGES, ROOT / "DEVELOPERS.md"], ids=lambda page: page.name)
def test_links_lead_to_files_that_are_there(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    for target in re.findall(r"\]\(([^)#]+)\)", text):
        assert (page.parent / target).is_file(), target


def test_the_readme_lists_every_command_and_every_page() -> None:
    named = [each.split()[1] for each in first_cells(README, "command")]
    assert named == list(COMMANDS)
    linked = re.findall(r"\]\(checker/twohand/manual/(\w+)\.md\)", README.read_text("utf-8"))
    assert set(linked) == {page.stem for page in MANUAL.glob("*.md")}


@pytest.mark.parametrize("statement", first_cells(MANUAL / "spec_language.md", "statement"))
def test_a_statement_of_the_manual_is_one_of_the_spec_language(statement: str) -> None:
    parse_specification(SourceText("shown.spec", f"SPEC Shown\n{statement}\nEND_SPEC"))


def test_the_manual_has_every_statement_of_the_spec_language() -> None:
    grammar = (ROOT / "grammar" / "specification.lark").read_text(encoding="utf-8")
    listed = re.search(r"^_statement: (.*?)\n\n", grammar, re.MULTILINE | re.DOTALL)
    assert listed
    rules = re.findall(r"\w+", listed[1])
    begin = {re.search(rf"^{rule}: _(\w+)", grammar, re.MULTILINE)[1] for rule in rules}  # type: ignore[index]
    shown = {each.split()[0] for each in first_cells(MANUAL / "spec_language.md", "statement")}
    assert shown == begin


@pytest.mark.parametrize("statement", first_cells(MANUAL / "scenarios.md", "statement"))
def test_a_statement_of_the_manual_is_one_of_scenarios(statement: str) -> None:
    parse_scenarios(SourceText("a.scenario", f"SCENARIO shown\n{statement}\nEND_SCENARIO"))


def test_the_manual_has_every_statement_of_scenarios() -> None:
    shown = {each.split()[0] for each in first_cells(MANUAL / "scenarios.md", "statement")}
    assert shown == STATEMENTS_OF_SCENARIOS


@pytest.mark.parametrize("formula", first_cells(MANUAL / "spec_language.md", "form"))
def test_a_form_of_the_manual_is_one_of_the_formulas(formula: str) -> None:
    text = f"SPEC Shown\nPROPERTY shown : {formula};\nEND_SPEC"
    parse_specification(SourceText("shown.spec", text))


def test_every_reading_is_listed() -> None:
    shown = first_cells(MANUAL / "what_a_scan_means.md", "reading")
    assert [*shown, "integers_wrap"] == [each.name for each in fields(Readings)]


def test_the_requirements_of_the_types_are_those_of_the_catalogue() -> None:
    shown = set(first_cells(MANUAL / "requirements.md", "requirement"))
    pages = {page.name: page for page in catalogue_pages()}
    two_hand = {entry.identifier for entry in pages["two_hand_control"].entries}
    assert two_hand <= shown
    assert shown <= {entry.identifier for page in pages.values() for entry in page.entries}


def test_the_codes_that_are_listed_have_their_pages() -> None:
    shown = first_cells(MANUAL / "requirements.md", "code")
    assert shown
    assert set(shown) <= set(explanations())


def test_the_words_of_a_fault_table_are_listed() -> None:
    shown = first_cells(MANUAL / "faults.md", "word")
    assert sorted(shown) == sorted(word for word, _ in WORDS.values())


def test_what_an_inspection_looks_for_is_listed() -> None:
    assert first_cells(MANUAL / "inspect.md", "word") == [kind.value for kind in InspectionKind]


def test_every_exit_code_is_listed() -> None:
    shown = [int(cells(row)[0]) for row in rows(MANUAL / "command_line.md", "code")]
    assert sorted(shown) == sorted(ExitCode)


def test_the_options_of_the_commands_that_check_are_listed() -> None:
    shown = [each.split()[0] for each in first_cells(MANUAL / "command_line.md", "option")]
    assert set(shown) == options("read")


@pytest.mark.parametrize("page", sorted(MANUAL.glob("*.md")), ids=lambda page: page.name)
def test_an_option_that_a_page_names_is_one_of_a_command(page: Path) -> None:
    known = {"--help", "--version"}.union(*(options(name) for name in COMMANDS))
    assert set(re.findall(r"`(--[a-z-]+)", page.read_text(encoding="utf-8"))) <= known


def test_the_limits_are_those_of_the_code() -> None:
    text = " ".join((MANUAL / "command_line.md").read_text(encoding="utf-8").split())
    for limit in (
        f"{LARGEST_FILE // 1_000_000} MB, and {MOST_TOKENS:,} words and signs",
        f"a line | {LONGEST_LINE:,} characters",
        f"nesting | {DEEPEST} levels",
        f"a folder of SOURCE | {MOST_FILES:,} files",
        f"syntax errors reported of a file | {MOST_ERRORS} |",
    ):
        assert limit in text


def test_every_standard_block_and_function_is_listed() -> None:
    text = (MANUAL / "language_read.md").read_text(encoding="utf-8")
    words = set(re.findall(r"\w+", text))
    assert {*BLOCKS_BY_NAME, *FUNCTION_NAMES} <= words


def test_the_ends_of_source_files_are_listed() -> None:
    assert first_cells(MANUAL / "language_read.md", "kind") == [
        *STRUCTURED_TEXT,
        *BY_CONTENT,
        MARKUP,
    ]
