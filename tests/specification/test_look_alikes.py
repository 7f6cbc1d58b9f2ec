"""Names of a spec that look like others of it, or of its program, are warned of."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.specification.load import load_specification, load_specifications
from twohand.text.diagnostic import Diagnostic

BLOCK = """FUNCTION_BLOCK Press
VAR_INPUT palm1, palm2, guard : BOOL; END_VAR
VAR_OUTPUT valve : BOOL; END_VAR
VAR rest1, restl : BOOL; END_VAR
valve := palm1 AND palm2 AND guard;
END_FUNCTION_BLOCK
"""
ROD = """FUNCTION_BLOCK Rod
VAR_INPUT on1 : BOOL; END_VAR
VAR_OUTPUT home : BOOL; END_VAR
home := NOT on1;
END_FUNCTION_BLOCK
"""


def alike(folder: Path, *statements: str, **names: str) -> list[Diagnostic]:
    """The warnings of names that look alike, where ``names`` take those of the usual spec."""
    left, right = names.get("left", "left"), names.get("right", "right")
    (folder / "press.st").write_text(BLOCK, encoding="utf-8")
    (folder / "rod.st").write_text(ROD, encoding="utf-8")
    lines = [
        "SPEC Hoop",
        f"SOURCE '{names.get('source', 'press.st')}';",
        "BLOCK Press;",
        "SCAN T#10ms;",
        f"HAND {left} = palm1;",
        f"HAND {right} = palm2;",
        "OUTPUT valve;",
        "REQUIRE TWO_HAND LOGIC TYPE I;",
        *statements,
        "END_SPEC",
    ]
    path = folder / "hoop.spec"
    path.write_text("\n".join(lines), encoding="utf-8")
    spec = load_specification(path)
    own = (str(path), "hoop.spec")
    found = [each for each in spec.warnings if each.code == "look-alike-names"]
    return [each for each in found if each.span is not None and each.span.source.path in own]


def test_other_names_are_not_warned_of(tmp_path: Path) -> None:
    asked = "PROPERTY needs_guard : valve -> guard AND restl = rest1;"
    assert alike(tmp_path, asked, "EXPECT PROVED needs_guard;") == []


@pytest.mark.parametrize(
    ("statement", "first", "second"),
    [
        ("PROPERTY va1ve : valve -> guard;", "valve", "va1ve"),
        ("PROPERTY both_hands1 : valve -> guard; PROPERTY both_handsl : valve -> guard;",
         "both_hands1", "both_handsl"),
        ("PROPERTY Ieft : valve -> left;", "left", "Ieft"),
        ("STATION Ieft = left, right;", "left", "Ieft"),
        ("STATION pa1m1 = left, right;", "palm1", "pa1m1"),
        ("SUPPLY pane1 = palm1; REACHABLE panel : valve;", "pane1", "panel"),
        ("REACHABLE goes1 : valve; PROPERTY goesl : valve -> guard;",
         "goes1", "goesl"),
        ("PLANT va1ve : Rod IN 'rod.st' (on1 := valve);", "valve", "va1ve"),
        ("PLANT r0d : Rod IN 'rod.st' (on1 := valve); REACHABLE rOd : valve;",
         "r0d", "rOd"),
    ],
)  # fmt: skip
def test_a_name_is_held_against_the_spec_and_its_program(
    statement: str, first: str, second: str, tmp_path: Path
) -> None:
    (told,) = alike(tmp_path, *statement.replace("; ", ";\n").split("\n"))
    assert told.message == f"'{first}' and '{second}' look alike, and are two names"
    assert told.span is not None
    assert (told.span.text, told.related[0][0].text) == (second, first)


def test_a_hand_that_looks_like_an_input_is_shown_with_it(tmp_path: Path) -> None:
    (told,) = alike(tmp_path, left="palml")
    assert told.message == "'palm1' and 'palml' look alike, and are two names"
    ((there, _),) = told.related
    assert (there.source.path.endswith("press.st"), there.line) == (True, 2)


def test_a_property_that_looks_like_a_requirement_of_the_catalogue_is_warned_of(
    tmp_path: Path,
) -> None:
    (told,) = alike(tmp_path, "AVAILABLE WITHIN 3 SCANS;", "PROPERTY avaiIable : valve -> guard;")
    assert told.message == "'avaiIable' and 'available' look alike, and are two names"


def test_what_belongs_to_another_scope_is_not_warned_of(tmp_path: Path) -> None:
    plant = "PLANT rod : Rod IN 'rod.st' (on1 := valve);"
    assert alike(tmp_path, plant, "PROPERTY onl : valve -> guard;") == []


def test_files_that_a_spec_names_are_held_against_each_other(tmp_path: Path) -> None:
    (tmp_path / "r0d.st").write_text(ROD, encoding="utf-8")
    (tmp_path / "rOd.st").write_text(ROD, encoding="utf-8")
    one = "PLANT one : Rod IN 'r0d.st' (on1 := valve);"
    other = "PLANT other : Rod IN 'rOd.st' (on1 := valve);"
    (told,) = alike(tmp_path, one, other)
    assert told.message == "'r0d.st' and 'rOd.st' look alike, and are two names"


def test_blocks_types_and_standard_blocks_are_held_against_each_other(tmp_path: Path) -> None:
    text = """TYPE Gate1 : (off, on); END_TYPE
    FUNCTION_BLOCK Gatel VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR q := a;
    END_FUNCTION_BLOCK
    FUNCTION_BLOCK T0N VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR q := a;
    END_FUNCTION_BLOCK
    FUNCTION_BLOCK Press
    VAR_INPUT left, right : BOOL; END_VAR
    VAR_OUTPUT valve : BOOL; END_VAR
    VAR seen : Gatel; wait : T0N; state : Gate1; END_VAR
    seen(a := left); wait(a := right);
    IF seen.q AND wait.q THEN state := Gate1#on; ELSE state := Gate1#off; END_IF;
    valve := state = Gate1#on;
    END_FUNCTION_BLOCK
    """
    (tmp_path / "press.st").write_text(text, encoding="utf-8")
    asked = "PROPERTY both : valve -> left AND right;"
    head = "SPEC Hoop SOURCE 'press.st'; BLOCK Press; SCAN T#10ms; OUTPUT valve;"
    (tmp_path / "hoop.spec").write_text(f"{head} {asked} END_SPEC", encoding="utf-8")
    spec = load_specification(tmp_path / "hoop.spec")
    told = {each.message for each in spec.warnings if each.code == "look-alike-names"}
    assert told == {
        "'TON' and 'T0N' look alike, and are two names",
        "'Gatel' and 'Gate1' look alike, and are two names",
    }


def test_specs_of_one_file_and_the_files_that_they_name_are_held_against_each_other(
    tmp_path: Path,
) -> None:
    for name in ("r0d.st", "rOd.st"):
        (tmp_path / name).write_text(ROD, encoding="utf-8")
    one, other, third = (
        f"SPEC {name} SOURCE '{file}'; SCAN T#10ms; PROPERTY rests : home -> NOT on1; END_SPEC"
        for name, file in (("R0d", "r0d.st"), ("Other", "rOd.st"), ("ROd", "rOd.st"))
    )
    (tmp_path / "rods.spec").write_text(f"{one}\n{other}\n{third}", encoding="utf-8")
    told = [
        [each.message for each in spec.warnings if each.code == "look-alike-names"]
        for spec in load_specifications(tmp_path / "rods.spec")
    ]
    assert told == [
        [],
        ["'r0d.st' and 'rOd.st' look alike, and are two names"],
        ["'R0d' and 'ROd' look alike, and are two names"],
    ]
