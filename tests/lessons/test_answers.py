"""The block as it is begun fails, the mended one passes, and each wrong answer gets a sentence that
fits."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from twohand.commands import main as cli
from twohand.engine.workers.pool import Pool
from twohand.evidence.limits import Options, open_pool
from twohand.lessons.course import lessons
from twohand.report.exit_code import ExitCode

from tests.lessons.answering import ALSO_RIGHT, AT_FIRST, MENDED, WRONG, Edit, answered


@pytest.fixture(scope="module")
def pool() -> Iterator[Pool]:
    with open_pool(Options()) as opened:
        yield opened


@pytest.mark.long
@pytest.mark.parametrize("name", lessons())
def test_the_first_block_is_not_done_and_the_mended_one_is(
    name: str, tmp_path: Path, pool: Pool
) -> None:
    first = answered(Edit(name, "as it is begun", AT_FIRST[name], ()), tmp_path, pool)
    assert (first.done, first.code, first.exit_code) == (False, AT_FIRST[name], ExitCode.VIOLATED)
    mended = answered(MENDED[name], tmp_path, pool)
    assert (mended.done, mended.code, mended.exit_code) == (True, "done", ExitCode.ALL_PROVED)


@pytest.mark.long
@pytest.mark.parametrize(
    "edit",
    WRONG,
    ids=lambda edit: f"{edit.lesson}-{edit.name}",
)
def test_a_wrong_answer_gets_a_sentence_that_fits(edit: Edit, tmp_path: Path, pool: Pool) -> None:
    found = answered(edit, tmp_path, pool)
    assert (found.done, found.code, found.exit_code) == (False, edit.code, ExitCode.VIOLATED)
    assert found.verdict is not None
    assert "{" not in found.says


@pytest.mark.long
@pytest.mark.parametrize("edit", ALSO_RIGHT, ids=lambda edit: f"{edit.lesson}-{edit.name}")
def test_a_right_answer_counts_though_it_is_not_that_of_the_hints(
    edit: Edit, tmp_path: Path, pool: Pool
) -> None:
    found = answered(edit, tmp_path, pool)
    assert (found.done, found.code, found.exit_code) == (True, "done", ExitCode.ALL_PROVED)


ONE_SCAN = {
    "window": (
        "IF armed AND NOT window.Q THEN\n        stroke := TRUE;\n    END_IF;",
        "stroke := armed AND NOT window.Q;",
    ),
    "scans": (
        "IF armed AND NOT window.Q THEN\n        stroke := TRUE;\n    END_IF;",
        "stroke := armed AND NOT window.Q;",
    ),
    "power_up": ("(armed OR stroke)", "armed"),
    "stop": ("running := running OR armed;", "running := armed;"),
    "bouncing": ("(armed OR close)", "armed"),
    "stations": ("(armed OR bar)", "armed"),
    "distance": ("(stroke OR armed)", "armed"),
    "proof": (
        "stroke := ready AND leftPalm AND rightPalm;",
        "stroke := NOT stroke AND ready AND leftPalm AND rightPalm;",
    ),
}
"""Of lessons whose help does not speak of an output that is on for one scan: what makes it so."""


@pytest.mark.long
@pytest.mark.parametrize("name", ONE_SCAN)
def test_an_output_that_is_on_for_one_scan_is_not_done(
    name: str, tmp_path: Path, pool: Pool
) -> None:
    before, after = ONE_SCAN[name]
    mended = MENDED[name]
    text = mended.text
    assert text.count(before) == 1
    lesson = lessons()[name]
    whole = ((lesson.texts[lesson.block], text.replace(before, after)),)
    found = answered(Edit(name, "one scan", "goes-off-by-itself", whole), tmp_path, pool)
    assert (found.done, found.code) == (False, "goes-off-by-itself")


@pytest.mark.long
@pytest.mark.parametrize(
    ("lesson", "code", "changes"),
    [
        ("series", "stays-off", (("stroke := leftPalm AND rightPalm;", "stroke := FALSE;"),)),
        (
            "window",
            "missed-window-forgotten",
            (
                ("window : TON;", "window, other : TON;"),
                ("window(IN", "other(IN := leftPalm, PT := T#480ms);\nwindow(IN"),
                ("NOT window.Q", "NOT window.Q AND NOT other.Q"),
            ),
        ),
        ("series", "on-without-both", (("stroke := leftPalm AND", "stroke := leftPalm OR"),)),
        (
            "power_up",
            "no-start",
            (("VAR RETAIN", "VAR"), ("armed := TRUE;", "armed := NOT armed;")),
        ),
    ],
)
def test_what_no_lesson_foresees_gets_a_sentence_by_what_is_violated(
    lesson: str,
    code: str,
    changes: tuple[tuple[str, str], ...],
    tmp_path: Path,
    pool: Pool,
) -> None:
    found = answered(Edit(lesson, "unforeseen", code, changes), tmp_path, pool)
    assert (found.done, found.code, found.exit_code) == (False, code, ExitCode.VIOLATED)


@pytest.mark.long
def test_the_distances_that_a_lesson_names_are_measured(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lesson = lessons()["distance"]
    said = " ".join([*(each.says for each in lesson.help), *(each.says for each in lesson.trade)])
    for text, distance in ((lesson.texts[lesson.block], 617), (MENDED["distance"].text, 490)):
        for name, content in {**lesson.texts, lesson.block: text}.items():
            (tmp_path / name).write_text(content, encoding="utf-8")
        cli.run(["measure", str(tmp_path / lesson.spec)])
        assert f" {distance} mm" in said
        assert f"rounded up {distance} mm" in " ".join(capsys.readouterr().out.split())
