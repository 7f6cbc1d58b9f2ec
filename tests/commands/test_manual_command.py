"""twohand manual: topics listed, a page shown, a wrong topic reported."""

from __future__ import annotations

import re
import subprocess
import sys

import pytest
from click.testing import CliRunner, Result
from twohand.commands.main import commands, run
from twohand.report.drawing.markdown import markdown_lines
from twohand.report.drawing.terminal import Terminal, text_width
from twohand.text.manual import manual_pages

PAGES = manual_pages()


def shown(*arguments: str) -> Result:
    return CliRunner().invoke(commands, ["manual", *arguments])


def test_the_list_has_every_topic_with_what_it_is_about() -> None:
    lines = shown().output.splitlines()
    assert [tuple(line.split(maxsplit=1)) for line in lines] == [
        (page.topic, page.summary) for page in PAGES.values()
    ]


@pytest.mark.parametrize("topic", ["spec_language", "Spec-Language", "spec language"])
def test_a_topic_is_found_however_it_is_written(topic: str) -> None:
    assert shown(topic).output.splitlines()[0] == "The spec file"


@pytest.mark.parametrize(
    ("topic", "hint"),
    [("fault", "did you mean 'faults'?"), ("zzz", "'twohand manual' lists them")],
)
def test_a_wrong_topic_names_the_nearest(
    topic: str, hint: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["manual", topic]) == 2
    assert f"there is no topic '{topic}'; {hint}" in capsys.readouterr().err


@pytest.mark.parametrize("topic", PAGES)
@pytest.mark.parametrize("width", [60, 100])
def test_a_page_has_all_its_words_and_keeps_the_width(topic: str, width: int) -> None:
    text = PAGES[topic].text
    lines = markdown_lines(text, Terminal(width=width))
    found = " ".join(lines)
    for mark in ("**", "](", "```", "|--"):
        assert mark not in found
    fenced = [f"    {line}" for line in text.split("\n")]
    assert [line for line in lines if text_width(line) > width and line not in fenced] == []
    shown = letters(found)
    assert [part for part in parts_of(text) if letters(part) not in shown] == []


def letters(text: str) -> str:
    return "".join(character for character in text if character.isalpha())


def parts_of(page: str) -> list[str]:
    """The lines of a page, of its tables the cells; not fences and headings of tables."""
    linked = re.sub(r"\[([^\]]+)\]\((\w+)\.md\)", r"\1 ('twohand manual \2')", page)
    text = re.sub(r"^\|.*\n\|-.*\n|^```.*\n", "", linked, flags=re.MULTILINE)
    return [
        part
        for line in text.split("\n")
        for part in (line.split("|") if line.startswith("|") else [line])
    ]


def test_a_plain_console_gets_plain_characters() -> None:
    page = "# Title\n\n```console\n$ twohand\n  ┌──╱╱─ ▲ × …\n```\n"
    assert markdown_lines(page, Terminal(lines=False)) == [
        "Title", "", "    $ twohand", "       --//- ^ x ~",
    ]  # fmt: skip


def test_lists_quotes_and_tables_are_lines() -> None:
    page = "- one **two**\n  three\n- four\n\n> take\n> care\n\n"
    page += "| a | b |\n|---|---|\n| `x \\| y` | z |"
    assert markdown_lines(page, Terminal()) == [
        "- one two three", "- four", "", "  take care", "", "  x | y", "      z",
    ]  # fmt: skip


def test_a_link_to_a_page_says_how_to_show_it() -> None:
    assert markdown_lines("see [words](words.md)", Terminal()) == [
        "see words ('twohand manual words')"
    ]


def test_a_page_loads_neither_solver_nor_parser() -> None:
    code = (
        "import sys; from twohand.commands.main import run; code = run(['manual', 'words']);"
        "loaded = {'z3', 'cvc5', 'lark'} & set(sys.modules);"
        "print(sorted(loaded), file=sys.stderr); raise SystemExit(code)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, encoding="utf-8", check=False
    )
    assert (done.returncode, done.stderr.strip()) == (0, "[]")
