"""Numbers, bit strings and conversions as terms, and what they find."""

from __future__ import annotations

import pytest
from twohand.program.types import Value
from twohand.scan.clocking import Clocking, Readings
from twohand.scan.finding import FindingKind

from tests.support.meaning.system_runs import MILLISECOND, STANDARD, Run, encoded

CLOCKING = Clocking(MILLISECOND // 2, 20, 20)
INPUTS = """VAR_INPUT a, b : INT; s : SINT; y : BYTE; w : WORD; t : TIME; u : USINT; END_VAR"""
ZERO: dict[str, Value] = {"a": 0, "b": 0, "s": 0, "y": 0, "w": 0, "t": 0, "u": 0}
WRAPS = Readings(False, True, False, False, False, False, True, False, integers_wrap=True)


def outcome(
    kind: str, expression: str, readings: Readings = STANDARD, **inputs: int
) -> tuple[Value, list[tuple[FindingKind, str]]]:
    declarations = f"{INPUTS} VAR_OUTPUT r : {kind}; END_VAR"
    run = Run(encoded(declarations, f"r := {expression};", CLOCKING, readings))
    return run.scan({**ZERO, **inputs})["r"], run.found


@pytest.mark.parametrize(
    ("a", "b", "quotient", "remainder"),
    [(7, 3, 2, 1), (-7, 3, -2, -1), (7, -3, -2, 1), (-7, -3, 2, -1), (6, 3, 2, 0), (0, -5, 0, 0)],
)
def test_division_truncates_and_the_remainder_follows_the_dividend(
    a: int, b: int, quotient: int, remainder: int
) -> None:
    assert outcome("INT", "a / b", a=a, b=b) == (quotient, [])
    assert outcome("INT", "a MOD b", a=a, b=b) == (remainder, [])
    assert outcome("INT", f"a / ({b})", a=a) == (quotient, [])
    assert outcome("INT", f"a MOD ({b})", a=a) == (remainder, [])


@pytest.mark.parametrize(
    ("kind", "expression", "inputs", "wrapped"),
    [
        ("INT", "a + b", {"a": 32767, "b": 1}, -32768),
        ("INT", "a - b", {"a": -32768, "b": 1}, 32767),
        ("INT", "a * b", {"a": 200, "b": 200}, 40000 - 65536),
        ("INT", "a / b", {"a": -32768, "b": -1}, -32768),
        ("INT", "-a", {"a": -32768}, -32768),
        ("INT", "ABS(a)", {"a": -32768}, -32768),
        ("INT", "a ** 3", {"a": 33}, 33**3 - 65536),
        ("SINT", "INT_TO_SINT(a)", {"a": 200}, -56),
        ("USINT", "INT_TO_USINT(a)", {"a": -1}, 255),
        ("USINT", "u - USINT#1", {"u": 0}, 255),
        ("SINT", "WORD_TO_SINT(w)", {"w": 0x1FF}, -1),
        ("SINT", "TIME_TO_SINT(t)", {"t": 400}, -56),
    ],
)
def test_a_result_outside_its_type_is_found_or_wraps(
    kind: str, expression: str, inputs: dict[str, int], wrapped: int
) -> None:
    _, found = outcome(kind, expression, **inputs)
    assert found == [(FindingKind.OVERFLOW, expression)]
    assert outcome(kind, expression, WRAPS, **inputs) == (wrapped, [])


@pytest.mark.parametrize("expression", ["a / b", "a MOD b", "TIME_TO_INT(t / b)"])
def test_a_division_by_zero_is_found(expression: str) -> None:
    assert outcome("INT", expression, a=5)[1][0][0] is FindingKind.DIVISION_BY_ZERO
    assert outcome("INT", expression, a=5, b=2)[1] == []


@pytest.mark.parametrize(
    ("kind", "expression", "inputs", "expected"),
    [
        ("SINT", "BYTE_TO_SINT(y)", {"y": 0xC3}, 0xC3 - 256),
        ("INT", "BYTE_TO_INT(y)", {"y": 0xC3}, 0xC3),
        ("INT", "WORD_TO_INT(w)", {"w": 0xFFFE}, -2),
        ("WORD", "INT_TO_WORD(a)", {"a": -2}, 0xFFFE),
        ("BYTE", "INT_TO_BYTE(a)", {"a": 0x1C3}, 0xC3),
        ("BYTE", "WORD_TO_BYTE(w)", {"w": 0x12C3}, 0xC3),
        ("WORD", "y", {"y": 0xC3}, 0xC3),
        ("INT", "TIME_TO_INT(t)", {"t": -5}, -2),
        ("TIME", "INT_TO_TIME(a)", {"a": 3}, 6),
        ("TIME", "t / a", {"t": -7, "a": 2}, -3),
        ("TIME", "t * a", {"t": -7, "a": 2}, -14),
        ("INT", "LIMIT(3, a, 1)", {"a": 7}, 1),
        ("INT", "MUX(a, 10, 20, 30)", {"a": 2}, 30),
        ("BYTE", "SHL(y, a)", {"y": 0xC3, "a": 9}, 0),
        ("BYTE", "SHL(y, a)", {"y": 0xC3, "a": 1}, 0x86),
        ("BYTE", "SHR(y, 1)", {"y": 0xC3}, 0x61),
        ("BYTE", "ROL(y, a)", {"y": 0xC3, "a": 9}, 0x87),
        ("BYTE", "ROR(y, 1)", {"y": 0xC3}, 0xE1),
        ("BYTE", "NOT y XOR BYTE#16#0F", {"y": 0xC3}, 0x33),
        ("BOOL", "y > BYTE#16#7F", {"y": 0xC3}, True),
    ],
)
def test_values(kind: str, expression: str, inputs: dict[str, int], expected: Value) -> None:
    assert outcome(kind, expression, **inputs) == (expected, [])


@pytest.mark.parametrize("function", ["SHL", "SHR", "ROL", "ROR"])
def test_a_negative_shift_is_found(function: str) -> None:
    kind, _ = outcome("BYTE", f"{function}(y, a)", a=-1)[1][0]
    assert kind is FindingKind.INDEX_OUT_OF_RANGE


@pytest.mark.parametrize("index", [-1, 3])
def test_a_choice_outside_its_values_is_found(index: int) -> None:
    kind, _ = outcome("INT", "MUX(a, 10, 20, 30)", a=index)[1][0]
    assert kind is FindingKind.INDEX_OUT_OF_RANGE


def test_every_operand_of_and_is_evaluated() -> None:
    found = outcome("BOOL", "b <> 0 AND a / b > 1", a=1)[1]
    assert [kind for kind, _ in found] == [FindingKind.DIVISION_BY_ZERO]


def test_an_operation_in_a_branch_not_taken_finds_nothing() -> None:
    declarations = f"{INPUTS} VAR_OUTPUT r : INT; END_VAR"
    run = Run(encoded(declarations, "IF b <> 0 THEN r := a / b; END_IF", CLOCKING))
    run.scan({**ZERO, "a": 1})
    assert run.found == []


def test_inputs_have_the_range_of_their_type() -> None:
    system = encoded(INPUTS, "", CLOCKING).system
    assert [str(term) for term in system.ranges] == [
        "a >= -32768", "a <= 32767", "b >= -32768", "b <= 32767",
        "s >= -128", "s <= 127", "u >= 0", "u <= 255",
    ]  # fmt: skip
