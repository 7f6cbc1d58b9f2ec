"""``twohand review --staged`` and ``--since``: what is about to be committed, beside what was."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from twohand.commands import main as cli
from twohand.formats.items import ItemOutcome
from twohand.gate.former_self import FormerItems, SinceState, block_comparison, state_of
from twohand.specification.load import load_specifications
from twohand.text.diagnostic import InputError

from tests.gate.changed_blocks import BLOCK, OTHER, SAME, SPEC
from tests.gate.repositories import SETTINGS, TriedRepository, begun
from tests.support.schemas import schema

Capture = pytest.CaptureFixture[str]
KEY = """FUNCTION_BLOCK Key
VAR_INPUT key, off : BOOL; END_VAR
VAR_OUTPUT lamp : BOOL; END_VAR
lamp := key AND NOT off;
END_FUNCTION_BLOCK
"""
HELD = KEY.replace("key AND", "(lamp OR key) AND")
KEY_SPEC = """SPEC Key
SOURCE 'key.st';
SCAN T#10ms;
PROPERTY lit_with_key : lamp -> key;
END_SPEC
"""


@pytest.fixture
def repository(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[TriedRepository]:
    """A project of one key, which is proved, in a folder of the repository."""
    for name, value in SETTINGS.items():
        monkeypatch.setenv(name, value)
    found = begun(tmp_path / "top")
    found.write("logic/key.st", KEY)
    found.write("logic/key.spec", KEY_SPEC)
    found.write("logic/twohand.toml", 'specs = ["."]\n[outputs]\njunit = "own.xml"')
    found.commit()
    monkeypatch.chdir(found.top / "logic")
    yield found
    assert Path().resolve() == (found.top / "logic").resolve()


def reviewed(*arguments: str) -> dict[str, object]:
    """The document of a review, which is as its schema says; the exit code is in it."""
    code = cli.run(["review", *arguments, "--json", "found.json", "--processes", "1"])
    found: dict[str, object] = json.loads(Path("found.json").read_text(encoding="utf-8"))
    schema("review").validate(found)
    assert found["exit_code"] == code
    return found


@pytest.mark.long
def test_what_is_not_staged_never_alters_what_is_said_of_the_index(
    repository: TriedRepository,
) -> None:
    before = reviewed("--staged")
    assert before["exit_code"] == 0
    repository.write("logic/key.st", HELD)
    repository.write("logic/twohand.toml", "specs = [")
    repository.write("logic/waivers.toml", "[[")
    repository.write("logic/new.spec", "nothing")
    repository.write("twohand.toml", "[[")
    after = reviewed("--staged")
    assert before | {"made": None} == after | {"made": None}
    assert (repository.top / "logic" / "own.xml").is_file()
    repository.git("add", "logic/key.st")
    assert reviewed("--staged")["exit_code"] == 1
    repository.write("logic/key.st", KEY)
    assert reviewed("--staged", str(repository.top / "logic" / "key.spec"))["exit_code"] == 1


@pytest.mark.long
def test_what_was_proved_and_is_no_longer_is_told(
    repository: TriedRepository, capsys: Capture
) -> None:
    repository.write("logic/key.st", HELD)
    found = reviewed("--since", "HEAD")
    (spec,) = found["specs"]  # type: ignore[misc]
    (item,) = spec["items"]
    assert (spec["since"], item["outcome"], item["before"]) == ("changed", "fails", "holds")
    assert [each["outcome"] for each in spec["compared"]["outputs"]] == ["VIOLATED"]
    shown = capsys.readouterr().out
    assert "this held at HEAD" in shown
    assert "changed since HEAD" in shown
    assert "(SCAN of Key)" in shown
    assert "DIFFERS      lamp" in shown


@pytest.mark.long
def test_what_did_not_change_says_so(repository: TriedRepository, capsys: Capture) -> None:
    repository.write("logic/key.st", f"(* as ever *)\n{KEY}")
    found = reviewed("--since", "HEAD", "--brief")
    (spec,) = found["specs"]  # type: ignore[misc]
    assert (spec["since"], spec["compared"], found["exit_code"]) == ("unchanged", None, 0)
    assert "unchanged since HEAD, and asked anew" in capsys.readouterr().out


@pytest.mark.long
def test_what_is_new_says_so_and_what_changed_comes_first(
    repository: TriedRepository, capsys: Capture
) -> None:
    repository.write("logic/zoo.spec", KEY_SPEC.replace("SPEC Key", "SPEC Zoo"))
    found = reviewed("--since", "HEAD", "--brief")
    states = [(each["checked"]["spec"]["name"], each["since"]) for each in found["specs"]]  # type: ignore[attr-defined]
    assert states == [("Zoo", "new"), ("Key", "unchanged")]
    assert "new since HEAD" in capsys.readouterr().out


@pytest.mark.long
def test_the_former_state_is_that_where_histories_went_apart(repository: TriedRepository) -> None:
    base = repository.git("rev-parse", "HEAD")
    repository.git("switch", "--quiet", "--create", "side")
    repository.write("logic/key.st", HELD)
    repository.commit()
    repository.git("switch", "--quiet", "main")
    repository.commit()
    found = reviewed("--since", "side", "--brief")
    assert found["options"]["since"] == base  # type: ignore[index]
    assert found["specs"][0]["since"] == "unchanged"  # type: ignore[index]


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (["--since", "nowhere"], "unknown-revision"),
        (["--staged", "gone.spec"], "missing-file"),
        (["--staged", "/"], "no-repository"),
    ],
)
def test_what_cannot_be_asked_is_told(
    arguments: list[str], code: str, repository: TriedRepository, capsys: Capture
) -> None:
    assert cli.run(["review", *arguments]) == 2
    assert f"[{code}]" in capsys.readouterr().err


def test_reading_is_confined_by_the_project_file_alone(
    repository: TriedRepository, capsys: Capture
) -> None:
    assert cli.run(["review", "--staged", "--confined", "."]) == 2
    assert "leave --confined out" in capsys.readouterr().err


def test_a_folder_of_which_nothing_is_staged_is_told(
    repository: TriedRepository, monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    (repository.top / "other").mkdir()
    with monkeypatch.context() as there:
        there.chdir(repository.top / "other")
        assert cli.run(["review", "--staged"]) == 2
    assert "nothing of this folder is in the index" in capsys.readouterr().err


# --- former selves ------------------------------------------------------------------------------


@pytest.mark.parametrize(("text", "old", "new"), [*SAME, *OTHER])
def test_a_spec_is_unchanged_only_where_it_means_the_same(
    text: str, old: str, new: str, tmp_path: Path
) -> None:
    """What is said of one requirement alone is a change of the spec, too."""
    block, spec = (each.replace(old, new) if each is text else each for each in (BLOCK, SPEC))
    (tmp_path / "b.st").write_text(BLOCK, encoding="utf-8")
    (tmp_path / "s.spec").write_text(SPEC, encoding="utf-8")
    (former,) = load_specifications(tmp_path / "s.spec")
    (tmp_path / "b.st").write_text(block, encoding="utf-8")
    (tmp_path / "s.spec").write_text(spec, encoding="utf-8")
    (now,) = load_specifications(tmp_path / "s.spec")
    of_another = text is SPEC and ("other" in old or "EXPECT" in new)
    same = (text, old, new) in SAME and not of_another
    assert state_of(now, former) is (SinceState.UNCHANGED if same else SinceState.CHANGED)
    assert state_of(now, None) is SinceState.NEW
    assert (block_comparison(now, former) is None) is (block == BLOCK)


def test_blocks_that_have_nothing_in_common_are_told(tmp_path: Path) -> None:
    found = []
    for number, text in enumerate([KEY, KEY.replace("lamp", "horn")]):
        folder = tmp_path / str(number)
        folder.mkdir()
        (folder / "key.st").write_text(text, encoding="utf-8")
        spec = KEY_SPEC.replace("lamp", "horn") if number else KEY_SPEC
        (folder / "key.spec").write_text(spec, encoding="utf-8")
        found += load_specifications(folder / "key.spec")
    with pytest.raises(InputError):
        block_comparison(found[1], found[0])


def test_an_unchanged_item_was_what_it_is() -> None:
    same = FormerItems("HEAD", SinceState.UNCHANGED)
    changed = FormerItems("HEAD", SinceState.CHANGED, {"a": ItemOutcome.OPEN})
    assert same.before("a", ItemOutcome.FAILS) is ItemOutcome.FAILS
    assert changed.before("a", ItemOutcome.FAILS) is ItemOutcome.OPEN
    assert changed.before("b", ItemOutcome.FAILS) is None
