"""Statements of IEC 61131-3 run in order: branches, loops, calls, and the first finding."""

from __future__ import annotations

import pytest

from tests.support.meaning.typed_programs import found, program, result, run_of, seen


def test_case_runs_the_first_arm_that_has_the_value() -> None:
    tested = program(
        "VAR n, r : INT; END_VAR",
        """r := 0;
        CASE n OF 0, 5: r := 1; 1..3: r := 2; 2..4: r := 3; ELSE r := 4; END_CASE;
        n := n + 1;""",
    )
    assert seen(run_of(tested, [{}] * 7), "r") == [1, 2, 2, 2, 3, 1, 4]


def test_case_without_an_arm_does_nothing() -> None:
    assert result("VAR n : INT := 9; END_VAR", "CASE n OF 1: n := 0; END_CASE;").values["n"] == 9


@pytest.mark.parametrize(
    ("header", "iterations", "past", "last"),
    [
        ("0 TO 5", 6, 6, 5),
        ("5 TO 0 BY -2", 3, -1, 1),
        ("3 TO 2", 0, 3, 3),
        ("2 TO 3 BY -1", 0, 2, 2),
        ("32766 TO 32767 BY -1", 0, 32766, 32766),
    ],
)
def test_a_for_variable_ends_past_the_last_value_or_at_it(
    header: str, iterations: int, past: int, last: int
) -> None:
    declarations, body = "VAR i, n : INT; END_VAR", f"FOR i := {header} DO n := n + 1; END_FOR;"
    record = result(declarations, body, loop_leaves_past_end=True)
    assert (record.values["n"], record.values["i"]) == (iterations, past)
    record = result(declarations, body)
    assert (record.values["n"], record.values["i"]) == (iterations, last)


def test_a_for_variable_overflows_only_where_it_goes_past_its_end() -> None:
    declarations, body = "VAR i : USINT; END_VAR", "FOR i := 250 TO 255 DO ; END_FOR;"
    assert result(declarations, body).values["i"] == 255
    record = result(declarations, body, loop_leaves_past_end=True)
    assert found(record) == ("overflow", body.removesuffix(";"))
    record = result(declarations, body, loop_leaves_past_end=True, integers_wrap=True)
    assert found(record) == ("loop beyond its bound", body.removesuffix(";"))


@pytest.mark.parametrize("past_end", [False, True])
def test_exit_leaves_the_innermost_loop_and_the_value_of_that_iteration(past_end: bool) -> None:
    record = result(
        "VAR i, j, n : INT; END_VAR",
        """FOR i := 1 TO 3 DO
            FOR j := 1 TO 9 DO IF j = 4 THEN EXIT; END_IF; n := n + 1; END_FOR;
        END_FOR;""",
        loop_leaves_past_end=past_end,
    )
    assert (record.values["n"], record.values["j"]) == (9, 4)


def test_continue_goes_on_with_the_next_value() -> None:
    body = "FOR i := 1 TO 5 DO IF i MOD 2 = 0 THEN CONTINUE; END_IF; n := n + i; END_FOR;"
    assert result("VAR i, n : INT; END_VAR", body).values["n"] == 9


def test_the_end_of_a_for_loop_is_evaluated_once() -> None:
    before = """
    FUNCTION Asked : INT
    VAR_IN_OUT times : INT; END_VAR
    times := times + 1; Asked := 3;
    END_FUNCTION"""
    body = "FOR i := 1 TO Asked(times := m) DO n := n + 1; END_FOR;"
    record = result("VAR i, n, m : INT; END_VAR", body, before)
    assert (record.values["n"], record.values["m"]) == (3, 1)


def test_repeat_runs_at_least_once_and_while_may_not_run() -> None:
    record = result(
        "VAR n, m : INT; END_VAR",
        "REPEAT n := n + 1; UNTIL TRUE END_REPEAT; WHILE FALSE DO m := 1; END_WHILE;",
    )
    assert (record.values["n"], record.values["m"]) == (1, 0)


@pytest.mark.parametrize(
    "loop",
    [
        "WHILE n < LIMIT DO n := n + 1; END_WHILE",
        "REPEAT n := n + 1; UNTIL n >= LIMIT END_REPEAT",
        "FOR i := 1 TO LIMIT DO n := n + 1; END_FOR",
    ],
)
def test_a_loop_may_run_its_bound_and_not_once_more(loop: str) -> None:
    declarations = "VAR i, n : INT; END_VAR"
    record = result(declarations, loop.replace("LIMIT", "10") + ";", loop_bound=10)
    assert (record.finding, record.values["n"]) == (None, 10)
    text = loop.replace("LIMIT", "11")
    record = result(declarations, text + ";", loop_bound=10)
    assert found(record) == ("loop beyond its bound", text)
    assert record.values["n"] == 10


def test_each_run_of_a_loop_has_the_whole_bound() -> None:
    body = "FOR i := 1 TO 10 DO FOR j := 1 TO 10 DO n := n + 1; END_FOR; END_FOR;"
    record = result("VAR i, j, n : INT; END_VAR", body, loop_bound=10)
    assert record.values["n"] == 100


FUNCTION = """
FUNCTION Twice : INT
VAR_INPUT x : INT; END_VAR
VAR n : INT := 1; END_VAR
IF x < 0 THEN Twice := -1; RETURN; END_IF;
n := n * 2;
Twice := n * x;
END_FUNCTION
"""


def test_a_function_starts_anew_at_each_call() -> None:
    record = result("VAR r : INT; END_VAR", "r := Twice(Twice(3)) + Twice(-5);", FUNCTION)
    assert record.values["r"] == 11


COUNTER = """
FUNCTION_BLOCK Tally
VAR_INPUT by_much : INT := 1; END_VAR
VAR_OUTPUT total : INT; END_VAR
VAR_TEMP scratch : INT := 5; END_VAR
scratch := scratch + 1;
total := total + by_much;
IF scratch <> 6 THEN total := -1000; END_IF;
END_FUNCTION_BLOCK
"""


def test_block_instances_keep_their_own_values_and_temporaries_start_anew() -> None:
    tested = program(
        "VAR a, b : Tally; x, y : INT; END_VAR",
        "a(by_much := 2); b(total => y); x := a.total; a();",
        COUNTER,
    )
    records = run_of(tested, [{}] * 3)
    assert seen(records, "x") == [2, 6, 10]
    assert seen(records, "y") == [1, 2, 3]


def test_return_leaves_the_block_it_stands_in_only() -> None:
    before = """
    FUNCTION_BLOCK Early VAR_OUTPUT q : INT; END_VAR q := 1; RETURN; q := 2; END_FUNCTION_BLOCK
    """
    record = result("VAR e : Early; n : INT; END_VAR", "e(); n := 1; RETURN; n := 2;", before)
    assert (record.values["e.q"], record.values["n"]) == (1, 1)


def test_the_first_finding_cuts_the_scan() -> None:
    record = result(
        "VAR a, b, zero : INT; END_VAR",
        "a := 1; IF a > 0 THEN b := a / zero; END_IF; a := 2; b := a / zero;",
    )
    assert found(record) == ("division by zero", "a / zero")
    assert (record.values["a"], record.values["b"]) == (1, 0)
    assert set(record.writers) == {"a"}


def test_a_variable_names_the_statement_that_wrote_it_last() -> None:
    record = result("VAR q, unwritten : BOOL; END_VAR", "q := TRUE; q := FALSE;")
    assert {name: span.text for name, span in record.writers.items()} in (
        {"q": "q := FALSE"},
        {"q": "q := FALSE;"},
    )


@pytest.mark.parametrize(
    ("arguments", "first"),
    [
        ("x := 1 / z, y := big + 1", ("division by zero", "1 / z")),
        ("x := big + 1, y := 1 / z", ("overflow", "big + 1")),
    ],
)
def test_arguments_are_evaluated_from_left_to_right(arguments: str, first: tuple[str, str]) -> None:
    before = """
    FUNCTION Sum : INT
    VAR_INPUT x, y : INT; END_VAR
    Sum := x + y;
    END_FUNCTION"""
    declarations = "VAR r, z : INT; big : INT := 32767; END_VAR"
    assert found(result(declarations, f"r := Sum({arguments});", before)) == first
