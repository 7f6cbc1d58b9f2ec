"""Operators, functions and conversions of IEC 61131-3 on concrete values, and their findings."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from twohand.program.types import Value
from twohand.scan.arithmetic import truncated_quotient
from twohand.scan.clocking import NANOSECONDS_PER_MILLISECOND, Clocking
from twohand.scan.scan_record import ScanRecord

from tests.support.meaning.typed_programs import found, program, result, run_of

VARIABLES = """
VAR
    a : INT := -7; b : INT := 3; zero : INT; minus : INT := -1;
    low : INT := -32768; high : INT := 32767;
    s : SINT := -128; u : USINT := 200; ui : UINT := 65535; d : DINT := 100000; li : LINT;
    x : BYTE := 16#A5; w : WORD := 16#FFFF; dw : DWORD := 16#12345678;
    t : TIME := T#-1500ms; yes : BOOL := TRUE; no : BOOL;
    RESULT
END_VAR
"""


def computed(kind: str, expression: str, **choices: bool) -> ScanRecord:
    declarations = VARIABLES.replace("RESULT", f"r : {kind};")
    return result(declarations, f"r := {expression};", **choices)


@pytest.mark.parametrize(
    ("kind", "expression", "expected"),
    [
        ("INT", "a / b", -2),
        ("INT", "-a / b", 2),
        ("INT", "a MOD b", -1),
        ("INT", "(-a) MOD (-b)", 1),
        ("INT", "low MOD (-1)", 0),
        ("INT", "a * b + 1 - b", -23),
        ("INT", "b ** 4", 81),
        ("INT", "zero ** 0", 1),
        ("SINT", "(s / s - 2) ** 7", -1),
        ("INT", "ABS(a)", 7),
        ("INT", "MIN(a, b, zero)", -7),
        ("INT", "MAX(a, b, zero)", 3),
        ("INT", "LIMIT(zero, a, b)", 0),
        ("INT", "LIMIT(b, a, zero)", 0),
        ("INT", "SEL(yes, a, b)", 3),
        ("INT", "MUX(b - 2, a, b, zero)", 3),
        ("BOOL", "yes XOR no AND no", True),
        ("BOOL", "NOT yes OR a < b", True),
        ("BOOL", "w > WORD#16#7FFF", True),
        ("BYTE", "NOT x", 0x5A),
        ("BYTE", "x AND BYTE#16#0F", 0x05),
        ("BYTE", "x XOR BYTE#16#FF", 0x5A),
        ("BYTE", "SHL(x, 1)", 0x4A),
        ("BYTE", "SHL(x, 8)", 0),
        ("BYTE", "SHR(x, 4)", 0x0A),
        ("BYTE", "SHR(x, 100)", 0),
        ("BYTE", "ROL(x, 1)", 0x4B),
        ("BYTE", "ROL(x, 12)", 0x5A),
        ("BYTE", "ROR(x, 1)", 0xD2),
        ("BYTE", "ROR(x, 16)", 0xA5),
        ("TIME", "t / 4", -375),
        ("TIME", "t / 7", -214),
        ("TIME", "t * b", -4500),
        ("DINT", "TIME_TO_DINT(t)", -1500),
        ("TIME", "DINT_TO_TIME(d)", 100000),
        ("WORD", "INT_TO_WORD(a)", 0xFFF9),
        ("DWORD", "INT_TO_DWORD(a)", 0xFFFFFFF9),
        ("BYTE", "INT_TO_BYTE(a)", 0xF9),
        ("BYTE", "DWORD_TO_BYTE(dw)", 0x78),
        ("INT", "WORD_TO_INT(w)", -1),
        ("UINT", "WORD_TO_UINT(w)", 65535),
        ("DINT", "WORD_TO_DINT(w)", 65535),
        ("INT", "BOOL_TO_INT(yes)", 1),
        ("DWORD", "BOOL_TO_DWORD(yes)", 1),
        ("SINT", "INT_TO_SINT(a)", -7),
    ],
)
def test_an_expression_has_the_value_of_the_standard(
    kind: str, expression: str, expected: Value
) -> None:
    record = computed(kind, expression)
    assert record.finding is None
    assert record.values["r"] == expected
    assert type(record.values["r"]) is type(expected)


@pytest.mark.parametrize(
    ("kind", "expression", "finding", "wrapped"),
    [
        ("INT", "high + 1", ("overflow", "high + 1"), -32768),
        ("INT", "low - 1", ("overflow", "low - 1"), 32767),
        ("INT", "high * 2 / 2", ("overflow", "high * 2"), -1),
        ("INT", "-low", ("overflow", "-low"), -32768),
        ("INT", "ABS(low)", ("overflow", "ABS(low)"), -32768),
        ("INT", "low / minus", ("overflow", "low / minus"), -32768),
        ("USINT", "u + u", ("overflow", "u + u"), 144),
        ("USINT", "100 - u", ("overflow", "100 - u"), 156),
        ("INT", "high ** 2", ("overflow", "high ** 2"), 1),
        ("INT", "b ** 100000000", ("overflow", "b ** 100000000"), 29697),
        ("SINT", "INT_TO_SINT(high)", ("overflow", "INT_TO_SINT(high)"), -1),
        ("INT", "DINT_TO_INT(d)", ("overflow", "DINT_TO_INT(d)"), -31072),
        ("UINT", "INT_TO_UINT(a)", ("overflow", "INT_TO_UINT(a)"), 65529),
        ("USINT", "TIME_TO_USINT(t)", ("overflow", "TIME_TO_USINT(t)"), 36),
        ("INT", "DWORD_TO_INT(dw)", ("overflow", "DWORD_TO_INT(dw)"), 0x5678),
    ],
)
def test_a_result_outside_its_type_is_found_or_wraps(
    kind: str, expression: str, finding: tuple[str, str], wrapped: int
) -> None:
    assert found(computed(kind, expression)) == finding
    record = computed(kind, expression, integers_wrap=True)
    assert record.finding is None
    assert record.values["r"] == wrapped


@pytest.mark.parametrize(
    ("kind", "expression", "finding"),
    [
        ("INT", "a / zero", ("division by zero", "a / zero")),
        ("INT", "a MOD zero", ("division by zero", "a MOD zero")),
        ("TIME", "t / zero", ("division by zero", "t / zero")),
        ("INT", "MUX(a, a, b)", ("index out of range", "MUX(a, a, b)")),
        ("INT", "MUX(b, a, b, a)", ("index out of range", "MUX(b, a, b, a)")),
        ("BYTE", "SHL(x, a)", ("index out of range", "SHL(x, a)")),
        ("BYTE", "ROR(x, a)", ("index out of range", "ROR(x, a)")),
        ("BOOL", "no AND 1 / zero > 0", ("division by zero", "1 / zero")),
        ("BOOL", "a / zero > 0 OR high + 1 > 0", ("division by zero", "a / zero")),
    ],
)
@pytest.mark.parametrize("wrap", [False, True])
def test_what_has_no_value_is_found_whether_integers_wrap_or_not(
    kind: str, expression: str, finding: tuple[str, str], wrap: bool
) -> None:
    assert found(computed(kind, expression, integers_wrap=wrap)) == finding


def test_time_arithmetic_has_no_range() -> None:
    record = computed("TIME", "t * high * high * high * high")
    assert record.values["r"] == -1500 * 32767**4


def test_whole_milliseconds_are_truncated_toward_zero_in_finer_units() -> None:
    tenths = Clocking(NANOSECONDS_PER_MILLISECOND // 10, 1, 100)
    tested = program(
        "VAR t : TIME := T#-1.9ms; i : INT; back : TIME; END_VAR",
        "i := TIME_TO_INT(t); back := INT_TO_TIME(i);",
    )
    (record,) = run_of(tested, [{}], clocking=tenths)
    assert dict(record.values) == {"t": -19, "i": -1, "back": -10}


@given(st.integers(-(10**30), 10**30), st.integers(-(10**15), 10**15).filter(bool))
def test_a_truncated_quotient_leaves_a_remainder_with_the_dividends_sign(
    dividend: int, divisor: int
) -> None:
    remainder = dividend - divisor * truncated_quotient(dividend, divisor)
    assert abs(remainder) < abs(divisor)
    assert remainder == 0 or (remainder < 0) == (dividend < 0)
