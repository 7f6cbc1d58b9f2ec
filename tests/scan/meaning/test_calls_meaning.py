"""What set and reset, edge inputs, enable pins and calls without result come to, in both rooms."""

from __future__ import annotations

from dataclasses import replace

import pytest
from twohand.program.types import Value

from tests.support.meaning.both_rooms import both_rooms
from tests.support.meaning.typed_programs import PLAIN, program
from tests.support.meaning.unit_values import refused, values


def test_set_and_reset_assign_only_where_their_condition_holds() -> None:
    seen = values("VAR q : BOOL; END_VAR", "q S= a; q R= b;", "q", a="0100110", b="0001010")
    assert [row[0] for row in seen] == [False, True, True, False, True, False, False]


def test_an_edge_input_is_true_in_the_call_that_sees_the_edge() -> None:
    block = """
    FUNCTION_BLOCK B
    VAR_INPUT up : BOOL R_EDGE; down : BOOL F_EDGE; END_VAR
    VAR_OUTPUT ups, downs : INT; END_VAR
    IF up THEN ups := ups + 1; END_IF
    IF down THEN downs := downs + 1; END_IF
    END_FUNCTION_BLOCK"""
    seen = values(
        "VAR b : B; END_VAR", "IF on THEN b(up := a, down := a); END_IF", "b.ups b.downs", block,
        a="1101001", on="1111011",
    )  # fmt: skip
    assert seen == [[1, 0], [1, 0], [1, 1], [2, 1], [2, 1], [2, 2], [3, 2]]


def test_an_edge_input_of_the_checked_block_is_sampled_as_it_is() -> None:
    tested = program(
        "VAR_INPUT go : BOOL R_EDGE; END_VAR VAR_OUTPUT n : INT; END_VAR",
        "IF go THEN n := n + 1; END_IF",
    )
    rows: list[dict[str, Value]] = [{"go": bit == "1"} for bit in "0110101"]
    assert both_rooms(tested, rows, ["go", "n"]) == [
        [bit == "1", count] for bit, count in zip("0110101", (0, 1, 1, 1, 2, 2, 3), strict=True)
    ]


def test_an_input_without_a_value_keeps_the_one_that_it_has() -> None:
    seen = values(
        "VAR t : TON; c : CTU; END_VAR",
        "t.PT := T#20ms; t(IN := a, PT :=, Q =>, ET => );"
        " IF on THEN c(CU := a, PV := 2); ELSE c(CU :=, PV :=, R :=); END_IF;",
        "t.Q c.CV c.Q", a="0111011", on="1101111",
    )  # fmt: skip
    plain = values(
        "VAR t : TON; c : CTU; END_VAR",
        "t.PT := T#20ms; t(IN := a); IF on THEN c(CU := a, PV := 2); ELSE c(); END_IF;",
        "t.Q c.CV c.Q", a="0111011", on="1101111",
    )  # fmt: skip
    assert seen == plain
    assert [row[0] for row in seen] == [False, False, False, True, False, False, False]


@pytest.mark.parametrize(
    ("call", "code"),
    [
        ("t(IN := a, PX :=)", "unknown-argument"),
        ("t(IN := a, IN =>)", "unknown-argument"),
        ("t(IN := a, Q :=)", "unknown-argument"),
        ("t(IN := a, IN :=)", "duplicate-argument"),
        ("t(a, PT :=)", "mixed-arguments"),
        ("t(EN :=)", "unknown-argument"),
        ("n := LIMIT(MN := 1, IN := n, MX :=)", "argument-count"),
        ("n := ABS(IN :=)", "argument-count"),
        ("n := twice(k :=, n => n)", "unknown-argument"),
        ("bump(n :=)", "missing-in-out"),
    ],
)
def test_an_empty_place_is_one_of_what_is_called(call: str, code: str) -> None:
    units = """
    FUNCTION twice : INT VAR_INPUT k : INT; END_VAR twice := 2 * k; END_FUNCTION
    FUNCTION_BLOCK Bump VAR_IN_OUT n : INT; END_VAR n := n + 1; END_FUNCTION_BLOCK"""
    section = "VAR t : TON; n : INT; bump : Bump; END_VAR"
    assert code in refused(section, f"{call};", units)


def test_a_call_that_is_not_enabled_changes_nothing() -> None:
    seen = values(
        "VAR t : TON := (PT := T#20ms); ran, alone : BOOL; e : R_TRIG; END_VAR",
        "t.IN := TRUE; t(EN := a, ENO => ran); e(CLK := a, ENO => alone);",
        "t.Q ran alone",
        a="1011",
    )
    assert seen == [
        [False, True, True], [False, False, True], [True, True, True], [True, True, True],
    ]  # fmt: skip


@pytest.mark.parametrize("taken", [False, True])
def test_a_call_that_is_not_enabled_may_still_take_its_inputs(taken: bool) -> None:
    tested = program(
        "VAR_INPUT a : BOOL; END_VAR VAR t : TON; n, m : INT; END_VAR",
        "n := n + 1; t(EN := a, PT := T#5ms * n, IN := t.PT >= T#10ms); t(EN := FALSE, IN := a);",
    )
    readings = replace(PLAIN, disabled_call_takes_inputs=taken)
    rows: list[dict[str, Value]] = [{"a": False}, {"a": True}, {"a": False}]
    five = (
        [[False, 5], [True, 10], [False, 15]] if taken else [[False, 0], [False, 10], [False, 10]]
    )
    assert both_rooms(tested, rows, ["t.IN", "t.PT"], readings) == five


def test_what_a_call_that_is_not_enabled_leaves_open_is_refused() -> None:
    declarations = "VAR_INPUT a : BOOL; END_VAR VAR t : TON; q : BOOL; n : INT; END_VAR"
    assert refused(declarations, "t(EN := a, Q => q);") == ["unsupported-enable"]
    assert refused(declarations, "n := ABS(EN := a, IN := n);") == ["unsupported-enable"]


def test_a_function_without_result_is_a_statement() -> None:
    function = """
    FUNCTION Clamp
    VAR_IN_OUT x : INT; END_VAR
    VAR_INPUT most : INT; END_VAR
    IF x > most THEN x := most; END_IF
    END_FUNCTION"""
    seen = values("VAR n : INT; END_VAR", "n := n + 3; Clamp(x := n, most := 5);", "n", function, 3)
    assert seen == [[3], [5], [5]]


def test_a_block_can_be_called_by_position() -> None:
    seen = values("VAR t : TON; q : BOOL; END_VAR", "t(a, T#10ms); q := t.Q;", "q", a="110")
    assert seen == [[False], [True], [False]]
    assert refused("VAR t : TON; q : BOOL; END_VAR", "t(q);") == ["argument-count"]


def test_an_instance_called_before_its_input_is_set_sees_the_last_scan() -> None:
    seen = values("VAR e : R_TRIG; n : INT; END_VAR",
                  "e(); IF e.Q THEN n := n + 1; END_IF e.CLK := a;", "n", a="0100")  # fmt: skip
    assert seen == [[0], [0], [1], [1]]


def test_an_instance_called_in_several_places_sees_each_call() -> None:
    seen = values("VAR e : R_TRIG; n : INT; END_VAR",
                  "e(CLK := a); IF e.Q THEN n := n + 1; END_IF "
                  "IF b THEN e(CLK := FALSE); END_IF", "n", a="1111", b="0100")  # fmt: skip
    assert seen == [[1], [1], [2], [2]]
