"""Variables that stand outside of the block: global ones and those at addresses; and what of the
program is left out of the model."""

from __future__ import annotations

import pytest
from twohand.program import Program
from twohand.text.diagnostic import Diagnostic, InputError
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.meaning.typed_programs import found, program, run_of, seen


def loaded(*texts: tuple[str, str], block: str | None = None) -> Program:
    return load_program([SourceText(path, text) for path, text in texts], block)


def names(variables: object) -> list[str]:
    assert isinstance(variables, tuple | frozenset)
    return sorted(variable.name for variable in variables)


def left_out(tested: Program) -> list[str]:
    return [note.what for note in tested.left_out]


def code_of(*texts: tuple[str, str], block: str | None = None) -> str:
    with pytest.raises(InputError) as caught:
        loaded(*texts, block=block)
    return caught.value.diagnostics[0].code


GLOBALS = ("lists/Signals.st", "VAR_GLOBAL shut : BOOL; count : INT := 4; END_VAR")
READER = """FUNCTION_BLOCK Reader
VAR_OUTPUT q : BOOL; END_VAR
q := shut AND Signals.count > 2;
END_FUNCTION_BLOCK"""
COUNTER = """FUNCTION_BLOCK Counter
VAR_OUTPUT n : INT; END_VAR
count := count + 1; n := count;
END_FUNCTION_BLOCK"""
OTHER = "PROGRAM Other Signals.count := 0; END_PROGRAM"


# --- global variables -------------------------------------------------------------------------


def test_a_global_variable_that_the_block_never_writes_is_an_input() -> None:
    tested = loaded(GLOBALS, ("r.st", READER))
    assert names(tested.inputs) == ["count", "shut"]
    assert tested.sampled == tested.inputs
    records = run_of(tested, [{"shut": True, "count": 3}, {"shut": True, "count": 2}])
    assert seen(records, "q") == [True, False]


def test_a_global_variable_that_only_the_block_writes_keeps_its_value_and_that_is_noted() -> None:
    tested = loaded(GLOBALS, ("c.st", COUNTER))
    assert names(tested.inputs) == []
    assert seen(run_of(tested, [{}, {}]), "n") == [5, 6]
    assert left_out(tested) == ["changes of 'count' by anything but the block"]


def test_a_global_variable_that_others_write_too_is_anything_at_the_beginning_of_a_scan() -> None:
    tested = loaded(GLOBALS, ("c.st", COUNTER), ("o.st", OTHER), block="Counter")
    assert names(tested.inputs) == ["count"]
    assert names(tested.changed_inputs) == ["count"]
    assert tested.sampled == ()
    records = run_of(tested, [{"count": 7}, {"count": 1}])
    assert seen(records, "n") == [8, 2]
    assert seen(records, "count") == [8, 2]


@pytest.mark.parametrize(
    "other",
    [
        "PROGRAM Other VAR t : TON; END_VAR t(ET => count); END_PROGRAM",
        "PROGRAM Other VAR s : Part; END_VAR s(x := count); END_PROGRAM "
        "FUNCTION_BLOCK Part VAR_IN_OUT x : INT; END_VAR x := 1; END_FUNCTION_BLOCK",
        "PROGRAM Other FOR count := 1 TO 2 DO ; END_FOR END_PROGRAM",
        "PROGRAM Other IF TRUE THEN Signals.count := 1; END_IF END_PROGRAM",
    ],
)
def test_whatever_may_write_a_global_variable_counts_as_writing_it(other: str) -> None:
    tested = loaded(GLOBALS, ("c.st", COUNTER), ("o.st", other), block="Counter")
    assert names(tested.changed_inputs) == ["count"]


@pytest.mark.parametrize(
    ("others", "several"),
    [
        ("PROGRAM P VAR c : Counter; END_VAR c(); END_PROGRAM", False),
        ("PROGRAM P VAR c, d : Counter; END_VAR c(); d(); END_PROGRAM", True),
        ("PROGRAM P VAR c : ARRAY [0..1] OF Counter; END_VAR c[0](); END_PROGRAM", True),
        (
            "PROGRAM P VAR c : Counter; END_VAR c(); END_PROGRAM "
            "PROGRAM Q VAR c : Counter; END_VAR c(); END_PROGRAM",
            True,
        ),
        ("FUNCTION_BLOCK F VAR c : Counter; END_VAR c(); END_FUNCTION_BLOCK", True),
        ("VAR_GLOBAL c : Counter; END_VAR PROGRAM P c(); END_PROGRAM", True),
        ("TYPE S : STRUCT c : Counter; END_STRUCT END_TYPE", True),
        ("FUNCTION_BLOCK F EXTENDS Counter END_FUNCTION_BLOCK", True),
    ],
)
def test_a_second_instance_of_the_block_changes_its_global_variables_too(
    others: str, several: bool
) -> None:
    tested = loaded(GLOBALS, ("c.st", COUNTER), ("o.st", others), block="Counter")
    assert (names(tested.changed_inputs) == ["count"]) is several


def test_an_inner_block_that_others_use_too_changes_its_global_variables() -> None:
    text = """FUNCTION_BLOCK Top VAR c : Counter; END_VAR c(); END_FUNCTION_BLOCK
PROGRAM P VAR c : Counter; END_VAR c(); END_PROGRAM"""
    tested = loaded(GLOBALS, ("c.st", COUNTER), ("t.st", text), block="Top")
    assert names(tested.changed_inputs) == ["count"]


def test_a_variable_of_the_block_goes_before_a_global_one_of_its_name() -> None:
    own = "FUNCTION_BLOCK B VAR count : INT; END_VAR count := 1; Signals.count := 2; "
    tested = loaded(GLOBALS, ("b.st", f"{own}END_FUNCTION_BLOCK"))
    assert names(tested.variables) == ["Signals.count", "count"]
    (record,) = run_of(tested, [{}])
    assert (record.values["count"], record.values["Signals.count"]) == (1, 2)


def test_inner_blocks_and_functions_see_the_same_global_variable() -> None:
    text = """FUNCTION_BLOCK Inner count := count * 2; END_FUNCTION_BLOCK
FUNCTION Half : INT Half := count / 2; END_FUNCTION
FUNCTION_BLOCK Outer VAR i : Inner; n : INT; END_VAR
count := count + 1; i(); n := Half(); END_FUNCTION_BLOCK"""
    records = run_of(loaded(GLOBALS, ("o.st", text)), [{}])
    assert (records[0].values["count"], records[0].values["n"]) == (10, 5)


def test_two_lists_may_have_one_name_and_then_it_is_written_with_its_list() -> None:
    lists = (("A.st", "VAR_GLOBAL x : BOOL; END_VAR"), ("B.st", "VAR_GLOBAL x : BOOL; END_VAR"))
    block = "FUNCTION_BLOCK F VAR q : BOOL; END_VAR q := {}; END_FUNCTION_BLOCK"
    assert code_of(*lists, ("f.st", block.format("x"))) == "ambiguous-name"
    tested = loaded(*lists, ("f.st", block.format("A.x AND NOT B.x")))
    assert len(tested.inputs) == 2
    assert tested.variable("a.X") is not tested.variable("B.x") is not None


def test_global_constants_give_the_limits_of_arrays_and_values() -> None:
    text = """VAR_GLOBAL CONSTANT last : INT := first + 1; first : INT := 1; END_VAR
TYPE Row : ARRAY [first..last] OF INT := [2(last)]; END_TYPE
FUNCTION_BLOCK B VAR r : Row; END_VAR END_FUNCTION_BLOCK"""
    tested = loaded(("b.st", text))
    assert [(v.name, v.initial) for v in tested.variables] == [("r[1]", 2), ("r[2]", 2)]


def test_a_constant_that_depends_on_itself_is_refused() -> None:
    text = "VAR_GLOBAL CONSTANT a : INT := b; b : INT := a; END_VAR "
    block = "FUNCTION_BLOCK B VAR n : INT; END_VAR n := a; END_FUNCTION_BLOCK"
    assert code_of(("b.st", text + block)) == "not-constant"


def test_an_external_variable_needs_the_type_of_the_global_one() -> None:
    block = "FUNCTION_BLOCK B VAR_EXTERNAL count : DINT; END_VAR END_FUNCTION_BLOCK"
    assert code_of(GLOBALS, ("b.st", block)) == "type-mismatch"


def test_a_global_instance_is_called_as_one_of_the_block() -> None:
    text = """VAR_GLOBAL t : TON := (PT := T#100ms); END_VAR
FUNCTION_BLOCK B VAR_INPUT x : BOOL; END_VAR VAR q : BOOL; END_VAR
t(IN := x); q := t.Q; END_FUNCTION_BLOCK"""
    records = run_of(loaded(("b.st", text)), [{"x": True}] * 2)
    assert seen(records, "q") == [False, True]


def test_a_global_instance_that_another_unit_calls_too_is_refused() -> None:
    text = """VAR_GLOBAL t : TON; END_VAR
FUNCTION_BLOCK B VAR q : BOOL; END_VAR q := t.Q; END_FUNCTION_BLOCK
PROGRAM P t(IN := TRUE, PT := T#1s); END_PROGRAM"""
    assert code_of(("b.st", text), block="B") == "shared-instance"


# --- addresses --------------------------------------------------------------------------------


def test_addresses_make_inputs_outputs_and_memory() -> None:
    text = """PROGRAM P
VAR a AT %IX0.0 : BOOL; q AT %QX0.0 : BOOL; m AT %MW2 : INT; r AT %MW4 : INT; END_VAR
q := a; m := m + r;
END_PROGRAM"""
    tested = loaded(("p.st", text))
    assert names(tested.inputs) == ["a", "r"]
    assert names(tested.outputs) == ["q"]
    assert "changes of 'm' at %MW2 by anything but the block" in left_out(tested)


def test_an_input_at_an_address_is_not_assigned() -> None:
    text = "PROGRAM P VAR a AT %I* : BOOL; END_VAR a := TRUE; END_PROGRAM"
    assert code_of(("p.st", text)) == "not-assignable"


def test_an_output_address_that_the_block_does_not_write_is_an_input() -> None:
    text = "PROGRAM P VAR q AT %QX0.0 : BOOL; n : BOOL; END_VAR n := q; END_PROGRAM"
    assert names(loaded(("p.st", text)).inputs) == ["q"]


def test_an_address_in_an_inner_block_is_an_input_of_the_whole() -> None:
    text = """FUNCTION_BLOCK Inner VAR a AT %I* : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR
q := a; END_FUNCTION_BLOCK
PROGRAM P VAR i, j : Inner; END_VAR i(); j(); END_PROGRAM"""
    assert names(loaded(("p.st", text), block="P").inputs) == ["i.a", "j.a"]


@pytest.mark.parametrize(
    ("first", "second", "overlap"),
    [
        ("%IX0.0 : BOOL", "%IX0.1 : BOOL", False),
        ("%IX0.0 : BOOL", "%I0.0 : BOOL", True),
        ("%IX0.0 : BOOL", "%QX0.0 : BOOL", False),
        ("%IW0 : WORD", "%IX0.7 : BOOL", True),
        ("%IW0 : WORD", "%IX2.0 : BOOL", False),
        ("%IW1 : WORD", "%IX2.0 : BOOL", True),
        ("%IB3 : BYTE", "%IB4 : BYTE", False),
        ("%ID0 : DWORD", "%IW1 : WORD", True),
        ("%I* : BOOL", "%IX0.0 : BOOL", False),
        ("%IX1.0.3 : BOOL", "%IX0.3 : BOOL", False),
        ("%IW0 : ARRAY [0..3] OF WORD", "%IW3 : WORD", True),
    ],
)
def test_addresses_overlap_if_they_may_on_some_platform(
    first: str, second: str, overlap: bool
) -> None:
    text = f"PROGRAM P VAR a AT {first}; b AT {second}; END_VAR END_PROGRAM"
    if overlap:
        assert code_of(("p.st", text)) == "overlapping-addresses"
    else:
        assert len(loaded(("p.st", text)).variables) >= 2


@pytest.mark.parametrize(
    ("first", "second", "apart"),
    [
        ("%IW0 : INT", "%IW1 : INT", True),
        ("%IB1 : BYTE", "%IW1 : INT", True),
        ("%IW2 : ARRAY [0..1] OF INT", "%IW4 : INT", True),
        ("%IW2 : ARRAY [0..1] OF INT", "%IW3 : INT", False),
        ("%IW0 : INT", "%IW0 : INT", False),
        ("%IW1 : WORD", "%IX1.0 : BOOL", False),
        ("%QW0 : INT", "%QW1 : INT", False),
        ("%MW0 : INT", "%MW1 : INT", False),
    ],
)
def test_inputs_that_overlap_where_bytes_are_counted_only_are_read_with_a_warning(
    first: str, second: str, apart: bool
) -> None:
    """Common practice: some platforms count bytes in %IW1, others words."""
    text = f"PROGRAM P VAR a AT {first}; b AT {second}; END_VAR END_PROGRAM"
    notes: list[Diagnostic] = []
    if not apart:
        assert code_of(("p.st", text)) == "overlapping-addresses"
        return
    program = load_program([SourceText("p.st", text)], notes=notes)
    assert [note.code for note in notes] == ["addresses-counted-in-words"]
    assert {v.name.partition("[")[0] for v in program.inputs} == {"a", "b"}


# --- what is left out -------------------------------------------------------------------------


def test_what_only_reals_and_texts_depend_on_is_left_out_and_noted() -> None:
    declarations = "VAR r : REAL; s : STRING := 'a'; END_VAR VAR_OUTPUT q : BOOL; END_VAR"
    tested = program(declarations, "r := r * 2.0 + SQRT(1.0); s := CONCAT(s, 'b'); q := TRUE;")
    assert left_out(tested) == ["REAL variable 'r'", "STRING variable 's'"]
    assert [variable.name for variable in tested.variables] == ["q"]
    assert len(tested.routine.body) == 1


def test_a_member_without_model_leaves_the_others() -> None:
    types = "TYPE Axis : STRUCT speed : REAL; on : BOOL; END_STRUCT; END_TYPE"
    tested = program("VAR a : ARRAY [1..2] OF Axis; END_VAR", "a[1] := a[2];", types)
    assert left_out(tested) == ["REAL variable 'a[].speed'"]
    assert names(tested.variables) == ["a[1].on", "a[2].on"]


def test_what_may_fail_on_the_way_to_a_real_is_still_a_finding() -> None:
    declarations = "VAR_INPUT d : INT; END_VAR VAR r : REAL; END_VAR"
    tested = program(declarations, "r := INT_TO_REAL(10 / d) * 0.5;")
    assert run_of(tested, [{"d": 2}])[0].finding is None
    assert found(run_of(tested, [{"d": 0}])[0]) == ("division by zero", "10 / d")


def test_a_call_on_the_way_to_a_real_is_still_made() -> None:
    function = "FUNCTION Step : INT VAR_IN_OUT n : INT; END_VAR n := n + 1; END_FUNCTION"
    tested = program("VAR r : REAL; n : INT; END_VAR", "r := 1.5 * Step(n);", function)
    assert seen(run_of(tested, [{}, {}]), "n") == [1, 2]


def test_a_condition_on_a_real_on_which_only_reals_depend_is_left_out() -> None:
    body = """IF q THEN n := n + 1;
ELSIF r > 1.0 AND q THEN r := 1.0;
ELSIF r < 0.0 OR s = 'a' THEN r := 0.0; s := 'b';
END_IF
IF REAL_TO_INT(r) > 3 THEN r := 3.0; END_IF"""
    declarations = "VAR_INPUT q : BOOL; END_VAR VAR r : REAL; s : STRING; n : INT; END_VAR"
    records = run_of(program(declarations, body), [{"q": True}, {"q": False}, {"q": True}])
    assert seen(records, "n") == [1, 1, 2]


def test_a_function_of_reals_runs_for_what_else_it_does() -> None:
    function = """FUNCTION Scale : REAL
VAR_INPUT x : REAL; END_VAR VAR_IN_OUT calls : INT; END_VAR
calls := calls + 1; Scale := x * 2.0;
END_FUNCTION"""
    tested = program("VAR r : REAL; n : INT; END_VAR", "r := Scale(x := r, calls := n);", function)
    assert seen(run_of(tested, [{}, {}]), "n") == [1, 2]


@pytest.mark.parametrize(
    ("body", "code"),
    [
        ("q := s = 'a';", "unsupported-string"),
        ("n := FIND(s, 'a');", "unsupported-string"),
        ("n := r;", "unsupported-real"),
        ("t(IN := q, PT := REAL_TO_TIME(r));", "unsupported-real"),
        ("n := MAX(n, r);", "unsupported-real"),
        ("WHILE r > 1.0 DO r := r - 1.0; END_WHILE", "real-in-loop"),
        ("n := REAL_TO_TIME(r) > T#1s;", "unsupported-real"),
        ("FOR n := 1 TO 3 BY r DO ; END_FOR", "unsupported-real"),
    ],
)
def test_what_would_make_a_modelled_value_of_them_is_refused(body: str, code: str) -> None:
    declarations = (
        "VAR r : REAL; s : STRING; q : BOOL; n : INT; t : TON; a : ARRAY [0..1] OF BOOL; END_VAR"
    )
    with pytest.raises(InputError) as caught:
        program(declarations, body)
    assert caught.value.diagnostics[0].code == code


def test_an_index_of_an_array_without_model_is_still_checked() -> None:
    declarations = "VAR_INPUT i : INT; END_VAR VAR r : ARRAY [0..3] OF REAL; x : REAL; END_VAR"
    for body in ("r[i] := 1.0;", "x := r[i] * 2.0;"):
        tested = program(declarations, body)
        assert run_of(tested, [{"i": 3}])[0].finding is None
        assert found(run_of(tested, [{"i": 4}])[0]) == ("index out of range", "r[i]")


def test_a_call_that_changes_the_index_of_its_target_is_refused() -> None:
    function = "FUNCTION Next : INT VAR_IN_OUT n : INT; END_VAR n := n + 1; Next := n; END_FUNCTION"
    declarations = "VAR a : ARRAY [0..9] OF INT; n, m : INT; END_VAR"
    for body in ("a[n] := Next(n);", "a[Next(n)] := 1;"):
        with pytest.raises(InputError) as caught:
            program(declarations, body, function)
        assert caught.value.diagnostics[0].code == "effect-in-index"
    assert program(declarations, "a[m] := Next(n);", function)


def test_a_global_variable_with_the_name_of_a_value_is_ambiguous() -> None:
    text = """VAR_GLOBAL Run : BOOL; END_VAR TYPE Phase : (Idle, Run); END_TYPE
FUNCTION_BLOCK B VAR q : BOOL; END_VAR q := Run; END_FUNCTION_BLOCK"""
    assert code_of(("b.st", text)) == "ambiguous-name"


def test_an_output_into_an_element_whose_index_the_call_changes_is_refused() -> None:
    block = """FUNCTION_BLOCK Step VAR_IN_OUT n : INT; END_VAR VAR_OUTPUT q : BOOL; END_VAR
n := n + 1; q := TRUE; END_FUNCTION_BLOCK"""
    declarations = "VAR a : ARRAY [0..9] OF BOOL; n, m : INT; s : Step; END_VAR"
    with pytest.raises(InputError) as caught:
        program(declarations, "s(n := n, q => a[n]);", block)
    assert caught.value.diagnostics[0].code == "effect-in-index"
    assert program(declarations, "s(n := n, q => a[m]);", block)


def test_a_direct_address_in_a_body_is_a_variable_of_its_size() -> None:
    text = """PROGRAM P VAR a AT %IX0.0 : BOOL; n : BOOL; END_VAR
%Q0.0 := %I0.0 AND a AND %IW2.1 = WORD#3; n := %QX0.0; %MX1.0 := TRUE;
END_PROGRAM"""
    tested = loaded(("p.st", text))
    assert names(tested.inputs) == ["%IW2.1", "a"]
    assert names(tested.outputs) == ["%QX0.0"]
    (record,) = run_of(tested, [{"a": True, "%IW2.1": 3}])
    assert record.values["n"] is True
    other = "PROGRAM Other VAR q AT %Q0.0 : BOOL; END_VAR q := FALSE; END_PROGRAM"
    shared = loaded(("p.st", text), ("o.st", other), block="P")
    assert names(shared.changed_inputs) == ["%QX0.0"]


def test_two_instances_with_one_address_overlap() -> None:
    text = """FUNCTION_BLOCK Inner VAR m AT %MX0.0 : BOOL; END_VAR m := NOT m; END_FUNCTION_BLOCK
PROGRAM P VAR i{} : Inner; END_VAR i(); END_PROGRAM"""
    assert loaded(("p.st", text.format("")), block="P")
    assert code_of(("p.st", text.format(", j")), block="P") == "overlapping-addresses"
