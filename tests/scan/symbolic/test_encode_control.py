"""Branches, loops, routines: control flow merged into terms."""

from __future__ import annotations

from dataclasses import replace

import pytest
import z3
from twohand.program import Literal, Operation, Operator, Read, Role, Variable
from twohand.program.types import BOOL, INT
from twohand.scan.clocking import Clocking, Readings
from twohand.scan.finding import FindingKind
from twohand.scan.symbolic.encode import encode
from twohand.text.diagnostic import InputError

from tests.support.meaning.system_runs import MILLISECOND, STANDARD, Run, encoded
from tests.support.meaning.typed_programs import program

CLOCKING = Clocking(MILLISECOND, 10, 10)
DECLARED = (
    "VAR_INPUT n : INT; p : BOOL; END_VAR VAR_OUTPUT r : INT; END_VAR VAR i, k : INT; END_VAR"
)


def result(body: str, n: int = 0, p: bool = False, loop_bound: int = 100) -> tuple[int, list]:
    run = Run(encoded(DECLARED, body, CLOCKING, loop_bound=loop_bound))
    values = run.scan({"n": n, "p": p})
    return int(values["r"]), [kind for kind, _ in run.found]


@pytest.mark.parametrize(("n", "expected"), [(0, 10), (2, 20), (5, 30), (-1, 30)])
def test_return_leaves_the_rest_undone(n: int, expected: int) -> None:
    body = "r := 10; IF n = 0 THEN RETURN; END_IF r := 20; IF n = 2 THEN RETURN; END_IF r := 30;"
    assert result(body, n) == (expected, [])


@pytest.mark.parametrize(("n", "expected"), [(-3, 1), (0, 2), (2, 2), (3, 3), (9, 4)])
def test_the_first_arm_with_the_selector_runs(n: int, expected: int) -> None:
    body = "CASE n OF -3..-1: r := 1; 0..2: r := 2; 2..4: r := 3; ELSE r := 4; END_CASE"
    assert result(body, n) == (expected, [])


@pytest.mark.parametrize(("n", "expected"), [(0, 0), (3, 6), (-1, 0), (5, 10)])
def test_a_loop_ends_at_exit_with_the_values_of_that_moment(n: int, expected: int) -> None:
    body = "r := 0; FOR i := 1 TO n DO IF i = 5 THEN EXIT; END_IF r := r + i; END_FOR"
    assert result(body, n) == (expected, [])


def test_continue_goes_on_with_the_next_iteration() -> None:
    body = "r := 0; FOR i := 1 TO 4 DO IF i = n THEN CONTINUE; END_IF r := r + i; END_FOR"
    assert result(body, 3) == (7, [])


def test_return_inside_a_loop_leaves_the_routine() -> None:
    body = "FOR i := 1 TO 4 DO r := i; IF i = n THEN RETURN; END_IF END_FOR r := 100;"
    assert result(body, 2) == (2, [])
    assert result(body, 7) == (100, [])


@pytest.mark.parametrize(("past", "expected"), [(True, 4), (False, 3)])
@pytest.mark.parametrize("is_open", [False, True])
def test_a_finished_loop_leaves_its_variable_past_the_end_or_at_it(
    past: bool, expected: int, is_open: bool
) -> None:
    readings = Readings() if is_open else replace(STANDARD, loop_leaves_past_end=past)
    encoding = encoded(DECLARED, "FOR i := 1 TO 3 DO END_FOR r := i;", CLOCKING, readings)
    assert Run(encoding, loop_leaves_past_end=past).scan({"n": 0, "p": False})["r"] == expected


@pytest.mark.parametrize(("past", "found"), [(True, [FindingKind.OVERFLOW]), (False, [])])
def test_the_value_past_the_end_can_overflow(past: bool, found: list[FindingKind]) -> None:
    readings = replace(STANDARD, loop_leaves_past_end=past)
    run = Run(encoded(DECLARED, "FOR i := 32766 TO 32767 DO END_FOR", CLOCKING, readings))
    run.scan({"n": 0, "p": False})
    assert [kind for kind, _ in run.found] == found


@pytest.mark.parametrize(
    "loop",
    [
        "FOR i := 1 TO n DO r := i; END_FOR",
        "WHILE r < n DO r := r + 1; END_WHILE",
        "IF n > 0 THEN REPEAT r := r + 1; UNTIL r >= n END_REPEAT END_IF",
    ],
)
def test_an_iteration_beyond_the_bound_is_found(loop: str) -> None:
    assert result(loop, 4, loop_bound=4) == (4, [])
    assert result(loop, 5, loop_bound=4)[1] == [FindingKind.LOOP_BOUND]


def test_a_limit_that_the_path_excludes_ends_the_unrolling() -> None:
    body = "k := LIMIT(0, n, 3); i := 0; WHILE i < k DO i := i + 1; r := r + i; END_WHILE"
    encoding = encoded(DECLARED, body, CLOCKING)
    kinds = [finding.kind for finding, _ in encoding.system.findings]
    assert FindingKind.LOOP_BOUND not in kinds
    assert Run(encoding).scan({"n": 9, "p": False})["r"] == 6


@pytest.mark.long
def test_a_scan_that_never_ends_to_unroll_is_refused() -> None:
    body = "FOR i := 1 TO 1000 DO FOR k := 1 TO 1000 DO END_FOR END_FOR"
    with pytest.raises(InputError, match="one scan runs more than"):
        encoded(DECLARED, body, CLOCKING, loop_bound=1000)


def test_a_duration_finer_than_the_unit_is_refused() -> None:
    with pytest.raises(InputError, match="not a whole number of time units"):
        encoded("VAR t : TIME := T#1.5ms; END_VAR", "t := T#2ms;", CLOCKING)


@pytest.mark.long
def test_a_long_program_is_no_deep_recursion() -> None:
    body = "\n".join(f"IF n = {number} THEN r := {number}; END_IF" for number in range(3000))
    assert result(body, 2999) == (2999, [])


def test_a_variable_that_nothing_writes_is_a_constant() -> None:
    encoding = encoded(f"{DECLARED} VAR limit : INT := 7; END_VAR", "r := limit;", CLOCKING)
    assert "limit" not in {state.name for state in encoding.system.states}
    assert str(encoding.system.signals["r"]) == str(encoding.system.signals["limit"]) == "7"


def test_formulas_read_the_end_of_the_scan_and_overlaid_terms() -> None:
    encoding = encoded(DECLARED, "r := n;", CLOCKING)
    span = encoding.program.routine.body[0].span
    r = encoding.program.variable("r")
    assert r is not None
    before = Variable("n", INT, Role.LOCAL, 0, span)
    less = Operation(Operator.LESS, (Read(r, span), Read(before, span)), BOOL, span)
    bound = Operation(Operator.GREATER, (Read(r, span), Literal(3, INT, span)), BOOL, span)
    before_symbol = z3.Int("before")
    assert str(encoding.expression(less, {before: before_symbol})) == "Not(n >= before)"
    assert str(encoding.expression(bound)) == "n >= 4"


@pytest.mark.long
def test_each_of_very_many_branches_has_its_own_condition_and_finding() -> None:
    """As many as stand above each other share the condition of those below them."""
    arms = [f"ELSIF n = {k} THEN r := k + {k}; k := 1000 / (n - 75);" for k in range(90)]
    body = f"k := 7; IF FALSE THEN {' '.join(arms)} ELSE r := n * 2; END_IF"
    encoding = encoded(DECLARED, body, CLOCKING)
    for n in (-1, 70, 89, 90):
        run = Run(encoding)
        assert run.scan({"n": n, "p": False})["r"] == (7 + n if 0 <= n < 90 else 2 * n)
        assert run.found == []
    for n, kind in ((75, FindingKind.DIVISION_BY_ZERO), (20_000, FindingKind.OVERFLOW)):
        run = Run(encoding)
        run.scan({"n": n, "p": False})
        assert [found for found, _ in run.found] == [kind]


def test_of_what_is_noted_it_is_known_when_it_is_assigned_true() -> None:
    declarations = "VAR_INPUT a, b : BOOL; END_VAR VAR m, n : BOOL; END_VAR"
    body = "m := FALSE; IF a THEN m := TRUE; END_IF; IF b THEN RETURN; END_IF; n := TRUE;"
    tested = program(declarations, body)
    marks = [v for v in tested.variables if v.name in ("m", "n")]
    noted = encode(tested, CLOCKING, Readings(), note=marks).noted
    assert [str(noted[mark]) for mark in marks] == ["a", "Not(b)"]
