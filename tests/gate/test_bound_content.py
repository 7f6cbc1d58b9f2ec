"""A waiver is bound to what a block means and what is asked of it, and to nothing else."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest
from twohand.gate.bound_content import bound_content, content_hash
from twohand.specification.load import load_specifications

BLOCK = """FUNCTION_BLOCK Press
VAR_INPUT a, b : BOOL; n : INT; END_VAR
VAR_OUTPUT q : BOOL; END_VAR
VAR x : INT := 3; t : TON; w : BOOL; END_VAR
VAR CONSTANT most : INT := 7; END_VAR
t(IN := a, PT := T#100ms);
IF a AND NOT t.Q THEN x := 1; ELSE x := most; END_IF;
q := b AND x = 1 AND n > 2;
END_FUNCTION_BLOCK
"""
SPEC = """SPEC S
SOURCE 'b.st';
SCAN T#10ms;
OUTPUT q;
ASSUME n < 100;
PROPERTY p : q -> b;
PROPERTY other : q -> a;
END_SPEC
"""


def hash_of(folder: Path, block: str = BLOCK, spec: str = SPEC, name: str = "p") -> str:
    (folder / "b.st").write_text(block, encoding="utf-8")
    (folder / "s.spec").write_text(spec, encoding="utf-8")
    (found,) = load_specifications(folder / "s.spec")
    asked = next(each for each in found.requirements if each.identifier == name)
    return bound_content(found, asked, f"S/{name}")


SAME = [
    (BLOCK, "IF a", "(* why *)\n\n  IF   a"),
    (BLOCK, "FUNCTION_BLOCK Press", "// ours\nFUNCTION_BLOCK Press"),
    (BLOCK, "q := b AND x = 1 AND n > 2;", "q := ((b AND (x = 1)) AND (n > 2));"),
    (BLOCK, "END_FUNCTION_BLOCK\n", "END_FUNCTION_BLOCK\nFUNCTION F : INT F := 1; END_FUNCTION"),
    (SPEC, "SCAN T#10ms;", "(* as measured *) SCAN T#0.01s;"),
    (SPEC, "PROPERTY other : q -> a;", "PROPERTY other : q -> b OR a;"),
    (SPEC, "END_SPEC", "EXPECT VIOLATED other; END_SPEC"),
]
OTHER = [
    (BLOCK, "T#100ms", "T#110ms"),
    (BLOCK, "x : INT := 3", "x : INT := 4"),
    (BLOCK, "most : INT := 7", "most : INT := 8"),
    (BLOCK, "IF a AND NOT t.Q", "IF NOT a AND t.Q"),
    (BLOCK, "x := 1; ELSE x := most;", "x := most; ELSE x := 1;"),
    (BLOCK, "n > 2", "n >= 2"),
    (BLOCK, "n > 2", "2 > n"),
    (BLOCK, "t : TON", "t : TOF"),
    (BLOCK, "n : INT", "n : DINT"),
    (BLOCK, "q := b AND", "w := b; q := b AND"),
    (BLOCK, "VAR x", "VAR RETAIN x"),
    (BLOCK, "PT := T#100ms);", "PT := T#100ms); t(IN := a, PT := T#100ms);"),
    (SPEC, "T#10ms", "T#5ms..T#10ms"),
    (SPEC, "ASSUME n < 100;", ""),
    (SPEC, "n < 100", "n <= 100"),
    (SPEC, "PROPERTY p : q -> b;", "PROPERTY p : q -> a;"),
    (SPEC, "PROPERTY p : q -> b;", "REACHABLE p : q AND NOT b;"),
    (SPEC, "OUTPUT q;", "OUTPUT q; INTEGERS WRAP;"),
    (SPEC, "OUTPUT q;", "OUTPUT q; LOOPS 7;"),
    (SPEC, "OUTPUT q;", "OUTPUT q; POWER CYCLES;"),
    (SPEC, "OUTPUT q;", ""),
    (SPEC, "OUTPUT q;", "OUTPUT q; READING edge_call_counts TRUE;"),
]


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
