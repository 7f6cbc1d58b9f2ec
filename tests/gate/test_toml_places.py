"""The places of a TOML document are those of its keys and values, as the standard library reads
them."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from twohand.gate.project.toml_places import KeyPath, toml_places
from twohand.text.source_text import SourceText

SIGNS = st.text(alphabet="ab.#=,[]{}'\" \t", max_size=6)
KEYS = st.one_of(
    st.sampled_from(["a", "b", "c-d", "7", "x_1"]),
    SIGNS.map(lambda text: '"' + text.replace('"', '\\"') + '"'),
    st.text(alphabet='ab.#=,[]{}" ', max_size=4).map(lambda text: f"'{text}'"),
)
SCALARS = st.one_of(
    st.sampled_from(["1", "-3.5e2", "true", "inf", "0x1F", "2027-01-31", "2027-01-31 07:32:00.5Z"]),
    SIGNS.map(lambda text: '"' + text.replace('"', '\\"') + '"'),
    st.text(alphabet="ab#=,[]{}\n'\"", max_size=8)
    .map(lambda text: text.replace('"""', "").replace('"', 'x"x'))
    .map(lambda text: f'"""{text}"""'),
    st.sampled_from(["'''it''s # a\nline'''", '""""quoted""""', "''", '""', "'''x'''''", r'"\\"']),
)
GAPS = st.sampled_from(["", " ", "\n", " # , ] }\n  "])


def arrays(inner: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    def written(parts: list[tuple[str, str, str]], tail: str) -> str:
        inside = ",".join(f"{before}{value}{behind}" for before, value, behind in parts)
        return f"[{inside}{',' if parts and tail else ''}{tail}]"

    return st.builds(written, st.lists(st.tuples(GAPS, inner, GAPS), max_size=3), GAPS)


def inline_tables(inner: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    pairs = st.lists(st.tuples(KEYS, inner), max_size=3, unique_by=lambda pair: pair[0])
    return pairs.map(lambda found: f"{{ {', '.join(f'{k} = {v}' for k, v in found)} }}")


VALUES = st.recursive(SCALARS, lambda inner: arrays(inner) | inline_tables(inner), max_leaves=6)
DOTTED = st.lists(KEYS, min_size=1, max_size=2).map(" . ".join)
LINES = st.one_of(
    st.builds("{} = {}{}".format, DOTTED, VALUES, st.sampled_from(["", " # x = 1", "  "])),
    DOTTED.map(lambda key: f"[ {key} ]"),
    DOTTED.map(lambda key: f"[[{key}]] # ]"),
    st.sampled_from(["", "  # a = [1"]),
)


def paths(value: Any, path: KeyPath = ()) -> Iterator[tuple[KeyPath, Any]]:
    """Everything in a document but the document itself."""
    if path:
        yield path, value
    inside = value.items() if isinstance(value, dict) else ()
    inside = enumerate(value) if isinstance(value, list) else inside
    for key, each in inside:
        yield from paths(each, (*path, key))


def plain(value: Any) -> str:
    """To compare by: one 'nan' is not another one."""
    return repr(value)


@settings(max_examples=30, deadline=None, database=None)
@given(st.lists(LINES, min_size=1, max_size=6))
def test_every_key_and_value_has_the_place_at_which_it_is_written(lines: list[str]) -> None:
    kept: list[str] = []
    for line in lines:  # those that make no second of what is there
        try:
            tomllib.loads("\n".join([*kept, line]))
        except tomllib.TOMLDecodeError:
            continue
        kept.append(line)
    text = "\n".join(kept)
    places = toml_places(SourceText("a.toml", text))
    found = dict(paths(tomllib.loads(text)))
    assert places.keys() == found.keys()
    for path, place in places.items():
        if place.key.text.startswith("["):
            continue  # a table by its heading, or an array in an array
        if isinstance(path[-1], str):
            assert [path[-1]] == list(tomllib.loads(f"{place.key.text} = 1"))
        if not isinstance(found[path], dict):
            assert plain(tomllib.loads(f"x = {place.value.text}")["x"]) == plain(found[path])


@pytest.mark.parametrize(
    ("path", "line", "column", "value"),
    [
        (("specs",), 1, 1, '["a", "b"]'),
        (("specs", 1), 1, 15, '"b"'),
        (("figures", 1), 5, 1, "[[figures]]"),
        (("figures", 1, "of"), 6, 1, "'x'"),
        (("tool", "two hand", "effort"), 8, 1, "60"),
    ],
)
def test_places_count_lines_and_columns_from_one(
    path: KeyPath, line: int, column: int, value: str
) -> None:
    text = """specs = ["a", "b"] # c
    x.y = 1
[[figures]]
of = 'z'
[[figures]]
of = 'x'
[tool . "two hand"]
effort = 60
"""
    place = toml_places(SourceText("a.toml", text))[path]
    assert (place.key.line, place.key.column, place.value.text) == (line, column, value)
