"""An answer in parts: each file falls to one of them, and all together are the one of one run."""

from __future__ import annotations

import copy
import json
import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from twohand.commands.main import run
from twohand.gate.documents import IN_PARTS
from twohand.record.parts.conformance import conforms
from twohand.record.parts.part import PartChoice, part_schema
from twohand.report.exit_code import ExitCode

from tests.gate.small_project import KEY, SPEC

Capture = pytest.CaptureFixture[str]
WAIVER = """
[[waiver]]
spec = "{spec}"
requirement = "Key/{name}"
outcome = "VIOLATED"
reason = "r"
decided_by = "d"
until = 2099-01-31
content = "0"
"""


@given(st.lists(st.text("0123456789abcdef", max_size=3), max_size=20), st.integers(1, 9))
def test_each_file_falls_to_one_part_and_parts_are_of_one_size(hashes: list[str], of: int) -> None:
    parts = [PartChoice(number, of).chosen(hashes) for number in range(1, of + 1)]
    assert sorted(each for part in parts for each in part) == list(range(len(hashes)))
    assert max(map(len, parts)) - min(map(len, parts)) <= 1
    assert all(part == sorted(part) for part in parts)


def test_a_file_that_changes_moves_few_others() -> None:
    chance = random.Random(1)
    hashes = [f"{chance.getrandbits(256):064x}" for _ in range(100)]
    moved = 0
    for place in range(100):
        changed = [*hashes[:place], f"{chance.getrandbits(256):064x}", *hashes[place + 1 :]]
        before = {each: n for n in range(1, 5) for each in PartChoice(n, 4).chosen(hashes)}
        after = {each: n for n in range(1, 5) for each in PartChoice(n, 4).chosen(changed)}
        moved = max(moved, sum(before[e] != after[e] for e in before if e != place))
    assert moved <= 3


@pytest.fixture
def parts(inside: Path) -> Path:
    """Two specs in a project, one with a warning of its own block."""
    (inside / "key.st").write_text(KEY, encoding="utf-8")
    (inside / "other.st").write_text(KEY.replace("Key", "Other"), encoding="utf-8")
    (inside / "a.spec").write_text(SPEC, encoding="utf-8")
    second = SPEC.replace("'key.st'", "'other.st'").replace("10ms", "20ms").replace("Key", "Other")
    (inside / "b.spec").write_text(second.replace("lamp -> key", "TRUE"), encoding="utf-8")
    (inside / "bad.spec").write_text("SPEC X SOURCE", encoding="utf-8")
    (inside / "twohand.toml").write_text('specs = ["."]\nexclude = ["bad.spec"]\n', "utf-8")
    names = ("lit_by_key", "gone.spec"), ("lit_with_key", "a.spec")
    waivers = "".join(WAIVER.format(name=name, spec=spec) for name, spec in names)
    (inside / "waivers.toml").write_text(waivers, encoding="utf-8")
    return inside


def answered(of: int, *command: str) -> tuple[list[int], list[str]]:
    """The exit codes of the parts and the files with their documents."""
    files = [f"{number}.json" for number in range(1, of + 1)]
    codes = [
        run([*command, "--processes", "1", "--part", f"{n}/{of}", "--json", file])
        for n, file in enumerate(files, 1)
    ]
    return codes, files


def without_made(file: str) -> str:
    content = json.loads(Path(file).read_text(encoding="utf-8"))
    content.pop("made")
    return json.dumps(content)


@pytest.mark.parametrize(
    ("of", "command"),
    [
        (2, ("check", "b.spec", "bad.spec", "gone.spec")),
        pytest.param(3, ("check", "."), marks=pytest.mark.long),
        pytest.param(4, ("review",), marks=pytest.mark.long),
        pytest.param(2, ("faults", "."), marks=pytest.mark.long),
    ],
)
def test_merged_parts_are_the_document_and_the_exit_code_of_one_run(
    parts: Path, of: int, command: tuple[str, ...], capsys: Capture
) -> None:
    whole = run([*command, "--processes", "1", "--json", "whole.json"])
    capsys.readouterr()
    codes, files = answered(of, *command)
    assert f"part 1 of {of}: " in capsys.readouterr().out
    code = run(["merge", *reversed(files), "--json", "merged.json"])
    assert code == whole
    assert whole in codes
    assert without_made("merged.json") == without_made("whole.json")
    assert f"exit code {whole}" in capsys.readouterr().out
    Draft202012Validator(part_schema(IN_PARTS[_kind(files[0])])).validate(_read(files[0]))


def _kind(file: str) -> str:
    kind: str = _read(file)["format"]
    return kind.removeprefix("twohand-").removesuffix("-part")


def _read(file: str) -> Any:
    return json.loads(Path(file).read_text(encoding="utf-8"))


@pytest.fixture
def unread(parts: Path) -> list[str]:
    """Documents of two parts in which nothing can be used: they take no solver."""
    (parts / "other.spec").write_text("SPEC", encoding="utf-8")
    return answered(2, "check", "bad.spec", "other.spec")[1]


def test_a_part_of_no_file_passes_and_says_so(unread: list[str], capsys: Capture) -> None:
    capsys.readouterr()
    codes, files = answered(3, "check", "bad.spec", "other.spec")
    assert sorted(codes) == [ExitCode.ALL_PROVED, ExitCode.UNUSABLE, ExitCode.UNUSABLE]
    assert "0 spec files of 2; of the others nothing is said here" in capsys.readouterr().out
    assert run(["merge", *files]) == ExitCode.UNUSABLE


def changed(file: str, *place: str | int, to: object) -> None:
    """Writes another value at a place of a document."""
    content = _read(file)
    found = content
    for each in place[:-1]:
        found = found[each]
    found[place[-1]] = to
    Path(file).write_text(json.dumps(content), encoding="utf-8")


MADE = ("document", "made")
CHANGES: list[tuple[tuple[str | int, ...], object, str]] = [
    (("version",), 1, "other-part"),
    ((*MADE, "program"), "twohand 9", "other-part"),
    ((*MADE, "solvers", "z3"), "9", "other-part"),
    (("document", "options", "effort"), 9.0, "other-part"),
    (("part", "files", 0, "sha256"), "f" * 64, "no-part other-part"),
    (("part", "number"), 2, "no-part"),
    (("part", "number"), 3, "no-part"),
    (("part", "of"), 3, "no-part other-part"),
    (("part", "answered"), [], "no-part"),
    (("document", "problems"), [], "no-part"),
    (("document", "exit_code"), 7, "no-part"),
    (("document", "specs"), [{}], "no-part"),
    (("document", "unknown"), 1, "no-part"),
    (("format",), "twohand-check", "no-part"),
    (("format",), "other", "no-part"),
]


@pytest.mark.parametrize(("place", "value", "code"), CHANGES)
def test_what_does_not_belong_together_is_refused(
    unread: list[str], place: tuple[str | int, ...], value: object, code: str, capsys: Capture
) -> None:
    changed(unread[0], *place, to=value)
    assert run(["merge", *unread, "--json", "whole.json"]) == ExitCode.UNUSABLE
    said = capsys.readouterr().err
    assert any(f"[{each}]" in said for each in code.split())
    assert not Path("whole.json").exists()


def test_a_missing_part_one_that_is_there_twice_and_no_document_are_refused(
    unread: list[str], capsys: Capture
) -> None:
    capsys.readouterr()
    for files, said in (
        (unread[:1], "of 2 parts there is no 2 [parts-incomplete]"),
        ([unread[0], *unread], "part 1 is in 1.json already [parts-incomplete]"),
        ([*unread, "bad.spec"], "this is no JSON document [no-part]"),
        ([*unread, "gone.json"], "[missing-file]"),
    ):
        assert run(["merge", *files]) == ExitCode.UNUSABLE
        assert said in capsys.readouterr().err


def test_a_spec_that_does_not_pass_decides_whatever_the_part_says_of_itself(
    parts: Path, capsys: Capture
) -> None:
    codes, files = answered(1, "check", "a.spec")
    assert codes == [ExitCode.VIOLATED]
    changed(files[0], "document", "exit_code", to=0)
    assert run(["merge", *files]) == ExitCode.VIOLATED
    assert "Key  a.spec: exit code 1" in capsys.readouterr().out


def test_a_page_is_of_a_whole_answer_and_a_part_one_of_so_many(
    parts: Path, capsys: Capture
) -> None:
    assert run(["check", "a.spec", "--part", "1/2", "--page", "a.html"]) == ExitCode.UNUSABLE
    for wrong in ("0/2", "3/2", "1", "1/0", "a/b"):
        assert run(["check", "a.spec", "--part", wrong]) == ExitCode.UNUSABLE
    assert "is none of so many, as 2/8 is" in capsys.readouterr().err


def test_conformance_says_what_a_library_that_others_wrote_says(unread: list[str]) -> None:
    document = _read(unread[0])
    schema = part_schema(IN_PARTS["check"])
    theirs = Draft202012Validator(schema)
    assert conforms(document, schema, schema["$defs"])
    wrong = 0
    for other in _variations(document, random.Random(5)):
        expected = theirs.is_valid(other)
        wrong += not expected
        assert conforms(other, schema, schema["$defs"]) == expected
    assert wrong > 20


@pytest.mark.parametrize("kind", ["integer", "number"])
def test_true_is_no_number(kind: str) -> None:
    assert not conforms(True, {"type": kind}, {})
    assert conforms(1, {"type": kind}, {})


def _variations(document: Any, chance: random.Random) -> Iterator[Any]:
    """The document with a value changed, left out or put in at some place."""
    for _ in range(60):
        other = copy.deepcopy(document)
        found, places = other, []
        while isinstance(found, dict | list) and found and (not places or chance.random() < 0.8):
            key = chance.choice(list(found) if isinstance(found, dict) else range(len(found)))
            places.append((found, key))
            found = found[key]
        inside, key = places[-1]
        match chance.randrange(3):
            case 0:
                del inside[key]
            case 1:
                inside[key] = chance.choice([None, True, 1, 1.5, "x", [], {}, [1, 2, 3]])
            case _ if isinstance(inside, dict):
                inside["unheard"] = 1
        yield other
