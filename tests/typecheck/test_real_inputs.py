"""Inputs of REAL and LREAL that are compared with constants: every value of the format behaves like
one of their classes, and every class like some value."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from twohand.program import Program
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.meaning.real_values import (
    ALL,
    LOWER,
    SIGNS,
    UPPER,
    block,
    seen_of_classes,
    seen_of_values,
)

SHARP = [
    ["0.0"],
    ["-2.5", "12"],
    ["REAL#0.1", "REAL#0.3", "-REAL#0.1"],
    ["1.0E2", "5", "1_000.5"],
    ["1.0", "1.00000011920928955078125"],
    ["-1.0", "-1.00000011920928955078125"],
    ["LREAL#0.1"],
    ["LREAL#16777217.0", "REAL#0.1"],
    ["-1.0", "-0.999999940395355224609375"],
    ["2.0", "1.99999988079071044921875", "-7"],
]
"""Constants of which each platform makes a value of REAL, or none does."""
BLURRED = [["0.1"], ["-0.1", "0.3", "0.1"], ["16777217.5", "2.5"], ["0.1", "0.100001", "1.0E-3"]]


@pytest.mark.parametrize(
    ("kind", "texts", "signs"),
    [
        *(("REAL", texts, ALL) for texts in SHARP),
        *(("LREAL", texts, ALL) for texts in SHARP + BLURRED),
        *(("REAL", texts, signs) for texts in BLURRED for signs in (UPPER, LOWER)),
    ],
    ids=str,
)
def test_classes_are_what_the_values_of_the_format_give_on_every_platform(
    kind: str, texts: list[str], signs: Sequence[str]
) -> None:
    classes = seen_of_classes(block(kind, texts, signs))
    plain = [text.replace("-REAL#", "REAL#-").replace("_", "") for text in texts]
    for counted in seen_of_values(kind, plain, signs):
        assert set(classes.values()) == counted
    assert signs != ALL or len(set(classes.values())) == len(classes)


def test_not_a_number_is_unequal_and_nothing_else() -> None:
    classes = seen_of_classes(block("REAL", ["12.5"]))
    assert list(classes) == ["below 12.5", "12.5", "above 12.5", "not a number"]
    assert classes["not a number"] == tuple(sign == "<>" for sign in SIGNS for _ in range(2))
    truths = [sign in ("<=", "=", ">=") for sign in SIGNS for _ in range(2)]
    assert classes["12.5"] == tuple(truths)


def test_a_class_without_any_value_is_not_there() -> None:
    def texts_of(kind: str, texts: list[str]) -> list[str]:
        return list(seen_of_classes(block(kind, texts)))

    near = "1.00000011920928955078125"
    assert texts_of("REAL", ["1.0", near])[2] == near
    assert texts_of("LREAL", ["1.0", near])[2] == f"between 1.0 and {near}"
    assert "0.1" in texts_of("LREAL", ["LREAL#0.1"])
    assert "0.1" not in texts_of("REAL", ["LREAL#0.1"])


@pytest.mark.parametrize(
    ("declared", "text", "class_of"),
    [
        ("VAR CONSTANT top : REAL := 80.5; END_VAR", "x > top", "above 80.5"),
        ("VAR CONSTANT top : REAL := -80; END_VAR", "x > top", "above -80"),
        ("VAR CONSTANT low : REAL := 2.0; top : REAL := low; END_VAR", "x > top", "above 2.0"),
        ("VAR CONSTANT n : INT := 7; END_VAR", "x > n", "above 7"),
        ("VAR_EXTERNAL CONSTANT wide : REAL; END_VAR", "x > wide", "above 9.5"),
        ("", "x > -REAL#3.0", "above -3.0"),
        ("", "GT(x, 3.0)", "above 3.0"),
        ("", "NE(3.0, x)", "not a number"),
        ("", "NOT (x <= 3.0)", "not a number"),
        ("", "SEL(x > 3.0, FALSE, TRUE)", "above 3.0"),
    ],
)
def test_constants_are_known_by_name_and_in_functions(
    declared: str, text: str, class_of: str
) -> None:
    whole = (
        "VAR_GLOBAL CONSTANT wide : REAL := 9.5; END_VAR\n"
        f"FUNCTION_BLOCK B VAR_INPUT x : REAL; END_VAR {declared} VAR_OUTPUT q : BOOL; END_VAR\n"
        f"q := {text};\nEND_FUNCTION_BLOCK"
    )
    classes = seen_of_classes(load_program([SourceText("b.st", whole)]))
    assert classes[class_of] == (True,)
    assert any(value == (False,) for value in classes.values())


def program_of(body: str, declared: str = "") -> Program:
    text = (
        "FUNCTION_BLOCK B VAR_INPUT x, y : REAL; z : LREAL; list : ARRAY [1..2] OF REAL; n : INT; "
        f"END_VAR VAR_OUTPUT q : BOOL; END_VAR VAR r : REAL; END_VAR {declared}\n{body}\n"
        "END_FUNCTION_BLOCK"
    )
    return load_program([SourceText("b.st", text)])


@pytest.mark.parametrize(
    ("body", "code"),
    [
        ("q := 1.0 > 2.0;", "unsupported-real"),
        ("q := x > 'a';", "unsupported-real"),
        ("q := x > 1.0E39;", "value-out-of-range"),
        ("q := z > LREAL#1.0E39; q := z > 1.0E39;", "value-out-of-range"),
        ("q := x > 1.0E-39;", "value-out-of-range"),
        ("q := x > 1.0E9999;", "value-out-of-range"),
        ("q := x > 0.1 AND x < 0.100000001;", "real-constants-alike"),
        ("q := x > 0.1 AND x < REAL#0.1;", "real-constants-alike"),
        ("q := x > 0.1 AND x < 0.10000001;", "real-constants-alike"),
        ("q := x > 0.1 AND x < 0.1;", "real-constant-rounded"),
        ("q := x >= 0.1 AND 0.1 >= x;", "real-constant-rounded"),
        ("q := x = 0.1;", "real-constant-rounded"),
        ("q := NE(16777217, x);", "real-constant-rounded"),
        ("q := x > 16777217 AND x <= 16777217.0;", "real-constants-alike"),
        ("q := x > top AND x < 0.1;", "real-constants-alike"),
        ("x := 1.0; q := x > 2.0;", "not-assignable"),
    ],
)
def test_what_is_no_comparison_of_an_input_with_a_constant_is_refused(body: str, code: str) -> None:
    with pytest.raises(InputError) as caught:
        program_of(body, "VAR CONSTANT top : REAL := 0.1; END_VAR")
    assert [problem.code for problem in caught.value.diagnostics] == [code]


@pytest.mark.parametrize(
    "body",
    [
        "q := z = 0.1;",
        "q := z > 0.1 AND z < 0.1;",
        "q := x = REAL#0.1;",
        "q := x > top AND x < top;",
        "q := x > REAL#0.1 AND x < REAL#0.1;",
        "q := x = 16777216.0;",
        "q := x > 0.1 AND x <= 0.3;",
        "q := x < 0.1 OR x >= 0.1;",
    ],
)
def test_what_each_platform_makes_a_value_is_read(body: str) -> None:
    codes = []
    try:
        program_of(body, "VAR CONSTANT top : REAL := 0.1; END_VAR")
    except InputError as error:
        codes = [problem.code for problem in error.diagnostics]
    assert codes == []


def test_only_inputs_that_are_compared_are_there() -> None:
    tested = program_of("q := x > 1.0; r := x * y + z;")
    assert [variable.name for variable in tested.inputs] == ["n", "x"]
    assert [note.what for note in tested.left_out] == [
        "REAL variable 'y'",
        "LREAL variable 'z'",
        "REAL variable 'list[]'",
        "REAL variable 'r'",
    ]
    assert [variable.name for variable in tested.variables] == ["x", "n", "q"]


def test_an_input_at_an_address_is_one_too() -> None:
    text = (
        "PROGRAM P VAR x AT %ID4 : REAL; END_VAR VAR_OUTPUT q : BOOL; END_VAR\n"
        "q := x >= 6.5;\nEND_PROGRAM"
    )
    assert seen_of_classes(load_program([SourceText("p.st", text)])) == {
        "below 6.5": (False,), "6.5": (True,), "above 6.5": (True,), "not a number": (False,),
    }  # fmt: skip
