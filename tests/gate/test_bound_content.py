"""A waiver is bound to what a block means and what is asked of it, and to nothing else."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest
from twohand.gate.bound_content import bound_content, content_hash
from twohand.specification.load import load_specifications

from tests.gate.changed_blocks import BLOCK, OTHER, SAME, SPEC
from tests.search.waivers import fitting


def hash_of(folder: Path, block: str = BLOCK, spec: str = SPEC, name: str = "p") -> str:
    (folder / "b.st").write_text(block, encoding="utf-8")
    (folder / "s.spec").write_text(spec, encoding="utf-8")
    (found,) = load_specifications(folder / "s.spec")
    asked = next(each for each in found.requirements if each.identifier == name)
    return bound_content(found, asked, f"S/{name}")


@pytest.mark.parametrize(("text", "old", "new"), SAME)
def test_what_means_the_same_has_the_same_hash(
    text: str, old: str, new: str, tmp_path: Path
) -> None:
    assert changed(text, old, new, tmp_path) == hash_of(tmp_path)


@pytest.mark.parametrize(("text", "old", "new"), OTHER)
def test_what_means_something_else_has_another_hash(
    text: str, old: str, new: str, tmp_path: Path
) -> None:
    assert changed(text, old, new, tmp_path) != hash_of(tmp_path)


def changed(text: str, old: str, new: str, folder: Path) -> str:
    assert old in text
    after = text.replace(old, new)
    return hash_of(folder, after) if text is BLOCK else hash_of(folder, spec=after)


def test_random_blocks_are_told_apart_by_what_they_mean() -> None:
    """More of them: ``python -m tests.search``."""
    assert sum(fitting(seed) for seed in range(4)) > 2


def test_two_requirements_of_one_block_have_two_hashes(tmp_path: Path) -> None:
    assert hash_of(tmp_path) != hash_of(tmp_path, name="other")


@dataclass(frozen=True, eq=False)
class Part:
    value: object
    inner: object = None


ONE = Part(1)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ((1, 2), (2, 1)),
        ((1, (2,)), ((1, 2),)),
        (("a", "b"), ("ab",)),
        (("a;str 1 b",), ("a", "b")),
        ((True,), (1,)),
        (("1",), (1,)),
        ((None,), ()),
        ({"a": 1, "b": 2}, {"a": 2, "b": 1}),
        ((ONE, ONE), (ONE, Part(1))),
    ],
)
def test_different_data_has_different_hashes(one: object, other: object) -> None:
    assert content_hash(one) != content_hash(other)


def test_equal_data_has_one_hash() -> None:
    assert content_hash((Part(1), {"b": 2, "a": 1})) == content_hash((Part(1), {"a": 1, "b": 2}))


def test_what_has_no_content_is_refused() -> None:
    with pytest.raises(TypeError):
        content_hash(({1, 2},))
