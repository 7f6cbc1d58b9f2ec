"""Whether a hand is on in a recorded scan.

This only draws a lane; verdicts never rest on it. A HAND expression reads inputs, most often one
or two contacts; what is beyond that here is shown as not known (the inputs have lanes too).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from twohand.program import Expression, Literal, Operation, Operator, Read
from twohand.program.types import Boolean, Value

COMPARISONS: dict[Operator, Callable[[Value, Value], bool]] = {
    Operator.EQUAL: lambda left, right: left == right,
    Operator.UNEQUAL: lambda left, right: left != right,
    Operator.LESS: lambda left, right: left < right,
    Operator.LESS_EQUAL: lambda left, right: left <= right,
    Operator.GREATER: lambda left, right: left > right,
    Operator.GREATER_EQUAL: lambda left, right: left >= right,
}


def pressed(expression: Expression, values: Mapping[str, Value]) -> Value | None:
    """The value of a hand's expression, None where it is not known."""
    if isinstance(expression, Literal):
        return expression.value
    if isinstance(expression, Read):
        return values.get(expression.variable.name)
    if not isinstance(expression, Operation):
        return None
    operands = [pressed(operand, values) for operand in expression.operands]
    known = [operand for operand in operands if operand is not None]
    if len(known) < len(operands):
        return None
    if expression.operator in COMPARISONS:
        return COMPARISONS[expression.operator](known[0], known[1])
    return _logic(expression.operator, known) if isinstance(expression.type, Boolean) else None


def _logic(operator: Operator, operands: list[Value]) -> bool | None:
    if operator is Operator.NOT:
        return not operands[0]
    if operator is Operator.AND:
        return all(operands)
    if operator is Operator.OR:
        return any(operands)
    if operator is Operator.XOR:
        return sum(bool(operand) for operand in operands) % 2 == 1
    return None
