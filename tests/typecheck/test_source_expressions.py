"""Expressions: precedence, types, folding. Precedence: IEC 61131-3:2003, 3.3.1, table 55."""

from __future__ import annotations

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from twohand import program as typed
from twohand.program.types import BOOL, DINT, INT, LINT, LTIME, TIME, ULINT, WORD
from twohand.program.walks import nodes_below
from twohand.text.diagnostic import Diagnostic, InputError
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

HEADER = """FUNCTION F : INT VAR_INPUT a : INT; END_VAR F := a; END_FUNCTION
TYPE Mode : (Idle, Run, Stop := 9); Other : (Run, Walk); END_TYPE
FUNCTION_BLOCK B
VAR p, q, r : BOOL; s : SINT; i, j : INT; d : DINT; l : LINT; us : USINT; ui : UINT; ud : UDINT;
ul : ULINT; bt : BYTE; w : WORD; dw : DWORD; t : TIME; lt : LTIME; m : Mode; o : Other; tm : TON;
END_VAR
"""


def program(body: str) -> typed.Program:
    return load_program([SourceText("b.st", f"{HEADER}{body}\nEND_FUNCTION_BLOCK")])


def assigned(target: str, text: str) -> typed.Expression:
    statement = program(f"{target} := {text};").routine.body[0]
    assert isinstance(statement, typed.Assign)
    return statement.value


def value(target: str, text: str) -> int | bool:
    expression = assigned(target, text)
    assert isinstance(expression, typed.Literal), expression
    return expression.value


def problem(target: str, text: str) -> Diagnostic:
    with pytest.raises(InputError) as caught:
        assigned(target, text)
    assert len(caught.value.diagnostics) == 1
    return caught.value.diagnostics[0]


# --- values -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("target", "text", "expected"),
    [
        ("i", "1+2-3*ABS(4)", -9),  # 3.3.1, the example of the standard
        ("i", "(1+2-3)*ABS(4)", 0),  # the same
        ("i", "-2**2", 4),  # negation binds tighter than ** (table 55, Ed. 2)
        ("i", "2**3**2", 64),  # equal precedence from left to right
        ("i", "2+3*4 MOD 5", 4),
        ("p", "TRUE OR TRUE XOR TRUE", True),  # XOR tighter than OR
        ("p", "TRUE XOR FALSE AND FALSE", True),  # AND tighter than XOR
        ("p", "TRUE = 1 < 2", True),  # relations tighter than equality
        ("p", "NOT FALSE AND FALSE", False),
        ("i", "7/3", 2),  # truncation toward zero: table 24
        ("i", "(-7)/3", -2),
        ("i", "7 MOD 3", 1),  # IN1 - (IN1/IN2)*IN2: table 24
        ("i", "(-7) MOD 3", -1),
        ("i", "7 MOD (-3)", 1),
        ("i", "8-3-2", 3),
        ("i", "100/10/5", 2),
        ("p", "1 <> 2 = TRUE", True),
        ("p", "FALSE & FALSE OR TRUE", True),
        ("w", "NOT WORD#16#00FF", 0xFF00),
        ("w", "16#F0F0 OR 16#0F0F", 0xFFFF),
        ("t", "T#1s + T#500ms", 1_500_000_000),
        ("t", "T#1s * 3", 3_000_000_000),
        ("t", "T#1s / 3", 333_333_333),
        ("t", "-T#1s", -1_000_000_000),
        ("i", "LIMIT(0, 12, 10)", 10),
        ("i", "SEL(TRUE, 1, 2)", 2),
        ("us", "MIN(300, 100)", 100),
        ("us", "LIMIT(-1, 5, 300)", 5),
        ("us", "SEL(FALSE, 5, 300)", 5),
        ("us", "MUX(1, 300, 20)", 20),
        ("us", "ABS(-200)", 200),
        ("i", "MUX(1, 10, 20, 30)", 20),
        ("i", "MAX(IN1 := 3, IN2 := 7)", 7),
        ("w", "SHL(WORD#16#8001, 1)", 2),
        ("w", "ROL(WORD#16#8001, 1)", 3),
        ("w", "ROR(WORD#16#8001, 17)", 0xC000),
        ("w", "SHR(IN := WORD#16#8000, N := 20)", 0),
        ("i", "ADD(1, 2, 3)", 6),
        ("p", "GT(3, 2, 1)", True),
        ("p", "AND(TRUE, FALSE)", False),
        ("p", "NOT(FALSE)", True),
        ("i", "MOVE(5)", 5),
        ("d", "INT_TO_DINT(7)", 7),
        ("i", "WORD_TO_INT(16#FFFF)", -1),
        ("w", "INT_TO_WORD(-1)", 0xFFFF),
        ("d", "WORD_TO_DINT(16#FFFF)", 0xFFFF),
        ("i", "TIME_TO_INT(T#1999us)", 1),
        ("t", "DINT_TO_TIME(5)", 5_000_000),
        ("i", "BOOL_TO_INT(TRUE)", 1),
        ("i", "TO_INT(Stop)", 9),
        ("i", "Mode_TO_INT(Mode#Stop)", 9),
        ("p", "1", True),  # Boolean zero and one: table 5
    ],
)
def test_a_constant_expression_has_the_value_of_the_standard(
    target: str, text: str, expected: int | bool
) -> None:
    assert value(target, text) == expected


def test_chained_relations_compare_a_truth_value_and_are_refused() -> None:
    assert problem("p", "i = 1 < 2").code == "operator-types"


@pytest.mark.parametrize(
    ("text", "same"),
    [
        ("p OR q AND r", "p OR (q AND r)"),
        ("p OR q XOR r", "p OR (q XOR r)"),
        ("p XOR q AND r", "p XOR (q AND r)"),
        ("p AND q = r", "p AND (q = r)"),
        ("p = i < j", "p = (i < j)"),
        ("i < j + 1", "i < (j + 1)"),
        ("NOT p AND q", "(NOT p) AND q"),
        ("NOT p = q", "(NOT p) = q"),
        ("p = q <> r", "(p = q) <> r"),
        ("i + j * i < j", "(i + (j * i)) < j"),
        ("i - j - i > 0", "((i - j) - i) > 0"),
        ("- i ** 2 > 0", "((-i) ** 2) > 0"),
        ("p & q OR r", "(p & q) OR r"),
        ("p and Q or R", "(p AND q) OR r"),
    ],
)
def test_precedence_is_that_of_the_standard(text: str, same: str) -> None:
    assert shape(assigned("p", text)) == shape(assigned("p", same))


def shape(expression: typed.Expression) -> object:
    match expression:
        case typed.Operation(operator=operator, operands=operands):
            return (operator, *map(shape, operands))
        case typed.Apply(function=function, operands=operands):
            return (function, *map(shape, operands))
        case typed.Convert(operand=operand):
            return (expression.type.name, shape(operand))
        case typed.Read(variable=variable):
            return variable.name
        case typed.Literal():
            return (expression.value, expression.type.name)
        case typed.CallFunction():
            return expression.name
    raise AssertionError(f"no shape: {expression!r}")


@pytest.mark.long
def test_a_long_chain_of_and_keeps_the_order_of_its_operands_in_a_shallow_tree() -> None:
    names = ["p", "q", "r"] * 2000
    expression = assigned("p", " AND ".join(names))
    leaves, depth, level = [], 0, [expression]
    while level:
        depth += 1
        inner: list[typed.Expression] = []
        for part in level:
            if isinstance(part, typed.Operation):
                inner.extend(part.operands)
        level = inner
    waiting: list[typed.Expression] = [expression]
    while waiting:
        part = waiting.pop()
        if isinstance(part, typed.Operation):
            waiting.extend(reversed(part.operands))
        else:
            assert isinstance(part, typed.Read)
            leaves.append(part.variable.name)
    assert leaves == names
    assert depth < 20


# --- types ------------------------------------------------------------------------------------


# Implicit widening: IEC 61131-3 Ed. 3, 6.6.1.6; TIME to LTIME from memory.
@pytest.mark.parametrize(
    ("target", "source"),
    [
        ("i", "s"), ("d", "s"), ("d", "i"), ("l", "d"), ("ui", "us"), ("ud", "ui"), ("ul", "ud"),
        ("i", "us"), ("d", "ui"), ("l", "ud"), ("bt", "p"), ("w", "bt"), ("dw", "w"), ("lt", "t"),
    ],
)  # fmt: skip
def test_a_narrow_type_widens_by_a_conversion_of_its_own(target: str, source: str) -> None:
    expression = assigned(target, source)
    assert isinstance(expression, typed.Convert)
    assert isinstance(expression.operand, typed.Read)


@pytest.mark.parametrize(
    ("target", "source"),
    [
        ("s", "i"), ("i", "d"), ("ui", "i"), ("ul", "s"), ("i", "ui"), ("us", "ui"), ("bt", "w"),
        ("p", "bt"), ("i", "w"), ("w", "i"), ("i", "p"), ("p", "i"), ("t", "lt"), ("t", "d"),
        ("d", "t"), ("m", "o"), ("i", "m"), ("m", "i"), ("p", "m"), ("dw", "t"),
    ],
)  # fmt: skip
def test_any_other_mixture_is_refused(target: str, source: str) -> None:
    found = problem(target, source)
    assert found.code == "type-mismatch"
    assert found.help


def test_operands_widen_to_the_wider_of_their_types() -> None:
    expression = assigned("d", "i + d")
    assert shape(expression) == (typed.Operator.ADD, ("DINT", "i"), "d")
    assert shape(assigned("d", "i + j")) == ("DINT", (typed.Operator.ADD, "i", "j"))


def test_a_number_takes_the_type_of_the_other_operand() -> None:
    assert shape(assigned("p", "d > 5")) == (typed.Operator.GREATER, "d", (5, "DINT"))
    assert shape(assigned("w", "w AND 16#00FF")) == (typed.Operator.AND, "w", (255, "WORD"))
    assert shape(assigned("ul", "ul + 18446744073709551615"))[2] == (2**64 - 1, "ULINT")


def test_a_duration_is_scaled_by_a_number_on_its_right() -> None:
    assert shape(assigned("t", "t * i")) == (typed.Operator.MULTIPLY, "t", "i")
    assert shape(assigned("t", "t / 2")) == (typed.Operator.DIVIDE, "t", (2, "INT"))
    assert problem("t", "2 * t").code == "operator-types"


@pytest.mark.parametrize(
    ("target", "text", "code", "column"),
    [
        ("s", "128", "value-out-of-range", 6),
        ("ui", "-1", "value-out-of-range", 6),
        ("p", "2", "value-out-of-range", 6),
        ("p", "i > 40000", "value-out-of-range", 10),
        ("t", "5", "type-mismatch", 6),
        ("m", "1", "type-mismatch", 6),
        ("p", "t > 5", "operator-types", 6),
        ("i", "i + ui", "operator-types", 6),
        ("i", "i AND j", "operator-types", 6),
        ("p", "p + q", "operator-types", 6),
        ("p", "p < q", "operator-types", 6),
        ("w", "w + 1", "operator-types", 6),
        ("p", "m < Run", "operator-types", 6),
        ("p", "NOT i", "operator-types", 6),
        ("p", "-p", "operator-types", 6),
        ("p", "m = o", "operator-types", 6),
        ("i", "i ** j", "exponent-not-constant", 11),
        ("i", "2 ** -1", "exponent-not-constant", 11),
        ("i", "1 / 0", "division-by-zero", 6),
        ("i", "1 MOD 0", "division-by-zero", 6),
        ("l", "9**9**9", "value-out-of-range", 6),
        ("i", "ABS(w)", "type-mismatch", 10),
        ("w", "SHL(i, 1)", "type-mismatch", 10),
        ("w", "SHL(w, p)", "type-mismatch", 13),
        ("i", "SEL(i, 1, 2)", "type-mismatch", 10),
        ("i", "MUX(p, 1, 2)", "type-mismatch", 10),
        ("i", "MAX(i, p)", "operator-types", 6),
        ("us", "MIN(300, 400)", "value-out-of-range", 6),
        ("us", "MAX(us, 300)", "value-out-of-range", 14),
        ("us", "SEL(p, 5, 300)", "value-out-of-range", 16),
        ("p", "MIN(1, 0)", "type-mismatch", 10),
        ("i", "MIN(1)", "argument-count", 6),
        ("i", "LIMIT(1, 2)", "argument-count", 6),
        ("i", "LIMIT(MN := 1, IN := 2, M := 3)", "unknown-argument", 30),
        ("i", "MAX(IN1 := 1, 2)", "mixed-arguments", 20),
        ("i", "MAX(IN1 := 1, IN1 := 2)", "duplicate-argument", 20),
        ("i", "ABS(EN := p, IN := i)", "unsupported-enable", 10),
        ("p", "INT_TO_BOOL(i)", "unsupported-conversion", 6),
        ("t", "WORD_TO_TIME(w)", "unsupported-conversion", 6),
        ("w", "TIME_TO_WORD(t)", "unsupported-conversion", 6),
        ("i", "DINT_TO_INT(l)", "type-mismatch", 18),
        ("i", "FOO_TO_INT(i)", "unknown-type", 6),
        ("i", "REAL_TO_INT(i)", "unsupported-real", 6),
        ("i", "MXA(1, 2)", "unknown-function", 6),
        ("i", "SQRT(4)", "unsupported-real", 6),
        ("i", "nope", "unknown-name", 6),
        ("i", "tm", "instance-as-value", 6),
        ("i", "tm(IN := p)", "instance-as-value", 6),
        ("p", "TON(IN := p)", "block-type-called", 6),
        ("p", "tm.X", "unknown-member", 9),
        ("p", "tm.Q.R", "no-members", 11),
        ("p", "i.x", "no-members", 8),
        ("m", "Walk", "type-mismatch", 6),
        ("m", "Mode#Runn", "unknown-enumeration-value", 11),
        ("m", "Mod#Run", "unknown-type", 6),
        ("i", "F()", "argument-count", 6),
        ("i", "F(1, 2)", "argument-count", 11),
        ("i", "F(b := 1)", "unknown-argument", 8),
        ("i", "F(p)", "type-mismatch", 8),
        ("w", "w AND_THEN w", "operator-types", 6),
        ("p", "p OR_ELSE i", "operator-types", 16),
        ("p", "GT(i, j / 2, 1)", "unsupported-chain", 6),
    ],
)
def test_a_wrong_expression_is_refused_at_its_place(
    target: str, text: str, code: str, column: int
) -> None:
    found = problem(target, text)
    assert found.span is not None
    offset = len(target) - 1
    assert (found.code, found.span.column - offset) == (code, column)


def test_every_wrong_name_of_an_expression_is_reported() -> None:
    with pytest.raises(InputError) as caught:
        assigned("p", "nope AND (nada OR F(none) > 0)")
    assert [d.span.text for d in caught.value.diagnostics if d.span] == ["nope", "nada", "none"]


def test_the_nearest_name_is_offered() -> None:
    assert problem("i", "LIMTI(1, 2)").help == "did you mean 'LIMIT'?"
    assert problem("p", "tm.OQ").help == "did you mean 'Q'?"


def test_a_value_of_several_enumerations_is_chosen_by_what_is_expected() -> None:
    assert value("m", "Run") == 1
    assert value("o", "Run") == 0
    assert value("o", "Other.Run") == 0
    assert shape(assigned("p", "m = Run")) == (typed.Operator.EQUAL, "m", (1, "Mode"))
    assert problem("i", "TO_INT(Run)").code == "ambiguous-name"


def test_a_short_circuit_operator_is_read_where_it_cannot_matter() -> None:
    assert shape(assigned("p", "p AND_THEN i > 1")) == shape(assigned("p", "p AND i > 1"))
    assert shape(assigned("p", "p OR_ELSE NOT q")) == shape(assigned("p", "p OR NOT q"))


def test_what_would_overflow_stays_an_operation_and_becomes_a_finding() -> None:
    assert isinstance(assigned("i", "INT#32767 + INT#1"), typed.Operation)
    assert isinstance(assigned("i", "i / 0"), typed.Operation)
    assert isinstance(assigned("s", "INT_TO_SINT(300)"), typed.Convert)


def test_types_are_those_of_the_contract() -> None:
    assert assigned("p", "i < j").type == BOOL
    assert assigned("d", "d * 2").type == DINT
    assert assigned("lt", "t + T#1s").type == LTIME
    assert assigned("t", "t + T#1s").type == TIME
    assert assigned("w", "SHL(w, i)").type == WORD
    assert assigned("l", "MAX(s, i, d, l)").type == LINT
    assert assigned("i", "MAX(s, i)").type == INT
    assert assigned("ul", "ul MOD 7").type == ULINT
    apply = assigned("i", "LIMIT(0, i, 10)")
    assert isinstance(apply, typed.Apply)
    assert apply.function is typed.StandardFunction.LIMIT


# --- folding against Python's integers --------------------------------------------------------

NUMBERS = st.integers(0, 99).map(lambda n: (str(n), n))


def combined(children: st.SearchStrategy[tuple[str, int]]) -> st.SearchStrategy[tuple[str, int]]:
    def join(sign: str, left: tuple[str, int], right: tuple[str, int]) -> tuple[str, int]:
        results = {
            "+": left[1] + right[1],
            "-": left[1] - right[1],
            "*": left[1] * right[1],
        }
        return f"({left[0]} {sign} {right[0]})", results[sign]

    def negate(operand: tuple[str, int]) -> tuple[str, int]:
        return f"-({operand[0]})", -operand[1]

    def part(sign: str, left: tuple[str, int], right: int) -> tuple[str, int]:
        quotient = abs(left[1]) // right * (1 if left[1] >= 0 else -1)
        result = quotient if sign == "/" else left[1] - quotient * right
        return f"({left[0]} {sign} {right})", result

    return st.one_of(
        st.builds(join, st.sampled_from("+-*"), children, children),
        st.builds(negate, children),
        st.builds(part, st.sampled_from(["/", "MOD"]), children, st.integers(1, 9)),
    )


@given(st.recursive(NUMBERS, combined, max_leaves=6))
@settings(deadline=None, derandomize=True, max_examples=60)
def test_folding_agrees_with_exact_integers(pair: tuple[str, int]) -> None:
    text, expected = pair
    assume(abs(expected) < 2**63)
    assert value("l", text) == expected


@pytest.mark.parametrize(
    ("target", "text", "kind"),
    [
        ("i", "MIN(s, 300)", "INT"),
        ("d", "LIMIT(0, us, 40000)", "UINT"),
        ("p", "MAX(us, 300) > 299", "INT"),
        ("i", "MIN(s, 100)", "SINT"),
    ],
)
def test_a_constant_beside_narrower_operands_makes_the_function_wider(
    target: str, text: str, kind: str
) -> None:
    found = [n for n in nodes_below(assigned(target, text)) if isinstance(n, typed.Apply)]
    assert [each.type.name for each in found] == [kind]
