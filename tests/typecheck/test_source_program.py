"""From a library of blocks to one flattened typed program."""

from __future__ import annotations

import pytest
from twohand import program as typed

from tests.support.samples.library_samples import INNER, OUTER, block, load, names, problems

# --- variables --------------------------------------------------------------------------------


def test_variables_have_roles_initial_values_and_paths() -> None:
    program = load(block(
        "VAR_INPUT a, b : BOOL := TRUE; END_VAR VAR_OUTPUT q : INT := 3 * 4; END_VAR "
        "VAR_IN_OUT io : WORD; END_VAR VAR_TEMP s : TIME := T#1s; END_VAR VAR v : DINT; END_VAR"
    ))  # fmt: skip
    found = [(v.name, v.role, v.initial) for v in program.variables]
    assert found == [
        ("a", typed.Role.INPUT, True), ("b", typed.Role.INPUT, True), ("q", typed.Role.OUTPUT, 12),
        ("io", typed.Role.IN_OUT, 0), ("s", typed.Role.TEMPORARY, 1_000_000_000),
        ("v", typed.Role.LOCAL, 0),
    ]  # fmt: skip
    assert [v.name for v in program.inputs] == ["a", "b", "io"]
    assert [v.name for v in program.outputs] == ["q"]
    assert [v.name for v in program.routine.initialise] == ["s"]


def test_retained_variables_keep_their_value_with_their_instances() -> None:
    program = load(INNER, block(
        "VAR RETAIN a : INT; i : Inner; t : TON; END_VAR VAR PERSISTENT p : INT; END_VAR "
        "VAR NON_RETAIN n : INT; END_VAR VAR v : INT; END_VAR"
    ))  # fmt: skip
    kept = {v.name for v in program.variables if v.retain}
    assert {"a", "p", "t.ET", "i.ok", "i.t.Q"} <= kept
    assert not {"n", "v"} & kept
    assert all(instance.retain for instance in program.instances)


def test_an_instance_is_flattened_under_its_path_with_a_routine_of_its_own() -> None:
    program = load(INNER, OUTER)
    assert program.name == "Outer"
    assert names(program) == [
        "a", "q",
        "first.go", "first.ok", "first.t.IN", "first.t.PT", "first.t.Q", "first.t.ET",
        "first.once", "second.go", "second.ok", "second.t.IN", "second.t.PT", "second.t.Q",
        "second.t.ET", "second.once", "count", "other",
    ]  # fmt: skip
    assert [i.name for i in program.instances] == ["first.t", "second.t"]
    first, second, again = program.routine.body
    assert isinstance(first, typed.CallBlock)
    assert isinstance(second, typed.CallBlock)
    assert isinstance(again, typed.CallBlock)
    assert [v.name for v, _ in first.arguments] == ["first.go"]
    assert [v.name for v in first.routine.initialise] == ["first.once"]
    assert [o.target.name for o in first.outputs] == ["q"]


def test_an_in_out_parameter_is_the_variable_of_each_caller() -> None:
    program = load(INNER, OUTER)
    written = []
    for call in program.routine.body:
        assert isinstance(call, typed.CallBlock)
        assignment = call.routine.body[1]
        assert isinstance(assignment, typed.Assign)
        written.append(assignment.target.name)
    assert written == ["count", "other", "other"]


def test_an_instance_can_be_an_in_out_argument() -> None:
    helper = (
        "FUNCTION_BLOCK H VAR_IN_OUT t : TON; END_VAR t(IN := TRUE, PT := T#1s); END_FUNCTION_BLOCK"
    )
    program = load(helper, block("VAR h : H; mine : TON; END_VAR", "h(t := mine);"))
    call = program.routine.body[0]
    assert isinstance(call, typed.CallBlock)
    inner = call.routine.body[0]
    assert isinstance(inner, typed.CallStandard)
    assert inner.instance.name == "mine"


def test_a_prefix_stands_before_every_name() -> None:
    function = "FUNCTION F : INT VAR_INPUT a : INT; END_VAR F := a; END_FUNCTION\n"
    text = function + block("VAR CONSTANT C : INT := 1; END_VAR VAR t : TON; n : INT; END_VAR",
                            "n := F(C);")  # fmt: skip
    program = load(text, prefix="rod.")
    assert names(program) == ["rod.t.IN", "rod.t.PT", "rod.t.Q", "rod.t.ET", "rod.n",
                              "rod.F.F", "rod.F.a"]  # fmt: skip
    assert list(program.constants) == ["rod.C"]
    assert program.instances[0].name == "rod.t"


def test_initial_pin_values_reach_the_pins() -> None:
    program = load(INNER, block("VAR t : TON := (PT := T#500ms, IN := TRUE); c : CTU := (PV := 3); "
                                "i : Inner := (go := TRUE); END_VAR"))  # fmt: skip
    initial = {v.name: v.initial for v in program.variables}
    assert (initial["t.PT"], initial["t.IN"]) == (500_000_000, True)
    assert (initial["c.PV"], initial["i.go"], initial["c.CV"]) == (3, True, 0)


@pytest.mark.parametrize(
    ("kind", "pins"),
    [
        ("TON", "IN PT Q ET"), ("TOF", "IN PT Q ET"), ("TP", "IN PT Q ET"), ("R_TRIG", "CLK Q"),
        ("F_TRIG", "CLK Q"), ("SR", "S1 R Q1"), ("RS", "S R1 Q1"), ("CTU", "CU R PV Q CV"),
        ("CTD", "CD LD PV Q CV"), ("CTUD", "CU CD R LD PV QU QD CV"),
    ],
)  # fmt: skip
def test_a_standard_block_has_the_pins_of_the_standard(kind: str, pins: str) -> None:
    (instance,) = load(block(f"VAR i : {kind.lower()}; END_VAR")).instances
    assert instance.block is typed.StandardBlock(kind)
    assert list(instance.pins) == pins.split()


def test_constants_are_folded_and_listed() -> None:
    program = load(block(
        "VAR CONSTANT N : INT := 2 * M1; END_VAR VAR v : INT := N; END_VAR"
        .replace("VAR CONSTANT N", "VAR CONSTANT M1 : INT := 5; N"), "v := N + 1;"
    ))  # fmt: skip
    assert {name: c.value for name, c in program.constants.items()} == {"M1": 5, "N": 10}
    assert program.variables[0].initial == 10
    statement = program.routine.body[0]
    assert isinstance(statement, typed.Assign)
    assert isinstance(statement.value, typed.Literal)
    assert statement.value.value == 11


def test_enumerations_number_their_values_from_the_one_before() -> None:
    program = load(
        "TYPE Mode : (Idle, Run := 3, Stop) := Run; Alias : Mode; Ms : TIME := T#5ms; END_TYPE",
        block("VAR m : Mode; a : alias := Stop; d : Ms; e, f : (On1, Off1); END_VAR", "e := f;"),
    )
    assert program.enumerations["Mode"].values == (("Idle", 0), ("Run", 3), ("Stop", 4))
    assert [v.initial for v in program.variables] == [3, 4, 5_000_000, 0, 0]


# --- functions --------------------------------------------------------------------------------

FUNCTION = """FUNCTION Scale : INT
VAR_INPUT x : INT; by1 : INT := 2; END_VAR VAR_OUTPUT odd : BOOL; END_VAR VAR k : INT := 1; END_VAR
odd := x MOD 2 = 1; k := k + 1; Scale := x * by1;
END_FUNCTION
"""


def test_a_function_has_its_variables_once_and_binds_every_input() -> None:
    program = load(FUNCTION, block(
        "VAR n : INT; q : BOOL; END_VAR",
        "n := Scale(3, 4) + Scale(x := n, odd => q); Scale(1, 2);",
    ))  # fmt: skip
    assert names(program)[2:] == ["Scale.Scale", "Scale.x", "Scale.by1", "Scale.odd", "Scale.k"]
    statement, evaluate = program.routine.body
    assert isinstance(statement, typed.Assign)
    assert isinstance(statement.value, typed.Operation)
    first, second = statement.value.operands
    assert isinstance(first, typed.CallFunction)
    assert isinstance(second, typed.CallFunction)
    assert [v.name for v, _ in first.arguments] == ["Scale.x", "Scale.by1"]
    default = second.arguments[1][1]
    assert isinstance(default, typed.Literal)
    assert default.value == 2
    assert [o.target.name for o in second.outputs] == ["q"]
    assert first.routine is second.routine
    assert {v.name for v in first.routine.initialise} == {"Scale.Scale", "Scale.odd", "Scale.k"}
    assert isinstance(evaluate, typed.Evaluate)


def test_a_functions_variables_get_a_name_that_no_instance_has() -> None:
    function = "FUNCTION t : INT VAR_INPUT Q : INT; END_VAR t := Q; END_FUNCTION\n"
    helper = "FUNCTION_BLOCK H VAR n : INT; END_VAR n := t(1); END_FUNCTION_BLOCK\n"
    program = load(function + helper + block("VAR t : TON; h : H; END_VAR", "h();"))
    found = names(program)
    assert len({name.upper() for name in found}) == len(found)
    assert "t_2.Q" in found


# --- statements -------------------------------------------------------------------------------


def test_statements_become_their_typed_kinds() -> None:
    program = load(block(
        "VAR a : BOOL; n : INT; s : SINT; END_VAR",
        "IF a THEN n := 1; END_IF CASE n OF 1, 3..5: n := 2; ELSE n := 3; END_CASE "
        "FOR n := 10 TO s BY -2 DO EXIT; END_FOR WHILE a DO CONTINUE; END_WHILE",
    ))  # fmt: skip
    branch, case, loop, wait = program.routine.body
    assert isinstance(branch, typed.If)
    assert isinstance(case, typed.Case)
    assert case.arms[0][0] == ((1, 1), (3, 5))
    assert isinstance(loop, typed.For)
    assert (loop.step, loop.last.type.name) == (-2, "INT")
    assert isinstance(wait, typed.While)


def test_pins_are_set_and_read_without_a_call() -> None:
    program = load(block("VAR t : TON; q : BOOL; END_VAR", "t.IN := TRUE; q := t.q; t();"))
    first, second, third = program.routine.body
    assert isinstance(first, typed.Assign)
    assert first.target.name == "t.IN"
    assert isinstance(second, typed.Assign)
    assert isinstance(second.value, typed.Read)
    assert second.value.variable.name == "t.Q"
    assert isinstance(third, typed.CallStandard)
    assert third.arguments == ()


def test_a_negated_output_is_negated() -> None:
    program = load(block("VAR t : TON; q : BOOL; END_VAR", "t(NOT Q => q);"))
    call = program.routine.body[0]
    assert isinstance(call, typed.CallStandard)
    assert isinstance(call.outputs[0].value, typed.Operation)
    assert call.outputs[0].value.operator is typed.Operator.NOT


def test_names_are_found_in_any_letter_case() -> None:
    program = load(INNER.upper(), OUTER.lower(), block="OUTER")
    assert program.variable("FIRST.OK") is program.variable("first.ok")
    assert program.variable("nothing") is None


# --- which block ------------------------------------------------------------------------------


def test_the_block_that_no_other_contains_is_meant() -> None:
    assert load(OUTER, INNER).name == "Outer"
    assert load(OUTER, INNER, block="inner").name == "Inner"


@pytest.mark.parametrize(
    ("texts", "wanted", "code"),
    [
        (("PROGRAM a END_PROGRAM", "PROGRAM b END_PROGRAM"), None, "several-blocks"),
        (("FUNCTION f : INT f := 1; END_FUNCTION",), None, "no-block"),
        (("(* nothing *)",), None, "no-block"),
        ((OUTER, INNER), "outr", "unknown-block"),
        ((OUTER,), None, "unknown-type"),
        ((INNER, INNER), None, "duplicate-name"),
        (("FUNCTION_BLOCK a END_FUNCTION_BLOCK", "PROGRAM A END_PROGRAM"), None, "duplicate-name"),
    ],
)
def test_a_library_without_a_clear_block_is_refused(
    texts: tuple[str, ...], wanted: str | None, code: str
) -> None:
    assert problems(*texts, block=wanted)[0].code == code
