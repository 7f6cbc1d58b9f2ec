"""What a scan of structured text comes to, worked out by hand from IEC 61131-3, in both rooms."""

from __future__ import annotations

from dataclasses import replace

import pytest
from twohand.program.types import Value
from twohand.scan.clocking import Clocking
from twohand.text.diagnostic import InputError

from tests.support.meaning.both_rooms import both_rooms
from tests.support.meaning.typed_programs import PLAIN, program

SEVEN = Clocking(1_000_000, 7, 7)


def once(declarations: str, body: str, names: str, before: str = "", **choices: bool) -> object:
    """The names' values after one scan without inputs."""
    tested = program(declarations, body, before)
    (only,) = both_rooms(tested, [{}], names.split(), replace(PLAIN, **choices))
    return only


# --- expressions


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        ("-2 ** 2", 4),  # Ed. 2, Table 55: negation before **
        ("2 ** 3 ** 2", 64),  # equal precedence: from left to right
        ("2 + 3 * 4 MOD 5", 4),
        ("10 - 2 - 3", 5),
        ("100 / 7 * 7", 98),
        ("(-7) / three", -2),  # Table 24: truncates
        ("7 / (-three)", -2),
        ("(-7) MOD three", -1),
        ("7 MOD (-three)", 1),
        ("LIMIT(5, three, 2)", 2),  # MIN(MAX(IN, MN), MX)
        ("MUX(three - 1, 10, 20, 30)", 30),
        ("MUX(three, 10, 20, 30)", "index out of range"),
        ("MUX(three - 4, 10, 20, 30)", "index out of range"),
        ("three / (three - 3)", "division by zero"),
        ("ABS(-32767 - 1 + three - 3)", "overflow"),
        ("BOOL_TO_INT(TRUE OR TRUE XOR TRUE)", 1),
        ("BOOL_TO_INT(TRUE = 1 < three)", 1),
        ("BYTE_TO_INT(SHL(BYTE#16#81, three - 2))", 2),
        ("BYTE_TO_INT(SHL(BYTE#16#81, three + 5))", 0),
        ("BYTE_TO_INT(ROR(BYTE#16#81, three + 6))", 192),
        ("BYTE_TO_INT(ROL(BYTE#16#81, three - 4))", "index out of range"),
        ("WORD_TO_INT(INT_TO_WORD(-three))", -3),
    ],
)
def test_values_of_expressions(value: str, expected: Value | str) -> None:
    outcome = once("VAR x : INT; three : INT := 3; END_VAR", f"x := {value};", "x")
    assert outcome == (expected if isinstance(expected, str) else [expected])


def test_unsigned_numbers_do_not_go_below_zero() -> None:
    declarations = "VAR a : UINT := 3; d : UINT; small : BOOL; END_VAR"
    body = "d := a - 5; small := a - 5 < 10;"
    assert once(declarations, body, "d small") == "overflow"
    assert once(declarations, body, "d small", integers_wrap=True) == [65534, False]


def test_a_product_is_formed_in_the_type_of_its_operands() -> None:
    declarations = "VAR a : INT := 200; b : USINT := 255; wide : DINT; END_VAR"
    assert once(declarations, "wide := a * b;", "wide") == "overflow"
    assert once(declarations, "wide := INT_TO_DINT(a) * b;", "wide") == [51000]


def test_durations_are_whole_numbers_of_units_and_truncate_toward_zero() -> None:
    tested = program(
        "VAR_INPUT x : BOOL; END_VAR VAR t : TON; twice, third, least : TIME; n : INT; END_VAR",
        "t(IN := x, PT := T#100ms); twice := t.ET * 2; third := (T#10ms - t.ET) / 3;"
        "least := MIN(T#20ms, t.ET, least - t.ET); n := TIME_TO_INT(third);",
    )
    seen = both_rooms(tested, [{"x": True}] * 4, ("twice", "third", "least", "n"), clocking=SEVEN)
    assert seen == [[0, 3, 0, 3], [14, 1, -7, 1], [28, -1, -21, -1], [42, -3, -42, -3]]


def test_whole_milliseconds_of_a_finer_duration() -> None:
    tested = program(
        "VAR_INPUT x : BOOL; END_VAR VAR t : TON; third : TIME; n : INT; END_VAR",
        "t(IN := x, PT := T#100ms); third := (T#5ms - t.ET) / 3; n := TIME_TO_INT(third);",
    )
    fine = Clocking(100_000, 25, 25)
    seen = both_rooms(tested, [{"x": True}] * 4, ("third", "n", "t.ET"), clocking=fine)
    assert seen == [[16, 1, 0], [8, 0, 25], [0, 0, 50], [-8, 0, 75]]


# --- statements


@pytest.mark.parametrize(
    ("key", "arm"), [(1, 1), (3, 1), (5, 1), (6, 2), (9, 2), (-3, 3), (-4, 4), (0, 4), (10, 4)]
)
def test_the_first_arm_of_a_case_that_has_the_value(key: int, arm: int) -> None:
    body = "CASE k OF 1..5: n := 1; 3, 4..9: n := 2; -3..-1: n := 3; ELSE n := 4; END_CASE"
    assert once(f"VAR k : INT := {key}; n : INT; END_VAR", body, "n") == [arm]


@pytest.mark.parametrize(
    ("loop", "values", "past_end"),
    [
        ("FOR i := 0 TO 7 BY 3 DO n := n * 10 + i; END_FOR", [6, 36], [9, 36]),
        ("FOR i := 3 TO 1 BY -1 DO n := n * 10 + i; END_FOR", [1, 321], [0, 321]),
        ("FOR i := 5 TO 1 DO n := n + 1; END_FOR", [5, 0], [5, 0]),
        ("FOR i := 3 TO 0 BY -1 DO n := n + 1; END_FOR", [0, 4], "overflow"),
        ("FOR i := 254 TO 255 DO n := n + 1; END_FOR", [255, 2], "overflow"),
    ],
)
def test_what_a_for_loop_leaves_in_its_variable(
    loop: str, values: list[Value], past_end: list[Value] | str
) -> None:
    declarations = "VAR i : USINT; n : INT; END_VAR"
    assert once(declarations, loop, "i n") == values
    assert once(declarations, loop, "i n", loop_leaves_past_end=True) == past_end


def test_a_for_variable_that_wraps_before_its_last_value_loops_on() -> None:
    declarations, loop = "VAR i : USINT; n : INT; END_VAR", "FOR i := 254 TO 255 DO n := 1; END_FOR"
    wrap = {"integers_wrap": True}
    assert once(declarations, loop, "i n", **wrap) == [255, 1]
    ends = once(declarations, loop, "i n", loop_leaves_past_end=True, **wrap)
    assert ends == "loop beyond its bound"


def test_exit_and_continue_concern_the_innermost_loop() -> None:
    body = """
    FOR i := 0 TO 2 DO
      FOR j := 0 TO 5 DO
        IF j = i THEN CONTINUE; END_IF
        IF j = 3 THEN EXIT; END_IF
        n := n + 1;
      END_FOR
      IF i = 1 THEN EXIT; END_IF
      n := n + 100;
    END_FOR"""
    assert once("VAR i, j, n : INT; END_VAR", body, "i j n") == [1, 3, 104]


def test_return_leaves_its_own_body_from_any_depth() -> None:
    before = """
    FUNCTION_BLOCK Inner
    VAR_INPUT stop : INT; END_VAR
    VAR_OUTPUT n : INT; END_VAR
    VAR i : INT; END_VAR
    n := 0;
    FOR i := 0 TO 5 DO CASE i OF 2..9: IF i = stop THEN RETURN; END_IF ELSE n := n + 1; END_CASE
    END_FOR
    n := 99;
    END_FUNCTION_BLOCK"""
    declarations = "VAR f, g : Inner; done : BOOL; END_VAR"
    seen = once(declarations, "f(stop := 3); g(stop := 9); done := TRUE;", "f.n g.n done", before)
    assert seen == [2, 99, True]


# --- calls

INNER = """
FUNCTION_BLOCK Inner
VAR_INPUT a : BOOL; n : INT := 7; END_VAR
VAR_OUTPUT q : BOOL := TRUE; m : INT := 3; END_VAR
VAR_IN_OUT io : INT; END_VAR
VAR k : INT := 2; END_VAR
VAR_TEMP scratch : INT := 5; END_VAR
scratch := scratch + 1;
k := k + 1;
IF a THEN io := io + n; m := scratch; RETURN; END_IF
q := NOT q; m := k;
END_FUNCTION_BLOCK
"""


def test_an_instance_called_twice_keeps_inputs_and_state_but_no_temporaries() -> None:
    tested = program(
        "VAR_INPUT x : BOOL; END_VAR VAR f : Inner; v, w, m : INT; before, off : BOOL; END_VAR",
        "before := f.q; f(a := x, io := v); f(io := w, a := NOT x, n := 1, m => m, NOT q => off);",
        INNER,
    )
    names = ("before", "v", "w", "m", "off", "f.k")
    seen = both_rooms(tested, [{"x": True}, {"x": False}], names)
    assert seen == [[True, 7, 0, 4, True, 4], [False, 7, 1, 6, False, 6]]


def test_an_input_assigned_from_outside_counts_at_the_next_call() -> None:
    body = "f.n := 4; f.a := TRUE; f(io := v); f.a := FALSE; v := v * 10; f(io := v);"
    assert once("VAR f : Inner; v : INT; END_VAR", body, "v f.m f.k", INNER) == [40, 4, 4]


def test_initial_values_of_pins() -> None:
    tested = program(
        "VAR f : Inner := (n := 9, a := TRUE); t : TON := (PT := T#20ms, IN := TRUE); v : INT;"
        "END_VAR",
        "f(io := v); t();",
        INNER,
    )
    seen = both_rooms(tested, [{}] * 3, ("v", "t.Q", "t.ET"))
    assert seen == [[9, False, 0], [18, False, 10], [27, True, 20]]


def test_in_out_parameters_that_are_one_variable() -> None:
    before = """
    FUNCTION_BLOCK Pair
    VAR_IN_OUT p, q : INT; END_VAR
    VAR seen : INT; END_VAR
    p := p + 1; q := q * 10; seen := p;
    END_FUNCTION_BLOCK"""
    seen = once("VAR s : Pair; v : INT := 1; END_VAR", "s(p := v, q := v);", "v s.seen", before)
    assert seen == [20, 20]


def test_order_of_operands_arguments_and_outputs_of_functions() -> None:
    before = """
    FUNCTION Two : INT
    VAR_IN_OUT p : INT; END_VAR
    VAR_INPUT x : INT; END_VAR
    VAR_OUTPUT o : INT; END_VAR
    VAR l : INT := 3; END_VAR
    l := l + 1; p := p + x; o := p; Two := Two + l + x;
    END_FUNCTION"""
    declarations = "VAR a, b, c, d, e : INT; END_VAR"
    body = """
    a := 1;
    b := a + Two(p := a, x := a, o => c) * 100 + a;
    d := Two(p := e, x := Two(p := e, x := 1));
    a := Two(p := a, x := 2, o => a);"""
    assert once(declarations, body, "a b c d e", before) == [6, 503, 2, 9, 6]


def test_an_instance_named_like_a_reading_is_not_the_reading() -> None:
    before = """
    FUNCTION_BLOCK Flip
    VAR_OUTPUT edge_call_counts : BOOL; END_VAR
    edge_call_counts := NOT edge_call_counts;
    END_FUNCTION_BLOCK"""
    tested = program(
        "VAR reading : Flip; t : TON; END_VAR", "reading(); t(IN := TRUE, PT := T#10ms);", before
    )
    seen = both_rooms(tested, [{}] * 3, ("t.Q", "reading.edge_call_counts"))
    assert seen == [[False, True], [True, False], [True, True]]


# --- timers (Ed. 2, Table 38)


@pytest.mark.parametrize(("latched", "q"), [(False, "01011"), (True, "00011")])
def test_a_preset_that_changes_while_the_timer_runs(latched: bool, q: str) -> None:
    tested = program("VAR_INPUT p : TIME; END_VAR VAR t : TON; END_VAR", "t(IN := TRUE, PT := p);")
    rows = [{"p": p} for p in (30, 10, 50, -5, 40)]
    seen = both_rooms(tested, rows, ("t.Q",), replace(PLAIN, preset_latched=latched))
    assert seen == [[c == "1"] for c in q]


@pytest.mark.parametrize(
    ("at_once", "scans"), [(False, "000 011 110 010"), (True, "000 110 110 000")]
)
def test_a_preset_of_zero_in_each_timer(at_once: bool, scans: str) -> None:
    tested = program(
        "VAR_INPUT x : BOOL; END_VAR VAR t : TON; u : TOF; p : TP; END_VAR",
        "t(IN := x); u(IN := x); p(IN := x);",
    )
    readings = replace(PLAIN, zero_preset_at_once=at_once)
    seen = both_rooms(tested, [{"x": c == "1"} for c in "0110"], ("t.Q", "u.Q", "p.Q"), readings)
    assert seen == [[c == "1" for c in scan] for scan in scans.split()]


# --- what platforms do differently is refused


@pytest.mark.parametrize(
    ("code", "body"),
    [
        ("effect-in-operand", "q := x AND Set(target := n);"),
        ("effect-in-operand", "q := x OR NOT (Set(target := n));"),
        ("effect-in-operand", "q := x & Pure(a := 1, o => n) > 0;"),
        (None, "q := x AND_THEN Pure(a := 1) > 0;"),
        (None, "q := x AND_THEN Set(target := n);"),
        (None, "q := x OR_ELSE Pure(a := 1, o => n) > 0;"),
        ("loop-bound-changed", "FOR i := 0 TO n DO n := 3; END_FOR"),
        ("loop-bound-changed", "FOR i := 0 TO c.CV DO c(CU := x); END_FOR"),
        ("loop-bound-changed", "FOR i := 0 TO n DO q := Set(target := n); END_FOR"),
        ("loop-variable-changed", "FOR i := 0 TO 3 DO q := Set(target := i); END_FOR"),
        ("loop-variable-changed", "FOR c.PV := 0 TO 3 DO c(PV := 2); END_FOR"),
        (None, "q := Set(target := n) AND x;"),
        (None, "q := x XOR Set(target := n);"),
        (None, "q := x AND Pure(a := Pure(a := n)) > 0;"),
        (None, "FOR i := 0 TO n DO q := Pure(a := n) > 0; END_FOR"),
    ],
)
def test_effects_that_platforms_may_skip_or_see_otherwise(code: str | None, body: str) -> None:
    before = """
    FUNCTION Set : BOOL
    VAR_IN_OUT target : INT; END_VAR
    target := 5;
    END_FUNCTION
    FUNCTION Pure : INT
    VAR_INPUT a : INT; END_VAR
    VAR_OUTPUT o : INT; END_VAR
    o := a; Pure := o + 1;
    END_FUNCTION"""
    declarations = "VAR_INPUT x : BOOL; END_VAR VAR n, i : INT; q : BOOL; c : CTU; END_VAR"
    if code is None:
        program(declarations, body, before)
        return
    with pytest.raises(InputError) as raised:
        program(declarations, body, before)
    assert [problem.code for problem in raised.value.diagnostics] == [code]
