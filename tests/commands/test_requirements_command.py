"""twohand requirements: the catalogue listed, one entry explained, a wrong name told."""

from __future__ import annotations

import subprocess
import sys

import pytest
from click.testing import CliRunner, Result
from twohand.commands.main import commands, run
from twohand.report.drawing.terminal import Terminal, text_width
from twohand.report.exit_code import ExitCode
from twohand.report.requirements import catalogue_lines, entry_lines
from twohand.specification.catalogue.pages import catalogue_pages
from twohand.specification.catalogue.words import BY_NAME

PAGES = catalogue_pages()


def shown(*arguments: str) -> Result:
    return CliRunner().invoke(commands, ["requirements", *arguments])


def test_the_list_has_every_entry_under_its_heading() -> None:
    text = shown().output
    for page in PAGES:
        below = text.partition(page.title)[2]
        assert all(f"\n  {entry.identifier}\n" in below for entry in page.entries)
    assert "ISO 13851:2019, 5.7" in text
    assert "not judged here: it depends on the shape" in " ".join(text.split())


def test_an_explanation_tells_what_it_asks_and_how_to_ask_it() -> None:
    text = shown("Release_Both").output
    for part in (
        "source        ISO 13851:2019, 5.7",
        "asked of      type II, type III",
        "formula       fell(stroke) -> NOT stroke UNTIL NOT left AND NOT right",
        "write         REQUIRE TWO_HAND LOGIC TYPE II;",
        "beam_press_tapped: the beam press, but an attempt lasts as long as its window.",
        "single_stroke_anti_repeat with single_stroke_resumption",
    ):
        assert part in text


def test_an_explanation_shows_what_its_options_change() -> None:
    text = shown("single_stroke_held").output
    assert "Where HAZARD says while the die closes:" in text
    assert "HAZARD dangerous; REQUIRE single_stroke (complete := complete);" in text
    assert "stroke AND dangerous -> left AND right" in text


def test_what_is_judged_otherwise_says_how() -> None:
    assert "judged by     'twohand faults'" in shown("arrangement_b").output
    assert "not judged here" in shown("defeat").output


def test_a_page_can_be_asked_for() -> None:
    text = shown("single_stroke").output
    assert text.startswith("Single-stroke two-hand control")
    assert "single_stroke_resumption" in text
    assert "release_both" not in text


@pytest.mark.parametrize("name", ["relese_both", "single_strok"])
def test_a_near_miss_is_named(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["requirements", name]) == ExitCode.UNUSABLE
    assert "did you mean '" in capsys.readouterr().err


def test_a_name_that_is_like_none_leads_to_the_list(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["requirements", "xyzzy"]) == ExitCode.UNUSABLE
    assert "'twohand requirements' lists them" in capsys.readouterr().err


@pytest.mark.parametrize("width", [40, 70, 100])
def test_what_is_shown_fits(width: int) -> None:
    terminal = Terminal(width)
    lines = catalogue_lines(PAGES, terminal)
    for page in PAGES:
        lines += [line for e in page.entries for line in entry_lines(e, page, {}, terminal)]
    long_words = {word for line in lines for word in line.split() if len(word) > width - 16}
    for line in lines:
        assert text_width(line) <= width or any(word in line for word in long_words), line


def test_the_catalogue_is_shown_without_the_solver() -> None:
    code = (
        "import sys; from twohand.commands.main import run; run(['requirements']); "
        "run(['requirements', 'both_hands']); sys.exit('z3' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=False)
    assert done.returncode == 0


def test_a_word_of_require_is_explained_by_all_that_it_asks(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert run(["requirements", "Manual_Reset"]) == 0
    shown = capsys.readouterr().out
    assert "manual_reset_release" in shown
    assert "manual_reset_starts_nothing" in shown
    for word in (*BY_NAME, "two_hand"):
        assert run(["requirements", word]) == 0
