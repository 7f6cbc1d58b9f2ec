"""What a machine usually needs and no word of a spec asks for is named."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.report.coverage import FAULTS, subjects_not_asked
from twohand.specification.load import load_specification

BLOCK = """FUNCTION_BLOCK Lid
VAR_INPUT left, right, top, guard, button : BOOL; END_VAR
VAR_OUTPUT stroke, ready : BOOL; END_VAR
stroke := left AND right;
END_FUNCTION_BLOCK
"""
HEAD = """SPEC Lid
    SOURCE 'lid.st';
    SCAN T#10ms;
    HAND l = left;
    HAND r = right;
    OUTPUT stroke;
"""
TYPE, STARTED, END, STOP, RESET, SUPPLY, CONTACTS, FEEDBACK = (
    "any type of two-hand control",
    "that the output can be started",
    "the end of a stroke while the hands stay on",
    "a stop",
    "a reset",
    "that the coming of the supply starts nothing",
    "that contacts which disagree are noticed",
    "that feedback which disagrees is noticed",
)
BOUNCE = "contacts that bounce"
TYPE_I = "REQUIRE TWO_HAND LOGIC TYPE I;"


def missing(folder: Path, *statements: str) -> set[str]:
    (folder / "lid.st").write_text(BLOCK, encoding="utf-8")
    text = HEAD + "\n".join(statements) + "\nEND_SPEC\n"
    (folder / "lid.spec").write_text(text, encoding="utf-8")
    return {*subjects_not_asked(load_specification(folder / "lid.spec", "lid.spec"))}


def test_a_property_asks_for_none_of_them_whatever_its_name(tmp_path: Path) -> None:
    found = missing(tmp_path, "PROPERTY power : stroke -> left;", "PROPERTY halt : TRUE;")
    assert {TYPE, STARTED, END, STOP, RESET, SUPPLY, CONTACTS, FEEDBACK, BOUNCE, FAULTS} < found
    assert len(found) == 11  # and power cycles


@pytest.mark.parametrize(
    ("statement", "asked"),
    [
        (TYPE_I, {TYPE}),
        ("REQUIRE TWO_HAND LOGIC TYPE II;", {TYPE, SUPPLY}),
        (f"{TYPE_I} AVAILABLE WITHIN 1 SCANS;", {TYPE, STARTED}),
        ("REQUIRE press : single_stroke (complete := top);", {TYPE, END}),
        ("REQUIRE guarded : stop (condition := NOT guard);", {STOP}),
        (
            "REQUIRE manual_reset (reset := button, ready := ready, safeguards := guard);",
            {RESET},
        ),
        ("REQUIRE no_restart;", {SUPPLY}),
        (f"{TYPE_I} BOUNCE T#20ms;", {TYPE, BOUNCE}),
    ],
)
def test_a_word_asks_for_its_subjects_under_any_label(
    tmp_path: Path, statement: str, asked: set[str]
) -> None:
    assert missing(tmp_path, "PROPERTY p : TRUE;") - missing(tmp_path, statement) == asked


def test_the_supply_is_asked_for_by_power_cycles(tmp_path: Path) -> None:
    without = missing(tmp_path, TYPE_I)
    (power,) = without - missing(tmp_path, TYPE_I, "POWER CYCLES;")
    assert power.startswith("power cycles")
