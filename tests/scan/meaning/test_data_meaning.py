"""What structures, arrays, subranges, enumerations and bits mean (IEC 61131-3:2003, 2.3.3 and
2.4.3): initial values, members and elements, assignment as a whole, indices."""

from __future__ import annotations

import pytest
from twohand.program.types import Value
from twohand.text.diagnostic import InputError

from tests.support.meaning.typed_programs import bits, found, program, result, run_of, seen

PAIR = "TYPE Pair : STRUCT on : BOOL; n : INT := 2; END_STRUCT; END_TYPE"


def after(declarations: str, body: str, name: str, before: str = "") -> Value:
    """The value of a variable behind the first scan."""
    record = result(declarations, body, before)
    assert record.finding is None
    return record.values[name]


# --- initial values ---------------------------------------------------------------------------


def test_a_structure_begins_with_its_members_values_and_those_of_the_declaration() -> None:
    types = f"{PAIR} TYPE Deep : STRUCT p : Pair := (on := TRUE); q : Pair; END_STRUCT; END_TYPE"
    tested = program("VAR d : Deep := (q := (n := 7)); END_VAR", "", types)
    initial = {variable.name: variable.initial for variable in tested.variables}
    assert initial == {"d.p.on": True, "d.p.n": 2, "d.q.on": False, "d.q.n": 7}


def test_an_alias_has_an_initial_value_of_its_own() -> None:
    types = f"{PAIR} TYPE Ready : Pair := (on := TRUE); Late : TIME := T#5ms; END_TYPE"
    tested = program("VAR r : Ready; p : Pair; t : Late; END_VAR", "", types)
    initial = {variable.name: variable.initial for variable in tested.variables}
    assert initial == {"r.on": True, "r.n": 2, "p.on": False, "p.n": 2, "t": 5_000_000}


@pytest.mark.parametrize(
    ("values", "initial"),
    [
        ("[1, 2, 3, 4, 5, 6]", [1, 2, 3, 4, 5, 6]),
        ("[2(1), 3(4)]", [1, 1, 4, 4, 4, 0]),
        ("[9]", [9, 0, 0, 0, 0, 0]),
        ("[2(1, 2), 7]", [1, 2, 1, 2, 7, 0]),
        ("[[1], [4, 5]]", [1, 0, 0, 4, 5, 0]),
        ("[2([3(8)])]", [8, 8, 8, 8, 8, 8]),
    ],
)
def test_the_last_index_of_an_array_runs_fastest_in_its_values(
    values: str, initial: list[int]
) -> None:
    tested = program(f"VAR a : ARRAY [0..1, 5..7] OF INT := {values}; END_VAR", "")
    names = ["a[0,5]", "a[0,6]", "a[0,7]", "a[1,5]", "a[1,6]", "a[1,7]"]
    assert [variable.name for variable in tested.variables] == names
    assert [variable.initial for variable in tested.variables] == initial


def test_an_empty_repetition_leaves_the_types_own_values() -> None:
    tested = program("VAR a : ARRAY [1..3] OF Pair := [2(), (n := 5)]; END_VAR", "", PAIR)
    initial = {variable.name: variable.initial for variable in tested.variables}
    assert (initial["a[2].n"], initial["a[3].n"]) == (2, 5)


def test_instances_in_an_array_have_pin_values_of_their_own() -> None:
    tested = program("VAR t : ARRAY [0..1] OF TON := [(PT := T#1s), (PT := T#2s)]; END_VAR", "")
    initial = {variable.name: variable.initial for variable in tested.variables}
    assert (initial["t[0].PT"], initial["t[1].PT"]) == (1_000_000_000, 2_000_000_000)


# --- elements and members ---------------------------------------------------------------------


def test_a_variable_index_reads_and_writes_one_element() -> None:
    declarations = "VAR_INPUT i : INT; END_VAR VAR a : ARRAY [-1..1] OF INT; n : INT; END_VAR"
    tested = program(declarations, "a[i] := a[i] + 1; n := a[0];")
    records = run_of(tested, [{"i": 0}, {"i": -1}, {"i": 0}])
    assert seen(records, "n") == [1, 1, 2]
    assert [records[-1].values[f"a[{i}]"] for i in (-1, 0, 1)] == [1, 2, 0]


@pytest.mark.parametrize("index", [-2, 2, 3, 32767])
def test_an_index_outside_of_its_limits_is_a_finding(index: int) -> None:
    declarations = "VAR_INPUT i : INT; END_VAR VAR a : ARRAY [-1..1] OF INT; n : INT; END_VAR"
    for body, place in (("n := a[i];", "a[i]"), ("a[i] := 1;", "a[i]")):
        (record,) = run_of(program(declarations, body), [{"i": index}])
        assert found(record) == ("index out of range", place)


def test_each_index_keeps_to_its_own_limits() -> None:
    declarations = "VAR_INPUT i, j : INT; END_VAR VAR a : ARRAY [0..1, 0..2] OF INT; END_VAR"
    (record,) = run_of(program(declarations, "a[i, j] := 1;"), [{"i": 0, "j": 3}])
    assert found(record) == ("index out of range", "a[i, j]")


def test_an_index_of_a_smaller_type_does_not_wrap_into_the_array() -> None:
    declarations = "VAR_INPUT u : USINT; END_VAR VAR a : ARRAY [1..300] OF INT; END_VAR"
    (record,) = run_of(program(declarations, "a[u] := 1;"), [{"u": 0}], integers_wrap=True)
    assert found(record) == ("index out of range", "a[u]")


def test_a_structure_is_assigned_by_value() -> None:
    body = "b := a; a.n := 9; n := b.n;"
    assert after("VAR a, b : Pair; n : INT; END_VAR", body, "n", PAIR) == 2


def test_an_array_is_assigned_by_value() -> None:
    declarations = "VAR a : ARRAY [1..2] OF INT := [4, 5]; b : ARRAY [1..2] OF INT; END_VAR"
    assert after(declarations, "b := a; a[2] := 0;", "b[2]") == 5


def test_the_index_of_a_structure_that_is_assigned_is_read_once() -> None:
    """The copied structure holds the number by which it was found."""
    declarations = "VAR a : ARRAY [0..1] OF Pair := [(n := 1), (n := 0, on := TRUE)]; END_VAR"
    record = result(declarations, "a[a[0].n] := a[a[1].n];", PAIR)
    assert (record.values["a[1].n"], record.values["a[1].on"]) == (1, False)
    assert (record.values["a[0].n"], record.values["a[0].on"]) == (1, False)


def test_a_call_with_a_variable_index_runs_that_instance_alone() -> None:
    declarations = (
        "VAR_INPUT i : INT; END_VAR VAR t : ARRAY [0..1] OF TON := [2((PT := T#100ms))]; END_VAR"
    )
    tested = program(declarations, "t[i](IN := TRUE);")
    records = run_of(tested, [{"i": 0}, {"i": 0}, {"i": 1}, {"i": 1}])
    assert bits(records, "t[0].Q") == "0111"
    assert bits(records, "t[1].Q") == "0001"
    (record,) = run_of(program(declarations, "t[i](IN := TRUE);"), [{"i": 2}])
    assert found(record) == ("index out of range", "t[i]")


# --- parameters -------------------------------------------------------------------------------


def test_a_structure_goes_in_out_and_through_a_block() -> None:
    blocks = f"""{PAIR}
FUNCTION_BLOCK Step
VAR_INPUT given : Pair; END_VAR
VAR_OUTPUT taken : Pair; END_VAR
VAR_IN_OUT shared : Pair; END_VAR
taken := given; taken.n := taken.n + 1; shared.on := NOT shared.on;
END_FUNCTION_BLOCK"""
    declarations = "VAR a : Pair := (n := 5); b, c : Pair; s : Step; m : INT; END_VAR"
    body = "s(given := a, shared := b, taken => c); m := s.taken.n;"
    record = result(declarations, body, blocks)
    wanted = {"c.n": 6, "b.on": True, "m": 6, "a.n": 5}
    assert {name: record.values[name] for name in wanted} == wanted


def test_a_function_gives_a_structure() -> None:
    function = f"""{PAIR}
FUNCTION Twice : Pair
VAR_INPUT p : Pair; END_VAR
Twice.n := 2 * p.n;
END_FUNCTION"""
    declarations = "VAR a : Pair; l : ARRAY [0..1] OF Pair; END_VAR"
    record = result(declarations, "l[1] := Twice(a); a := Twice(l[1]);", function)
    assert (record.values["a.n"], record.values["l[1].n"]) == (8, 4)


def test_an_output_goes_to_an_element_a_member_or_a_bit() -> None:
    declarations = (
        "VAR_INPUT i : INT; x : BOOL; END_VAR VAR a : ARRAY [0..1] OF BOOL; p : Pair; w : WORD; "
        "e : R_TRIG; END_VAR"
    )
    body = "e(CLK := x, Q => a[i]); e(CLK := FALSE); e(CLK := x, Q => p.on, Q => w.4);"
    (record,) = run_of(program(declarations, body, PAIR), [{"i": 1, "x": True}])
    assert (record.values["a[1]"], record.values["p.on"], record.values["w"]) == (True, True, 16)


# --- subranges, enumerations, bits ------------------------------------------------------------


@pytest.mark.parametrize("wrap", [False, True])
def test_a_value_outside_of_a_subrange_is_a_finding_even_where_integers_wrap(wrap: bool) -> None:
    declarations = "VAR_INPUT x : INT; END_VAR VAR level : INT (0..10); END_VAR"
    tested = program(declarations, "level := x;")
    assert run_of(tested, [{"x": 10}], integers_wrap=wrap)[0].finding is None
    (record,) = run_of(tested, [{"x": 11}], integers_wrap=wrap)
    assert found(record) == ("overflow", "x")


def test_a_subrange_computes_in_its_base_type() -> None:
    declarations = "VAR level : SINT (0..10) := 10; n : INT; END_VAR"
    assert after(declarations, "n := level * 12;", "n") == 120


def test_a_subrange_without_value_begins_at_zero_only_if_that_is_its_first_limit() -> None:
    """The first limit (IEC 61131-3:2003, 2.3.3.2, from memory); some platforms begin at 0."""
    assert after("VAR a : INT (0..9); END_VAR", "", "a") == 0
    for limits in ("3..9", "-5..-2", "-1..1"):
        with pytest.raises(InputError) as caught:
            program(f"VAR a : INT ({limits}); END_VAR", "")
        assert caught.value.diagnostics[0].code == "initial-value-needed"


def test_enumerations_count_on_from_the_value_before() -> None:
    types = "TYPE Phase : INT (Idle := 3, Down, Up := 9) := Down; END_TYPE"
    assert after("VAR p : Phase; n : INT; END_VAR", "n := TO_INT(p);", "n", types) == 4
    assert after("VAR p : Phase; END_VAR", "p := Phase#Up;", "p", types) == 9
    assert after("VAR p : Phase; END_VAR", "p := Phase.Idle;", "p", types) == 3


@pytest.mark.parametrize(
    ("declaration", "expression", "value"),
    [
        ("x : BYTE := 16#81;", "x.0", True),
        ("x : BYTE := 16#81;", "x.1", False),
        ("x : BYTE := 16#81;", "x.%X7", True),
        ("x : INT := -2;", "x.0", False),
        ("x : INT := -2;", "x.15", True),
        ("x : LWORD := 16#8000_0000_0000_0000;", "x.63", True),
    ],
)
def test_a_bit_is_read(declaration: str, expression: str, value: bool) -> None:
    assert after(f"VAR {declaration} q : BOOL; END_VAR", f"q := {expression};", "q") is value


@pytest.mark.parametrize(
    ("declaration", "statement", "value"),
    [
        ("x : BYTE := 16#81;", "x.1 := TRUE;", 0x83),
        ("x : BYTE := 16#81;", "x.7 := FALSE;", 0x01),
        ("x : BYTE := 16#81;", "x.7 := TRUE;", 0x81),
        ("x : INT := 1;", "x.15 := TRUE;", -32767),
        ("x : UINT;", "x.15 := TRUE;", 32768),
    ],
)
def test_a_bit_is_written_and_leaves_the_others(
    declaration: str, statement: str, value: int
) -> None:
    assert after(f"VAR {declaration} END_VAR", statement, "x") == value


def test_the_value_for_a_bit_is_taken_before_the_whole_is_read() -> None:
    function = """FUNCTION Fill : BOOL
VAR_IN_OUT w : WORD; END_VAR
w := 16#00F0; Fill := TRUE;
END_FUNCTION"""
    assert after("VAR w : WORD; END_VAR", "w.0 := Fill(w);", "w", function) == 0xF1


def test_an_element_and_a_bit_are_set_and_reset() -> None:
    declarations = (
        "VAR_INPUT x : BOOL; i : INT; END_VAR "
        "VAR a : ARRAY [0..1] OF BOOL; w : WORD := 16#0010; END_VAR"
    )
    tested = program(declarations, "a[i] S= x; w.3 S= x; w.%X4 R= x;")
    records = run_of(tested, [{"x": False, "i": 1}, {"x": True, "i": 1}, {"x": False, "i": 1}])
    assert bits(records, "a[1]") == "011"
    assert seen(records, "w") == [0x10, 0x08, 0x08]


def test_too_many_choices_of_what_is_copied_are_refused() -> None:
    declarations = "VAR_INPUT i, j : INT; END_VAR VAR a, b : ARRAY [1..200] OF Pair; END_VAR"
    with pytest.raises(InputError) as caught:
        program(declarations, "a[i] := b[j];", PAIR)
    assert caught.value.diagnostics[0].code == "array-too-large"


@pytest.mark.parametrize("values", ["5, 6, 0", "[5, 6]", "5, 6", "[5, 6, rest(0)]"])
def test_values_of_an_array_stand_without_brackets_too_and_are_repeated_by_constants(
    values: str,
) -> None:
    declarations = f"VAR CONSTANT rest : INT := 1; END_VAR VAR a : ARRAY [1..3] OF INT := {values};"
    tested = program(f"{declarations} END_VAR", "")
    assert [variable.initial for variable in tested.variables] == [5, 6, 0]


def test_one_repetition_stands_without_brackets() -> None:
    tested = program("VAR a : ARRAY [1..3] OF INT := 2(4); END_VAR", "")
    assert [variable.initial for variable in tested.variables] == [4, 4, 0]


def test_a_structure_that_extends_another_has_its_members_first() -> None:
    types = f"{PAIR} TYPE Triple EXTENDS Pair : STRUCT m : INT := 3; END_STRUCT END_TYPE"
    tested = program("VAR t : Triple := (n := 4); END_VAR", "", types)
    assert [(v.name, v.initial) for v in tested.variables] == [
        ("t.on", False),
        ("t.n", 4),
        ("t.m", 3),
    ]
