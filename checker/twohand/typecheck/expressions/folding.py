"""Constant folding: exact, and only where the result is a value of its type.

What would overflow or divide by zero stays as it is written, so that it becomes a finding where
it runs, or an error where a constant is needed.
"""

from __future__ import annotations

from collections.abc import Callable
from operator import eq, ge, gt, le, lt, ne

from twohand.program import (
    Apply,
    Convert,
    Expression,
    Literal,
    Operation,
    Operator,
    StandardFunction,
)
from twohand.program.types import BitString, Boolean, Duration, Integer, Type, Value

_NANOSECONDS_PER_MILLISECOND = 1_000_000
_LARGEST_EXPONENT = 64
_SHIFTS = {StandardFunction.SHL, StandardFunction.SHR, StandardFunction.ROL, StandardFunction.ROR}
_COMPARISONS: dict[Operator, Callable[[int, int], bool]] = {
    Operator.EQUAL: eq,
    Operator.UNEQUAL: ne,
    Operator.LESS: lt,
    Operator.LESS_EQUAL: le,
    Operator.GREATER: gt,
    Operator.GREATER_EQUAL: ge,
}


def fold(expression: Expression) -> Expression:
    """A literal in place of an operation on literals; other expressions unchanged."""
    if isinstance(expression, Convert):
        if not isinstance(expression.operand, Literal):
            return expression
        value = converted(expression.operand.value, expression.operand.type, expression.type)
    elif isinstance(expression, Operation | Apply):
        operands = [part for part in expression.operands if isinstance(part, Literal)]
        if len(operands) < len(expression.operands):
            return expression
        values = [operand.value for operand in operands]
        if isinstance(expression, Operation):
            value = _operation(expression.operator, values, expression.type)
        else:
            value = _function(expression.function, values, expression.type)
    else:
        return expression
    if value is None or not holds(expression.type, value):
        return expression
    return Literal(value, expression.type, expression.span)


def holds(kind: Type, value: Value) -> bool:
    """Whether the type has this value."""
    if isinstance(kind, Integer):
        return kind.lowest <= value <= kind.highest
    if isinstance(kind, BitString):
        return 0 <= value <= kind.highest
    return True


def divide(dividend: int, divisor: int) -> int:
    """Integer division that truncates toward zero."""
    quotient = abs(dividend) // abs(divisor)
    return quotient if (dividend < 0) == (divisor < 0) else -quotient


def arithmetic(operator: Operator, left: int, right: int) -> int | None:
    """The exact result; None where there is none, or where it is far beyond every type."""
    match operator:
        case Operator.ADD:
            return left + right
        case Operator.SUBTRACT:
            return left - right
        case Operator.MULTIPLY:
            return left * right
        case Operator.DIVIDE:
            return divide(left, right) if right else None
        case Operator.MODULO:
            return left - divide(left, right) * right if right else None
        case Operator.POWER:
            if right < 0 or (right > _LARGEST_EXPONENT and abs(left) > 1):
                return None
            return int(left**right) if abs(left) > 1 else int(left ** (right % 2 + 2 * (right > 1)))
    return None


def compare(operator: Operator, left: int, right: int) -> bool | None:
    """The result of a comparison; None for another operator."""
    found = _COMPARISONS.get(operator)
    return None if found is None else found(left, right)


def converted(value: Value, source: Type, target: Type) -> Value | None:
    """The value after ``program.Convert``; None where it does not fit."""
    if isinstance(target, Boolean):
        return None
    number = int(value)
    if isinstance(source, Duration) and isinstance(target, Integer):
        number = divide(number, _NANOSECONDS_PER_MILLISECOND)
    elif isinstance(target, Duration) and not isinstance(source, Duration):
        number *= _NANOSECONDS_PER_MILLISECOND
    elif isinstance(target, BitString):
        number &= target.highest
    elif (
        isinstance(source, BitString)
        and isinstance(target, Integer)
        and source.bits == target.bits
        and number > target.highest
    ):
        number -= 1 << target.bits
    return number if holds(target, number) else None


def _operation(operator: Operator, values: list[Value], kind: Type) -> Value | None:
    if operator is Operator.NEGATE:
        return -values[0]
    if operator is Operator.NOT:
        if isinstance(kind, BitString):
            return kind.highest ^ values[0]
        return not values[0]
    left, right = values
    bits = {Operator.AND: left & right, Operator.OR: left | right, Operator.XOR: left ^ right}
    if operator in bits:
        return bool(bits[operator]) if isinstance(kind, Boolean) else bits[operator]
    result = compare(operator, left, right)
    return arithmetic(operator, left, right) if result is None else result


def _function(function: StandardFunction, values: list[Value], kind: Type) -> Value | None:
    if isinstance(kind, BitString) and function in _SHIFTS:
        return _shift(function, values[0], values[1], kind)
    return function_of_numbers(function, values)


def function_of_numbers(function: StandardFunction, values: list[Value]) -> Value | None:
    """The exact result of a function that gives one of its operands, or its amount; None for
    another one, and where there is none."""
    match function:
        case StandardFunction.ABS:
            return abs(values[0])
        case StandardFunction.MIN:
            return min(values)
        case StandardFunction.MAX:
            return max(values)
        case StandardFunction.LIMIT:
            return min(max(values[1], values[0]), values[2])
        case StandardFunction.SEL:
            return values[2] if values[0] else values[1]
        case StandardFunction.MUX:
            return values[1 + values[0]] if 0 <= values[0] < len(values) - 1 else None
    return None


def _shift(function: StandardFunction, value: int, count: int, kind: BitString) -> int | None:
    if count < 0:
        return None
    if function is StandardFunction.SHL:
        return (value << min(count, kind.bits)) & kind.highest
    if function is StandardFunction.SHR:
        return value >> min(count, kind.bits)
    turns = count % kind.bits
    if function is StandardFunction.ROR:
        turns = (kind.bits - turns) % kind.bits
    return ((value << turns) | (value >> (kind.bits - turns))) & kind.highest
