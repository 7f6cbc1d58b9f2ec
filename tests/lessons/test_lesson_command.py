"""The lessons as a new user meets them: from an empty folder, with nothing but the command."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from twohand.commands import main as cli
from twohand.lessons.course import lessons

from tests.lessons.answering import MENDED


@pytest.fixture(autouse=True)
def _empty_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def test_a_new_user_begins_looks_is_helped_mends_and_is_done(
    capsys: pytest.CaptureFixture[str],
) -> None:
    def run(*arguments: str) -> tuple[int, str]:
        code = cli.run(["lesson", *arguments])
        return code, " ".join(capsys.readouterr().out.split())

    code, shown = run()
    assert code == 0
    assert "go on with: twohand lesson begin series --to series" in shown
    assert run("begin", "series")[0] == 0
    assert sorted(each.name for each in Path("series").iterdir()) == [
        "coin_press.spec", "coin_press.st", "lesson.toml", "question.md",
    ]  # fmt: skip
    code, shown = run("look", "series")
    assert code == 1
    assert "stroke follows" not in shown
    assert "'stroke' follows the two contacts and nothing else" in shown
    assert "[tied-hand]" in shown
    assert "wrong" in shown
    assert "not proved as well: power_up" in shown
    assert "begun in series" in run()[1]
    for number in (1, 2, 3):
        assert (
            f"hint {number} of 3: {lessons()['series'].hints[number - 1]}"
            in run("hint", "series")[1]
        )
    assert "all hints" in run("hint", "series")[1]
    Path("series/coin_press.st").write_text(MENDED["series"].text, encoding="utf-8")
    code, shown = run("look", "series")
    assert code == 0
    assert "Done: everything that is asked is proved" in shown
    assert "(ISO 13851:2019, 5.7)" in shown
    assert "next: Release: twohand lesson begin release --to FOLDER" in shown
    assert "Logic alone" in shown
    shown = run()[1]
    assert "proved in series" in shown
    assert "1 of 12 proved" in shown
    assert "go on with: twohand lesson begin release --to release" in shown
    with Path("series/coin_press.st").open("a", encoding="utf-8") as block:
        block.write("(* changed since *)\n")
    assert "begun in series" in run()[1]
    assert run("again", "series", "--yes")[0] == 0
    begun = lessons()["series"].texts["coin_press.st"]
    assert Path("series/coin_press.st").read_text(encoding="utf-8") == begun
    assert "0 of 12 proved" in run()[1]
    assert "hint 1 of 3" in run("hint", "series")[1]


def test_nothing_of_the_users_is_replaced(capsys: pytest.CaptureFixture[str]) -> None:
    Path("mine").mkdir()
    Path("mine/coin_press.st").write_text("mine", encoding="utf-8")
    assert cli.run(["lesson", "begin", "1", "--to", "mine"]) == 2
    assert "this file is there already" in capsys.readouterr().err
    assert [each.name for each in Path("mine").iterdir()] == ["coin_press.st"]
    assert Path("mine/coin_press.st").read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize(("typed", "restored"), [("y\n", True), ("n\n", False), ("", False)])
def test_the_first_state_comes_back_only_where_that_is_wanted(
    typed: str,
    restored: bool,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert cli.run(["lesson", "begin", "stop", "--to", "here"]) == 0
    block = Path("here/label_press.st")
    block.write_text("mine", encoding="utf-8")
    Path("here/question.md").write_text("my notes", encoding="utf-8")
    monkeypatch.setattr("sys.stdin", io.StringIO(typed))
    assert cli.run(["lesson", "again", "here"]) == 0
    assert (block.read_text(encoding="utf-8") != "mine") is restored
    assert Path("here/question.md").read_text(encoding="utf-8") == "my notes"
    assert ("nothing was changed" in capsys.readouterr().out) is not restored


@pytest.mark.long
def test_a_lesson_whose_spec_was_changed_is_not_done_though_all_is_proved(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert cli.run(["lesson", "begin", "series"]) == 0
    spec = Path("series/coin_press.spec")
    text = spec.read_text(encoding="utf-8").replace("TYPE II;", "TYPE I;")
    spec.write_text(text, encoding="utf-8")
    assert cli.run(["lesson", "look", "series"]) == 1
    shown = " ".join(capsys.readouterr().out.split())
    assert "VIOLATED" not in shown
    assert "the lesson asks, and this spec does not: REQUIRE TWO_HAND LOGIC TYPE II;" in shown
    assert "only this spec says: REQUIRE TWO_HAND LOGIC TYPE I;" in shown
    assert "[spec-changed]" in shown
    assert "Done" not in shown
    assert "begun in series" in (cli.run(["lesson"]), capsys.readouterr().out)[1]


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["lok"], "there is no 'twohand lesson lok'; did you mean 'look'?"),
        (["zzz"], "known is begin, look, hint, again"),
        (["release"], "to begin this lesson, type: twohand lesson begin release"),
        (["begin"], "name the lesson"),
        (["begin", "relaese"], "there is no lesson 'relaese'; did you mean 'release'?"),
        (["begin", "13"], "'twohand lesson' lists them"),
        (["begin", "release", "--to", ""], "its name is empty"),
        (["begin", "release", "--to", "no/such"], "there is no such folder"),
        (["look", "--to", "x"], "--to belongs to 'begin'"),
        (["look", "--yes"], "--yes belongs to 'again'"),
        (["look"], "no lesson was begun in this folder [no-lesson]"),
        (["hint", "nowhere"], "no lesson was begun in this folder [no-lesson]"),
        (["again", "nowhere", "--yes"], "no lesson was begun in this folder [no-lesson]"),
        (["look", "typo"], "typo/lesson.toml:1:10: error: there is no lesson 'serie'"),
        (["look", "strange"], "strange/lesson.toml:2:1: error: unknown key 'hint'"),
        (["hint", "broken"], "broken/lesson.toml:1:10: error: this is no TOML"),
        (["look", "bare"], "there is no such file [missing-file]"),
    ],
)
def test_what_is_typed_or_kept_wrong_is_told(
    arguments: list[str], told: str, capsys: pytest.CaptureFixture[str]
) -> None:
    for name, text in (
        ("typo", 'lesson = "serie"\n'),
        ("strange", 'lesson = "series"\nhint = 1\n'),
        ("broken", "lesson = series\n"),
        ("bare", 'lesson = "series"\n'),
    ):
        Path(name).mkdir()
        Path(name, "lesson.toml").write_text(text, encoding="utf-8")
    before = sorted(Path().rglob("*"))
    assert cli.run(["lesson", *arguments]) == 2
    assert told in " ".join(capsys.readouterr().err.replace("\\", "/").split())
    assert sorted(Path().rglob("*")) == before


def test_the_list_tells_of_a_file_that_it_cannot_read(capsys: pytest.CaptureFixture[str]) -> None:
    Path("typo").mkdir()
    Path("typo/lesson.toml").write_text('lesson = "serie"\n', encoding="utf-8")
    assert cli.run(["lesson", "begin", "proof", "--to", "last"]) == 0
    assert cli.run(["lesson"]) == 2
    told = capsys.readouterr()
    assert "begun in last" in told.out
    assert "there is no lesson 'serie'" in told.err


def test_a_block_that_cannot_be_read_is_told_by_its_line(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert cli.run(["lesson", "begin", "series"]) == 0
    block = Path("series/coin_press.st")
    block.write_text(block.read_text(encoding="utf-8").replace(":=", "="), encoding="utf-8")
    assert cli.run(["lesson", "look", "series"]) == 2
    assert "coin_press.st:14:11: error" in capsys.readouterr().err.replace("\\", "/")


def test_a_folder_that_nobody_may_look_into_has_no_lesson(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    is_file = Path.is_file

    def refused(path: Path) -> bool:
        if path.parent.name == "locked":
            raise PermissionError(13, "Permission denied")
        return is_file(path)

    Path("locked").mkdir()
    monkeypatch.setattr(Path, "is_file", refused)
    assert cli.run(["lesson"]) == 0
    assert cli.run(["lesson", "look", "locked"]) == 2
    assert "[no-lesson]" in capsys.readouterr().err
