"""Values written by hand on which both rooms agree, one input after the other."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from twohand.program.types import Value

from tests.support.meaning.both_rooms import both_rooms
from tests.support.meaning.typed_programs import PLAIN, program

NUMBERS = range(-9, 10)


def shown(
    kind: str, body: str, rows: list[dict[str, Value]], more: str = "", **choices: bool
) -> list[object]:
    """What ``q`` is after each row, or the finding that ends the run."""
    declared = f"VAR_INPUT a, b : INT; x, y : BOOL; END_VAR VAR q : {kind}; {more} END_VAR"
    tested = program(declared, body)
    found = both_rooms(tested, rows, ["q"], replace(PLAIN, **choices))
    return [each if isinstance(each, str) else each[0] for each in found]


@pytest.mark.parametrize(
    ("expression", "meaning"),
    [
        ("a + 3 = 5", lambda a: a + 3 == 5),
        ("5 = a + 3", lambda a: a + 3 == 5),
        ("2 * a = 6", lambda a: 2 * a == 6),
        ("2 * a = 5", lambda a: False),
        ("a + 3 >= 5", lambda a: a + 3 >= 5),
        ("a - 3 < 2", lambda a: a - 3 < 2),
        ("5 - a >= 3", lambda a: 5 - a >= 3),
        ("5 - a < 3", lambda a: 5 - a < 3),
        ("2 * a >= 5", lambda a: 2 * a >= 5),
        ("2 * a <= -5", lambda a: 2 * a <= -5),
        ("3 <= a", lambda a: a >= 3),
        ("3 < a + 1", lambda a: a + 1 > 3),
        ("(a + 2) + 3 > 7", lambda a: a + 5 > 7),
        ("ABS(a) = 4", lambda a: abs(a) == 4),
        ("SEL(a > 2, a + 1, a - 1) >= 3", lambda a: (a - 1 if a > 2 else a + 1) >= 3),
        ("SEL(NOT (a > 2), 7, a) = 7", lambda a: a == 7 if a <= 2 else True),
        ("SEL(a > 2, FALSE, a > 5)", lambda a: a > 5),
        ("SEL(a > 2, a > -5, TRUE)", lambda a: a > 2 or a > -5),
    ],
)  # fmt: skip
def test_a_comparison_holds_for_the_numbers_that_it_says(
    expression: str, meaning: Callable[[int], bool]
) -> None:
    rows: list[dict[str, Value]] = [{"a": a} for a in NUMBERS]
    assert shown("BOOL", f"q := {expression};", rows) == [meaning(a) for a in NUMBERS]


def test_and_then_and_or_else_leave_out_what_they_need_not_know() -> None:
    """The right operand divides by ``a``."""
    zero, one = {"x": False}, {"x": True}
    body = "q := x AND_THEN 10 / a > 1;"
    assert shown("BOOL", body, [zero, {**one, "a": 5}, {**zero, "a": 5}]) == [False, True, False]
    assert shown("BOOL", body, [one]) == ["division by zero"]
    body = "q := x OR_ELSE 10 / a > 1;"
    assert shown("BOOL", body, [one, {**zero, "a": 5}, {**zero, "a": 20}]) == [True, True, False]
    assert shown("BOOL", body, [zero]) == ["division by zero"]


def test_dividing_the_least_number_by_minus_one_leaves_its_type() -> None:
    least = {"a": -32768, "b": -1}
    for divisor in ("b", "-1"):
        body = f"q := a / ({divisor});"
        assert shown("INT", body, [{"a": 7, "b": -1}, least]) == [-7, "overflow"]
        assert shown("INT", body, [least], integers_wrap=True) == [-32768]
    assert shown("INT", "q := a / 1; q := q MOD (-1);", [least]) == [0]


def test_a_subrange_is_left_where_integers_wrap_as_well() -> None:
    rows: list[dict[str, Value]] = [{"a": 2}, {"a": 2}, {"a": 2}]
    for wrap in (False, True):
        found = shown("INT", "s := s + a; q := s;", rows, "s : INT (0..5);", integers_wrap=wrap)
        assert found == [2, 4, "overflow"]


def test_one_element_of_several_rows_is_read_and_written() -> None:
    body = "m[a, b] := m[a, b] + 10; q := m[0, 1] * 100 + m[1, 0];"
    more = "m : ARRAY [0..1, 0..2] OF INT := [1, 2, 3, 4, 5, 6];"
    rows: list[dict[str, Value]] = [{"a": 0, "b": 1}, {"a": 1, "b": 0}, {"a": 1, "b": 2}]
    assert shown("INT", body, rows, more) == [1204, 1214, 1214]
    for outside in ({"a": -1}, {"a": 2}, {"b": -1}, {"b": 3}):
        assert shown("INT", body, [dict(outside)], more) == ["index out of range"]


@pytest.mark.parametrize(("count", "left"), [(7, 0x80), (8, 0), (9, 0), (0, 0xC3)])
def test_a_shift_by_the_width_or_more_leaves_nothing(count: int, left: int) -> None:
    body = "y8 := 16#C3; q := BYTE_TO_INT(SHL(y8, a));"
    assert shown("INT", body, [{"a": count}], "y8 : BYTE;") == [left]


@pytest.mark.parametrize(("block", "held"), [("CTU", "R"), ("CTD", "LD")])
def test_an_edge_that_comes_with_a_reset_is_used_up(block: str, held: str) -> None:
    """The count input stays on while the reset goes: that is no new edge."""
    pin, step = ("CU", 1) if block == "CTU" else ("CD", -1)
    body = f"c({pin} := x, {held} := y, PV := 3); q := c.CV;"
    rows: list[dict[str, Value]] = [
        {"x": True, "y": True}, {"x": True}, {"x": False}, {"x": True}, {"x": True},
    ]  # fmt: skip
    start = 0 if block == "CTU" else 3
    expected = [start, start, start, start + step, start + step]
    assert shown("INT", body, rows, f"c : {block};") == expected


def test_what_is_left_out_finds_nothing() -> None:
    """The other branch, what comes after a RETURN, and a second finding of one scan."""
    body = "IF x THEN q := 1; ELSIF 10 / b > 3 THEN q := 2; ELSE q := 10 / a; END_IF"
    assert shown("INT", body, [{"x": True}, {"b": 1}, {"a": 5, "b": 9}]) == [1, 2, 2]
    assert shown("INT", body, [{"b": 9}]) == ["division by zero"]
    body = "IF x THEN RETURN; END_IF q := 10 / a;"
    assert shown("INT", body, [{"a": 5}, {"x": True}]) == [2, 2]
    body = "IF x THEN IF y THEN RETURN; END_IF END_IF q := 10 / a;"
    assert shown("INT", body, [{"a": 5}, {"x": True, "y": True}]) == [2, 2]
    assert shown("INT", body, [{"x": True}]) == ["division by zero"]
    body = "FOR i := 1 TO 2 DO IF x THEN RETURN; END_IF END_FOR q := 10 / a;"
    assert shown("INT", body, [{"a": 5}, {"x": True}], "i : INT;") == [2, 2]
    body = "q := 1 / a; q := 1 / b; q := 2 / a;"
    assert shown("INT", body, [{"a": 1, "b": 1}, {"b": 1}]) == [2, "division by zero"]


def test_an_in_out_is_shown_as_the_body_leaves_it() -> None:
    tested = program("VAR_IN_OUT n : INT; END_VAR", "n := n + 1;")
    assert both_rooms(tested, [{"n": 4}, {"n": 9}], ["n"]) == [[5], [10]]


def test_a_block_that_is_not_called_keeps_its_outputs() -> None:
    body = "IF y THEN c(CD := x, PV := 2); END_IF q := c.QD;"
    rows: list[dict[str, Value]] = [{}, {"y": True}, {}, {"x": True}]
    assert shown("BOOL", body, rows, "c : CTUD;") == [False, True, True, True]


@pytest.mark.parametrize(("past_end", "left"), [(False, 3), (True, 4)])
def test_the_variable_of_a_loop_is_kept_until_the_next_scan(past_end: bool, left: int) -> None:
    body = "q := i; FOR i := 1 TO 3 DO s := i; END_FOR"
    found = shown("INT", body, [{}, {}, {}], "i, s : INT;", loop_leaves_past_end=past_end)
    assert found == [0, left, left]


def test_a_choice_between_a_condition_and_another_value() -> None:
    rows: list[dict[str, Value]] = [{"x": x, "y": y} for x in (False, True) for y in (False, True)]
    for expression, expected in (
        ("SEL(x, y, x)", [False, True, True, True]),
        ("SEL(x, x, y)", [False, False, False, True]),
        ("SEL(NOT x, x, y)", [False, True, True, True]),
        ("SEL(x, SEL(x, y, NOT y), NOT y)", [False, True, True, False]),
    ):
        assert shown("BOOL", f"q := {expression};", rows) == expected
