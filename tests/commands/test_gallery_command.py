"""The gallery is in the order of the lessons, and each entry can be seen whole and taken along."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from twohand.commands import main as cli
from twohand.commands.shared.gallery_files import (
    gallery_folder,
    gallery_specs,
    said_of,
    specs_by_topic,
    topics,
)

from tests.support.places import GALLERY


def test_every_entry_has_one_topic() -> None:
    named = Counter(name for topic in topics() for name in topic.entries)
    assert named == Counter(path.stem for path in GALLERY.glob("*.spec"))


def test_the_gallery_is_in_the_order_of_the_topics_and_nothing_is_lost() -> None:
    ordered = specs_by_topic()
    assert [path.stem for path in ordered] == [n for each in topics() for n in each.entries]
    assert sorted(ordered) == gallery_specs()


def test_a_mended_block_comes_behind_the_faulty_one() -> None:
    names = [path.stem for path in specs_by_topic()]
    mended = [name for name in names if name.endswith("_mended")]
    assert mended
    for name in mended:
        assert names.index(name.removesuffix("_mended")) < names.index(name)


def test_an_entry_without_a_topic_comes_last(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "gallery").mkdir()
    for name in ("a", "b", "c"):
        (tmp_path / "gallery" / f"{name}.spec").touch()
    text = '[series]\ntitle = "Series"\nentries = ["c", "gone", "b"]\n'
    (tmp_path / "gallery" / "topics.toml").write_text(text, encoding="utf-8")
    monkeypatch.setattr("twohand.commands.shared.gallery_files.specs_folder", lambda: tmp_path)
    found = {path.stem: title for path, title in specs_by_topic().items()}
    assert list(found.items()) == [("c", "Series"), ("b", "Series"), ("a", "Further entries")]


def test_each_entry_says_what_it_is_what_is_wrong_and_what_it_teaches() -> None:
    for path in gallery_specs():
        sentences, rest = said_of(path.read_text(encoding="utf-8"))
        labels = [each.partition(":")[0] for each in sentences]
        assert labels == ["What it is", "What is wrong", "What it teaches"], path.stem
        assert rest.startswith("SPEC "), path.stem


def test_an_entry_is_shown_whole(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["gallery", "both_solenoids", "--ascii"]) == 0
    shown = capsys.readouterr().out
    text = (GALLERY / "both_solenoids.st").read_text(encoding="utf-8")
    for line in [*text.splitlines(), "What it teaches: opposed outputs", "Two contacts and faults"]:
        assert line.strip() in shown
    assert "EXPECT VIOLATED never_both;" in shown
    assert "never_both: VIOLATED" in shown
    assert "^ wrong" in shown
    assert "What this does not say" in shown


@pytest.mark.long
def test_an_exchange_file_is_shown_as_the_text_as_which_it_is_read(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert cli.run(["gallery", "tied_down_ladder", "--brief"]) == 2
    assert cli.run(["gallery", "tied-down-ladder"]) == 0
    shown = capsys.readouterr().out
    assert "FUNCTION_BLOCK" in shown
    assert "<?xml" not in shown


@pytest.mark.parametrize("name", ["tied_down_ladder", "relay_series", "early_return_mended"])
def test_an_entry_is_copied_with_all_its_files_and_replaces_none(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert cli.run(["gallery", name, "--to", "out"]) == 0
    copied = {path.name: path.read_bytes() for path in Path("out").iterdir()}
    assert copied == {each: (gallery_folder() / each).read_bytes() for each in copied}
    assert f"twohand check {Path('out', name)}.spec" in " ".join(capsys.readouterr().out.split())
    from twohand.specification.load import load_specifications

    assert load_specifications(Path("out", f"{name}.spec"))
    Path("out", f"{name}.spec").write_text("mine", encoding="utf-8")
    assert cli.run(["gallery", name, "--to", "out"]) == 2
    assert "this file is there already" in capsys.readouterr().err
    assert Path("out", f"{name}.spec").read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["early_retun"], "did you mean 'early_return'?"),
        (["zzz"], "'twohand gallery' lists them"),
        (["--to", "out"], "name it: twohand gallery NAME --to FOLDER"),
        (["early_return", "--to", ""], "its name is empty"),
        (["early_return", "--to", "no/such"], "there is no such folder"),
        (["early_return", "--to", "file"], "cannot be written"),
    ],
)
def test_what_is_not_there_is_told_and_nothing_is_written(
    arguments: list[str],
    told: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("file").touch()
    assert cli.run(["gallery", *arguments]) == 2
    assert told in " ".join(capsys.readouterr().err.split())
    assert [each.name for each in tmp_path.iterdir()] == ["file"]
