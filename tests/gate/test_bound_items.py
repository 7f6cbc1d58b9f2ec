"""Each item is bound to what its question depends on."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.evidence.verdict import Report
from twohand.formats.items import Item, ItemOutcome
from twohand.gate.answers import bound_items
from twohand.record.message import FilePlace
from twohand.specification.load import load_specifications

BLOCK = """FUNCTION_BLOCK Press
VAR_INPUT l, r, top : BOOL; END_VAR
VAR_OUTPUT q : BOOL; END_VAR
q := l AND r AND NOT top;
END_FUNCTION_BLOCK
"""
SPEC = """SPEC Press
SOURCE 'b.st';
SCAN T#10ms;
HAND left = l;
HAND right = r;
OUTPUT q;
SUPPLY contacts = l, r;
PROPERTY both : q -> l AND r;
PROPERTY low : q -> NOT top;
END_SPEC
"""
PLACE = FilePlace("s.spec")
NAMES = (
    "Press/both", "Press/low", "Press/overflow/x", "Press/never-on/q", "Press/hands-undecided/",
    "faults:Press/supply-lost/both", "inspect:Press/Press/unused/x", "measure:Press/lag//at-most-1",
)  # fmt: skip
REQUIREMENTS = {"Press/both", "Press/low"}
CHECKED = {*REQUIREMENTS, "Press/overflow/x"}


def contents(folder: Path, block: str = BLOCK, spec: str = SPEC) -> dict[str, str]:
    (folder / "b.st").write_text(block, encoding="utf-8")
    (folder / "s.spec").write_text(spec, encoding="utf-8")
    (found,) = load_specifications(folder / "s.spec")
    items = [Item("r", name, ItemOutcome.FAILS, "VIOLATED: x", PLACE, PLACE) for name in NAMES]
    bound = bound_items(items, Report(found, ()), ["Press/overflow/x"])
    return {each.item.identifier: each.content for each in bound}


@pytest.mark.parametrize(
    ("old", "new", "changed"),
    [
        ("AND NOT top;", "AND top;", set(NAMES)),
        ("SCAN T#10ms;", "SCAN T#9ms;", set(NAMES)),
        ("SPEC Press", "(* reviewed *) SPEC Press", set()),
        ("END_SPEC", "ASSUME NOT (l AND top); END_SPEC", set(NAMES)),
        ("q -> NOT top", "q -> NOT top OR r", set(NAMES) - CHECKED | {"Press/low"}),
        ("contacts = l, r;", "contacts = l;", set(NAMES) - CHECKED),
        ("HAND right = r;", "HAND right = NOT top;", set(NAMES) - CHECKED),
    ],
)
def test_a_change_ends_the_waivers_of_what_depends_on_it_and_no_others(
    old: str, new: str, changed: set[str], tmp_path: Path
) -> None:
    before = contents(tmp_path)
    block, spec = (text.replace(old, new) for text in (BLOCK, SPEC))
    assert (block, spec) != (BLOCK, SPEC)
    after = contents(tmp_path, block, spec)
    assert {name for name in NAMES if before[name] != after[name]} == changed
    assert len(set(before.values())) == len(NAMES)
