"""Readings of the scan's clock are copied and subtracted; all else is refused at its place."""

from __future__ import annotations

import pytest
from twohand.program import Program
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

UNITS = """
FUNCTION Now : TIME
Now := TIME();
END_FUNCTION
FUNCTION Since : TIME
VAR_INPUT moment : TIME; END_VAR
Since := TIME() - moment;
END_FUNCTION
"""
DECLARED = """
VAR_INPUT k : BOOL; given : TIME; END_VAR
VAR_OUTPUT on : BOOL; shown : TIME; END_VAR
VAR s, r, d : TIME; long : LTIME; t : TON; a : ARRAY[0..2] OF TIME; i : INT; n : DINT; END_VAR
VAR_GLOBAL g : TIME; END_VAR
"""


def block(body: str) -> Program:
    declared = DECLARED.replace("VAR_GLOBAL g : TIME; END_VAR", "VAR_EXTERNAL g : TIME; END_VAR")
    text = (
        f"VAR_GLOBAL g : TIME; END_VAR{UNITS}FUNCTION_BLOCK B {declared} {body} END_FUNCTION_BLOCK"
    )
    return load_program([SourceText("b.st", text)], "B")


@pytest.mark.parametrize(
    ("body", "stamps"),
    [
        ("s := TIME(); on := TIME() - s >= T#1s;", {"s"}),
        ("s := time(); d := TIME() - s;", {"s"}),
        ("d := TIME() - r;", {"r"}),
        ("s := TIME(); r := s; shown := r - s;", {"s", "r"}),
        ("a[1] := TIME(); d := TIME() - a[1];", {"a[1]"}),
        ("s := TIME(); d := MAX(TIME() - s, T#1s) * 2;", {"s"}),
        ("s := TIME(); d := SUB(TIME(), s);", {"s"}),
        ("s := TIME(); n := TIME_TO_DINT(TIME() - s);", {"s"}),
        ("s := TIME(); t(IN := k, PT := TIME() - s);", {"s"}),
        ("s := TIME(); on := Since(s) > T#1s;", {"s", "Since.moment"}),
        ("d := TIME() - TIME();", set()),
    ],
)
def test_what_keeps_readings_of_the_clock_is_found(body: str, stamps: set[str]) -> None:
    tested = block(body)
    assert {v.name for v in tested.stamps} == stamps
    assert tested.clock is not None
    assert tested.clock not in tested.sampled


@pytest.mark.parametrize(
    "body",
    [
        "s := TIME(); on := «s» = T#0s;",
        "s := TIME(); on := «TIME()» >= «s»;",
        "s := «TIME()» + T#1s;",
        "s := TIME(); d := «s» + T#1s;",
        "d := -«TIME()»;",
        "s := TIME(); s := «T#0s»; d := TIME() - s;",
        "s := d; d := TIME(); d := «d» + T#1s;",
        "d := TIME() - «given»;",
        "d := «T#5s» - TIME();",
        "d := TIME() - «t.ET»;",
        "t(IN := k, PT := «TIME()»);",
        "t.PT := «TIME()»;",
        "a[i] := «TIME()»;",
        "s := TIME(); d := TIME() - «a[i]»;",
        "n := TIME_TO_DINT(«TIME()»);",
        "s := SEL(k, «TIME()», s);",
        "long := «TIME()»;",
        "s := «Now()»; d := TIME() - s;",
        "«TIME()»;",
    ],
)
def test_every_other_use_of_a_reading_is_refused_at_its_place(body: str) -> None:
    plain = body.replace("«", "").replace("»", "")
    with pytest.raises(InputError) as refused:
        block(plain)
    found = [each for each in refused.value.diagnostics if each.code == "clock-reading"]
    places = {each.span.text for each in found if each.span is not None}
    marked = {part.partition("»")[0] for part in body.split("«")[1:]}
    assert marked <= places
    assert all(each.help for each in found)


@pytest.mark.parametrize("name", ["shown", "g"])
def test_a_reading_that_others_see_is_refused(name: str) -> None:
    with pytest.raises(InputError, match=rf"'(b\.)?{name}' is seen outside of the block"):
        block(f"{name} := TIME();")


def test_the_function_is_named_as_outside_of_the_standard() -> None:
    notes: list[object] = []
    text = (
        "FUNCTION_BLOCK B VAR d, s : TIME; END_VAR s := TIME(); d := TIME() - s; END_FUNCTION_BLOCK"
    )
    load_program([SourceText("b.st", text)], notes=notes)  # type: ignore[arg-type]
    assert any("TIME()" in str(getattr(note, "message", "")) for note in notes)
