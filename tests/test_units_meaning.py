"""What methods, actions, properties, bases, edge inputs and enable pins come to, in both rooms."""

from __future__ import annotations

from dataclasses import replace

import pytest
from test_language_meaning import both_rooms
from typed_programs import PLAIN, program

from checker.source.diagnostic import InputError
from checker.source.resolve import load_program
from checker.source.text import SourceText
from checker.source.types import Value

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


def values(
    declarations: str, body: str, names: str, before: str = "", scans: int = 1, **inputs: str
) -> list[list[Value] | str]:
    """The names' values in each scan; ``inputs`` are Boolean, ``"0110"``."""
    given = "".join(f"{name} : BOOL; " for name in inputs)
    tested = program(f"VAR_INPUT {given} END_VAR {declarations}", body, before)
    rows = [
        {name: text[scan] == "1" for name, text in inputs.items()}
        for scan in range(max([scans, *map(len, inputs.values())]))
    ]
    return both_rooms(tested, rows, names.split())


def refused(declarations: str, body: str, before: str = "") -> list[str]:
    with pytest.raises(InputError) as caught:
        program(declarations, body, before)
    return [problem.code for problem in caught.value.diagnostics]


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
        ("n := c.Add;", "unknown-member"),
        ("SUPER^();", "no-base"),
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


PROGRAMS = """
PROGRAM Count
VAR_INPUT go : BOOL; END_VAR
VAR_OUTPUT n : INT; END_VAR
IF go THEN n := n + 1; END_IF
END_PROGRAM
FUNCTION_BLOCK User
VAR_OUTPUT seen : INT; END_VAR
seen := Count.n;
END_FUNCTION_BLOCK
"""


def test_a_program_that_is_called_is_one_instance_for_all() -> None:
    seen = values(
        "VAR u : User; m : INT; END_VAR", "Count(go := a); u(); Count(); m := Count.n;",
        "u.seen m", PROGRAMS, a="101",
    )  # fmt: skip
    assert seen == [[1, 2], [2, 2], [3, 4]]


@pytest.mark.parametrize(
    "other",
    [
        "",
        "PROGRAM Other Count(); END_PROGRAM",
        "CONFIGURATION c TASK t(INTERVAL := T#5ms); PROGRAM p WITH t : Count; END_CONFIGURATION",
    ],
)
def test_a_program_that_runs_elsewhere_or_nowhere_is_refused(other: str) -> None:
    body = "n := Count.n;" if not other else "Count(); n := Count.n;"
    assert refused("VAR n : INT; END_VAR", body, PROGRAMS + other) == ["shared-instance"]


def test_the_block_to_check_is_the_one_that_no_other_uses() -> None:
    text = (
        PROGRAMS
        + BASES
        + (
            "PROGRAM Main VAR u : User; all : ARRAY[1..2] OF Derived; END_VAR "
            "Count(); u(); END_PROGRAM"
        )
    )
    assert load_program([SourceText("a.st", text)]).name == "Main"


# --- bases

BASES = """
FUNCTION_BLOCK Base
VAR_INPUT on : BOOL; END_VAR
VAR_OUTPUT n : INT; END_VAR
VAR_TEMP draft : INT; END_VAR
METHOD Step : INT
    Step := 1;
END_METHOD
METHOD Twice : INT
    Twice := Step() + THIS^.Step();
END_METHOD
draft := draft + 1;
IF on THEN n := n + Step() * draft; END_IF
END_FUNCTION_BLOCK

FUNCTION_BLOCK Middle EXTENDS Base
VAR m : INT; END_VAR
METHOD Step : INT
    Step := 10 + SUPER^.Step();
END_METHOD
END_FUNCTION_BLOCK

FUNCTION_BLOCK Derived EXTENDS Middle
VAR_OUTPUT d : INT; END_VAR
METHOD Step : INT
    Step := 100 + SUPER^.Step();
END_METHOD
SUPER^();
d := d + 1;
END_FUNCTION_BLOCK
"""


def test_the_type_of_the_instance_decides_which_method_runs() -> None:
    seen = values(
        "VAR b : Base; m : Middle; d : Derived; x, y, z : INT; END_VAR",
        "x := b.Twice(); y := m.Twice(); z := d.Twice();",
        "x y z",
        BASES,
    )
    assert seen == [[2, 22, 222]]


def test_the_body_of_a_base_runs_only_where_it_is_called() -> None:
    seen = values(
        "VAR b : Base; m : Middle; d : Derived; END_VAR",
        "b(on := TRUE); m(on := TRUE); d(on := TRUE);",
        "b.n m.n d.n d.d",
        BASES,
        2,
    )
    assert seen == [[1, 0, 0, 1], [2, 0, 0, 2]]


def test_a_body_calls_its_base_with_fresh_temporaries_and_its_own_methods() -> None:
    block = BASES.replace(
        "VAR m : INT; END_VAR", "VAR m : INT; END_VAR SUPER^(); SUPER^(); m := n;"
    )
    seen = values("VAR d : Derived; END_VAR", "d(on := TRUE);", "d.n d.m d.d", block, 2)
    assert seen == [[222, 222, 1], [444, 444, 2]]


def test_a_name_of_the_base_is_not_caught_by_one_of_the_block() -> None:
    block = """
    TYPE Mode : (Rest, Go := 7); END_TYPE
    FUNCTION_BLOCK Base
    VAR_OUTPUT mode : Mode; END_VAR
    METHOD Set mode := Go; END_METHOD
    END_FUNCTION_BLOCK
    FUNCTION_BLOCK Derived EXTENDS Base
    VAR Go : BOOL; END_VAR
    Set();
    END_FUNCTION_BLOCK"""
    assert values("VAR d : Derived; END_VAR", "d();", "d.mode", block) == [[7]]


def test_temporaries_of_a_base_begin_anew_at_each_call_of_its_body() -> None:
    block = """
    FUNCTION_BLOCK Base
    VAR_OUTPUT n : INT; END_VAR
    VAR_TEMP t : ARRAY[0..1] OF INT := [2, 3]; END_VAR
    t[1] := t[1] + t[0]; n := n + t[1];
    END_FUNCTION_BLOCK
    FUNCTION_BLOCK Derived EXTENDS Base
    VAR_TEMP own : INT; END_VAR
    own := own + 1; SUPER^(); SUPER^(); n := n + own;
    END_FUNCTION_BLOCK"""
    assert values("VAR d : Derived; END_VAR", "d();", "d.n", block, 2) == [[11], [22]]


def test_a_method_knows_the_values_of_its_block_s_enumerations() -> None:
    block = """
    FUNCTION_BLOCK B
    VAR_OUTPUT mode : (Rest, Go := 5); END_VAR
    METHOD Start mode := Go; END_METHOD
    END_FUNCTION_BLOCK"""
    assert values("VAR b : B; END_VAR", "b.Start();", "b.mode", block) == [[5]]


@pytest.mark.parametrize(
    ("blocks", "code"),
    [
        (
            "VAR_GLOBAL CONSTANT C : INT := 1; END_VAR "
            "FUNCTION_BLOCK Up VAR n2 : INT := C; END_VAR END_FUNCTION_BLOCK "
            "FUNCTION_BLOCK D EXTENDS Up VAR CONSTANT C : INT := 2; END_VAR END_FUNCTION_BLOCK",
            "captured-name",
        ),
        ("FUNCTION_BLOCK D EXTENDS Nope END_FUNCTION_BLOCK", "unknown-base"),
        ("FUNCTION_BLOCK D EXTENDS D END_FUNCTION_BLOCK", "recursive-base"),
        ("FUNCTION_BLOCK D EXTENDS F END_FUNCTION_BLOCK", "unknown-base"),
        ("FUNCTION_BLOCK D EXTENDS B VAR n : BOOL; END_VAR END_FUNCTION_BLOCK", "duplicate-name"),
        (
            "FUNCTION_BLOCK D EXTENDS B METHOD Shut END_METHOD END_FUNCTION_BLOCK",
            "wrong-override",
        ),
        ("FUNCTION_BLOCK D EXTENDS B ACTION M: END_ACTION END_FUNCTION_BLOCK", "wrong-override"),
        ("FUNCTION_BLOCK ABSTRACT D END_FUNCTION_BLOCK", "abstract-block"),
    ],
)
def test_a_wrong_base_is_refused(blocks: str, code: str) -> None:
    base = """
    FUNCTION F : INT F := 1; END_FUNCTION
    FUNCTION_BLOCK B VAR n : INT; END_VAR
    METHOD M END_METHOD METHOD FINAL Shut END_METHOD
    END_FUNCTION_BLOCK """
    assert refused("VAR d : D; END_VAR", "d();", base + blocks) == [code]


# --- set and reset, edges, enable pins, functions without result


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
