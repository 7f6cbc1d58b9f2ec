"""What methods, actions and properties come to, in both rooms."""

from __future__ import annotations

import pytest

from tests.support.meaning.unit_values import refused, values

COUNTER = """
FUNCTION_BLOCK Counter
VAR_INPUT rise : INT := 1; END_VAR
VAR_OUTPUT total : INT; END_VAR
VAR calls : INT; END_VAR
METHOD PUBLIC Add : INT
VAR_INPUT step : INT := 5; END_VAR
VAR sum : INT := 100; END_VAR
    sum := sum + step;
    calls := calls + 1;
    total := total + step;
    Add := sum;
END_METHOD
METHOD Clear
    total := 0;
    THIS^.calls := 0;
END_METHOD
PROPERTY Calls2 : INT
GET
    Calls2 := calls * 2;
END_GET
SET
    calls := Calls2 / 2;
END_SET
END_PROPERTY
total := total + rise;
ACTION Twice:
    IF total > 50 THEN RETURN; END_IF
    total := total * 2;
END_ACTION
END_FUNCTION_BLOCK
"""


# --- methods


def test_a_method_begins_with_its_own_values_and_changes_its_instance() -> None:
    seen = values(
        "VAR c : Counter; a, b : INT; END_VAR",
        "a := c.Add(step := 2); b := c.Add() + c.Add(1);",
        "a b c.total c.calls",
        COUNTER,
        2,
    )
    assert seen == [[102, 206, 8, 3], [102, 206, 16, 6]]


def test_a_method_without_result_is_a_statement() -> None:
    seen = values(
        "VAR c : Counter; END_VAR", "c(rise := 3); c.Add(); IF a THEN c.Clear(); END_IF",
        "c.total c.calls", COUNTER, a="001",
    )  # fmt: skip
    assert seen == [[8, 1], [16, 2], [0, 0]]
    assert refused("VAR c : Counter; n : INT; END_VAR", "n := c.Clear();", COUNTER) == [
        "call-without-value"
    ]


def test_each_instance_has_its_own_data() -> None:
    seen = values(
        "VAR c, d : Counter; END_VAR", "c.Add(1); c.Add(1); d.Add(7);", "c.total d.total", COUNTER
    )
    assert seen == [[2, 7]]


def test_a_method_has_outputs_and_in_out_parameters() -> None:
    block = """
    FUNCTION_BLOCK B
    VAR n : INT := 3; END_VAR
    METHOD Swap : BOOL
    VAR_IN_OUT x : INT; END_VAR
    VAR_OUTPUT old : INT; END_VAR
        old := n; n := x; x := old;
        Swap := old > x;
    END_METHOD
    END_FUNCTION_BLOCK"""
    seen = values(
        "VAR b : B; x : INT := 8; y : INT := 9; o : INT; END_VAR",
        "b.Swap(x := x, old => o); b.Swap(x := y);",
        "x y o",
        block,
    )
    assert seen == [[3, 8, 3]]


def test_methods_of_a_block_call_each_other_and_its_instances() -> None:
    block = """
    FUNCTION_BLOCK B
    VAR_OUTPUT q : BOOL; END_VAR
    VAR t : TON := (PT := T#20ms); END_VAR
    METHOD Run VAR_INPUT on : BOOL; END_VAR
        t(IN := on); q := Done();
    END_METHOD
    METHOD PRIVATE Done : BOOL
        Done := t.Q;
    END_METHOD
    END_FUNCTION_BLOCK"""
    seen = values("VAR b : B; END_VAR", "b.Run(on := a);", "b.q", block, a="11110")
    assert seen == [[False], [False], [True], [True], [False]]
    assert refused("VAR b : B; q : BOOL; END_VAR", "q := b.Done();", block) == ["hidden-member"]


def test_a_variable_of_a_method_hides_one_of_the_block_and_this_names_the_block() -> None:
    block = """
    FUNCTION_BLOCK B
    VAR n : INT := 3; END_VAR
    VAR_OUTPUT o : INT; END_VAR
    METHOD M
    VAR n : INT := 40; END_VAR
        o := n + THIS^.n; n := 0; THIS^.n := THIS^.n + 1;
    END_METHOD
    END_FUNCTION_BLOCK"""
    assert values("VAR b : B; END_VAR", "b.M();", "b.o b.n", block, 2) == [[43, 4], [44, 5]]


def test_a_static_variable_of_a_method_keeps_its_value() -> None:
    block = """
    FUNCTION_BLOCK B
    METHOD M : INT
    VAR_INST n : INT; END_VAR
    VAR_STAT all : INT; END_VAR
        n := n + 1; all := all + 1; M := n * 10 + all;
    END_METHOD
    END_FUNCTION_BLOCK"""
    seen = values("VAR b, c : B; x, y : INT; END_VAR", "x := b.M(); y := c.M();", "x y", block, 2)
    assert seen == [[11, 12], [23, 24]]


def test_a_method_in_an_operand_that_may_be_left_out_is_refused_or_short() -> None:
    declarations = "VAR c : Counter; q : BOOL; END_VAR"
    assert refused(declarations, "q := q AND c.Add() > 0;", COUNTER) == ["effect-in-operand"]
    seen = values(
        declarations, "q := a AND_THEN c.Add() > 0; q := a OR_ELSE c.Add(2) > 0;",
        "q c.total", COUNTER, a="01",
    )  # fmt: skip
    assert seen == [[True, 2], [True, 7]]


def test_what_a_method_cannot_see_is_refused() -> None:
    block = """
    FUNCTION_BLOCK B
    VAR_IN_OUT io : INT; END_VAR
    VAR_TEMP t : INT; END_VAR
    VAR n : INT; END_VAR
    METHOD M {} END_METHOD
    END_FUNCTION_BLOCK"""
    declarations = "VAR b : B; END_VAR"
    for text in ("n := io;", "n := t;", "io := 1;"):
        assert refused(declarations, "b.M();", block.replace("{}", text)) == ["hidden-variable"]


@pytest.mark.parametrize(
    ("body", "code"),
    [
        ("c.Nope();", "unknown-member"),
        ("c.Add(1, 2);", "argument-count"),
        ("c.Add(stp := 1);", "unknown-argument"),
        ("c.Add(TRUE);", "type-mismatch"),
        ("c.Twice(1);", "argument-count"),
        ("c.Calls2();", "not-callable"),
        ("c.Calls2 := TRUE;", "type-mismatch"),
        ("n := c.Twice();", "call-without-value"),
        ("n := c.Add;", "member-as-variable"),
        ("SUPER^();", "no-base"),
        ("n := SUPER^.n;", "no-base"),
        ("THIS^();", "recursion"),
        ("THIS^.Nope();", "unknown-name"),
    ],
)
def test_a_wrong_use_of_a_member_is_refused(body: str, code: str) -> None:
    assert refused("VAR c : Counter; n : INT; END_VAR", body, COUNTER) == [code]


def test_arguments_behind_a_block_s_type_are_refused() -> None:
    assert refused("VAR c : Counter(rise := 2); END_VAR", "", COUNTER) == [
        "unsupported-initial-method"
    ]


@pytest.mark.parametrize(
    ("members", "code"),
    [
        ("METHOD n END_METHOD METHOD M END_METHOD", "duplicate-name"),
        ("METHOD M END_METHOD ACTION m: END_ACTION", "duplicate-name"),
        ("METHOD M : INT VAR x : INT; END_VAR M := M(); END_METHOD", "recursion"),
        ("METHOD M VAR x : TON; END_VAR END_METHOD", "instance-in-function"),
        ("METHOD M M(); END_METHOD", "recursion"),
        ("METHOD M n := P; END_METHOD METHOD P : INT END_METHOD", "member-as-variable"),
        (
            "METHOD M n := P; END_METHOD PROPERTY ABSTRACT P : INT GET END_GET END_PROPERTY",
            "abstract-method",
        ),
        ("METHOD M END_METHOD METHOD FB_Init END_METHOD", "unsupported-initial-method"),
    ],
)
def test_a_wrong_member_is_refused(members: str, code: str) -> None:
    block = f"FUNCTION_BLOCK B VAR n : INT; END_VAR {members} END_FUNCTION_BLOCK"
    assert refused("VAR b : B; END_VAR", "b.M();", block) == [code]


# --- actions and properties


def test_an_action_runs_with_the_variables_of_its_block() -> None:
    seen = values(
        "VAR c : Counter; END_VAR", "c(rise := 7); c.Twice(); c.Twice();", "c.total", COUNTER, 3
    )
    assert seen == [[28], [70], [77]]


def test_an_action_sees_the_in_out_parameters_of_the_call_that_runs_it() -> None:
    block = """
    FUNCTION_BLOCK B
    VAR_IN_OUT io : INT; END_VAR
    Up(); Up();
    ACTION Up: io := io + 1; END_ACTION
    END_FUNCTION_BLOCK"""
    seen = values("VAR b : B; x, y : INT; END_VAR", "b(io := x); b(io := y);", "x y", block, 2)
    assert seen == [[2, 2], [4, 4]]
    assert refused("VAR b : B; x : INT; END_VAR", "b(io := x); b.Up();", block) == [
        "hidden-variable"
    ]


def test_what_runs_outside_of_a_call_of_the_block_knows_no_in_out_parameter() -> None:
    block = """
    FUNCTION_BLOCK Base
    VAR_IN_OUT io : INT; END_VAR
    VAR n : INT; END_VAR
    n := io;
    ACTION Up: n := n + 1; END_ACTION
    ACTION Twice: Up(); Up(); END_ACTION
    ACTION Over: io := n; END_ACTION
    END_FUNCTION_BLOCK
    FUNCTION_BLOCK B EXTENDS Base
    PROPERTY P : INT GET {} P := n; END_GET END_PROPERTY
    METHOD M {} END_METHOD
    SUPER^();
    END_FUNCTION_BLOCK"""
    declarations = "VAR b : B; x : INT := 4; m : INT; END_VAR"
    for allowed in ("Up();", "Twice();"):
        text = block.replace("{}", allowed)
        seen = values(declarations, "b(io := x); b.Up(); b.M(); m := b.P;", "m", text)
        assert seen == [[7 if allowed == "Up();" else 9]]
    for wrong in ("Over();", "SUPER^();"):
        text = block.replace("{}", wrong)
        assert refused(declarations, "b(io := x); b.M();", text) == ["hidden-variable"]
        assert refused(declarations, "b(io := x); m := b.P;", text) == ["hidden-variable"]


def test_a_property_is_read_and_assigned_like_a_variable() -> None:
    seen = values(
        "VAR c : Counter; n : INT; END_VAR",
        "c.Add(); n := c.Calls2 + 1; c.Calls2 := c.Calls2 + 10;",
        "n c.calls",
        COUNTER,
        2,
    )
    assert seen == [[3, 6], [15, 12]]


def test_members_are_reached_through_arrays_and_structures() -> None:
    cells = COUNTER + "TYPE Cell : STRUCT c : Counter; n : INT; END_STRUCT; END_TYPE"
    seen = values(
        "VAR all : ARRAY[0..2] OF Counter; s : Cell; i, n, m : INT; END_VAR",
        "FOR i := 1 TO 2 DO all[i].Add(step := i); all[i].Twice(); all[i].Calls2 := i * 20; END_FOR"
        " n := all[1].Calls2; s.c.Add(3); m := s.c.Calls2; s.c.Twice();",
        "n m all[0].total all[1].total all[2].total all[2].calls s.c.total",
        cells,
    )
    assert seen == [[20, 2, 0, 2, 4, 20, 6]]
    declarations = "VAR all : ARRAY[0..2] OF Counter; i, n : INT; END_VAR"
    for body in ("n := all[i].Calls2;", "n := all[i].Add(1);", "n := all[1].Add(1);"):
        assert refused(declarations, body, COUNTER) == ["unsupported-element-call"]
    assert refused(declarations, "all[1].Nope();", COUNTER) == ["unknown-member"]
