"""Program lines on a page: what is marked is there, with what is near it."""

from __future__ import annotations

from hashlib import sha256
from pathlib import Path

import pytest
from twohand.formats.page.excerpt import MOST_LINES, Texts
from twohand.record.message import FilePlace

PATH = "lid.st"


def texts_of(lines: int) -> Texts:
    text = "".join(f"line {number}\n" for number in range(1, lines + 1))
    Path(PATH).write_bytes(text.encode())
    return Texts({PATH: sha256(text.encode()).hexdigest()})


def shown(texts: Texts, causes: list[int], executed: list[int]) -> dict[int, tuple[str, ...]]:
    (excerpt,) = texts.excerpts(
        [(FilePlace(PATH, line, 1), "cause") for line in causes],
        [(FilePlace(PATH, line, 1), "executed") for line in executed],
    )
    assert all(line.text == f"line {line.number}" for line in excerpt.lines)
    return {line.number: line.marks for line in excerpt.lines}


@pytest.fixture(autouse=True)
def _folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def test_what_was_executed_is_marked_beside_the_cause() -> None:
    found = shown(texts_of(40), [10], [10, 12, 30])
    assert set(found) == {*range(8, 15), *range(28, 33)}
    marked = {number: said for number, said in found.items() if said}
    assert marked == {10: ("cause",), 12: ("executed",), 30: ("executed",)}


def test_a_cause_is_shown_however_much_was_executed() -> None:
    found = shown(texts_of(900), [800], [*range(1, 700, 2), 801])
    assert set(found) == set(range(798, 803))
    assert found[800] == ("cause",)
    assert found[801] == ("executed",)
    assert len(found) <= MOST_LINES


def test_a_statement_that_writes_several_values_is_marked_once() -> None:
    assert shown(texts_of(9), [5], [6, 6, 6])[6] == ("executed",)
