"""Comparisons of an input of type REAL or LREAL with a constant, which have a meaning."""

from __future__ import annotations

from twohand.program import CompareReal, Literal, Operator, Read
from twohand.program.types import Integer, Subrange
from twohand.text.diagnostic import wrong
from twohand.text.source_text import Span
from twohand.typecheck.expressions.widening import NotModelled, Result, Untyped
from twohand.typecheck.reals.numbers import (
    FORMATS,
    RealInput,
    RealNumber,
    constant_of,
    whole_number,
)

TURNED = {
    Operator.EQUAL: Operator.EQUAL,
    Operator.UNEQUAL: Operator.UNEQUAL,
    Operator.LESS: Operator.GREATER,
    Operator.LESS_EQUAL: Operator.GREATER_EQUAL,
    Operator.GREATER: Operator.LESS,
    Operator.GREATER_EQUAL: Operator.LESS_EQUAL,
}
"""The comparisons, and each with its operands in the other order."""

_WIDENS = {"REAL": 16, "LREAL": 32}
"""The most bits of integers that widen to the type (IEC 61131-3 Ed. 3, 6.6.1.6, from memory)."""


def compare_reals(
    operator: Operator, left: Result, right: Result, span: Span
) -> CompareReal | None:
    """The comparison, where one side is such an input and the other one a constant; else None.
    InputError (``value-out-of-range``) for a constant that its format does not have."""
    if operator not in TURNED:
        return None
    if not _is_input(left):
        left, right, operator = right, left, TURNED[operator]
    if not isinstance(left, NotModelled) or not isinstance(left.real, RealInput):
        return None
    variable = left.real.variable
    number = _number(right, variable.type.name)
    if number is None:
        return None
    constant = constant_of(number, variable)
    if constant is None:
        message = f"{number.text} is too large or too small to be compared with in full precision"
        way = "compare with a number that both sides have"
        raise wrong("value-out-of-range", message, right.span, way)
    return CompareReal(operator, Read(variable, left.span), constant, span)


def _is_input(result: Result) -> bool:
    return isinstance(result, NotModelled) and isinstance(result.real, RealInput)


def _number(result: Result, name: str) -> RealNumber | None:
    """The constant that an operand is, next to a value of type ``name``."""
    match result:
        case NotModelled(real=RealNumber() as number) if result.type_name in FORMATS:
            return number
        case Untyped(value=value):
            return whole_number(value)
        case Literal(value=value, type=Integer() as kind) if not isinstance(kind, Subrange):
            if kind.bits <= _WIDENS[name]:
                return whole_number(value)
    return None
