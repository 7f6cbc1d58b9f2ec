"""Expressions of a typed program on Python values."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from twohand import program as typed
from twohand.program.types import Value
from twohand.scan.arithmetic import Arithmetic, raise_finding
from twohand.scan.finding import FindingKind
from twohand.text.source_text import Span


def _operands(expression: typed.Expression) -> tuple[typed.Expression, ...]:
    match expression:
        case typed.Operation() | typed.Apply():
            return expression.operands
        case typed.Convert():
            return (expression.operand,)
        case typed.Element():
            return (*(each.index for each in expression.dimensions), *expression.values)
        case _:
            return ()


def position(dimensions: Sequence[typed.Dimension], indices: Sequence[Value], span: Span) -> int:
    """Where an element is in row-major order; FindingRaised for an index outside."""
    place = 0
    for dimension, index in zip(dimensions, indices, strict=True):
        step = index - dimension.lowest
        if not 0 <= step < dimension.count:
            raise_finding(FindingKind.INDEX_OUT_OF_RANGE, span)
        place = place * dimension.count + step
    return place


def in_order(expression: typed.Expression) -> tuple[typed.Expression, ...]:
    """Every part of an expression after its operands, operands from left to right.

    Long sums are deep trees, so the walk keeps its own stack. The arguments of a user's function
    and the operands of AND_THEN and OR_ELSE are not among the parts.
    """
    parts: list[typed.Expression] = []
    pending = [expression]
    while pending:
        part = pending.pop()
        parts.append(part)
        pending.extend(_operands(part))
    parts.reverse()
    return tuple(parts)


class Evaluator:
    """Values of expressions: every operand is evaluated, AND and OR included, left to right; only
    AND_THEN and OR_ELSE may leave their right one out.

    ``values`` is read live, by variable name; ``call`` runs a user's function; ``chosen`` says
    how the platform reads an open point.
    """

    def __init__(
        self,
        arithmetic: Arithmetic,
        values: Mapping[str, Value],
        call: Callable[[typed.CallFunction], Value],
        chosen: Callable[[str], bool],
    ) -> None:
        self._arithmetic = arithmetic
        self._values = values
        self._call = call
        self._chosen = chosen
        self._orders: dict[typed.Expression, tuple[typed.Expression, ...]] = {}

    def value(self, expression: typed.Expression) -> Value:
        """The value of an expression; FindingRaised at the first finding."""
        match expression:
            case typed.Literal():
                return self._arithmetic.literal(expression)
            case typed.Read():
                return self._values[expression.variable.name]
        order = self._orders.get(expression)
        if order is None:
            order = self._orders[expression] = in_order(expression)
        stack: list[Value] = []
        for part in order:
            count = len(_operands(part))
            operands = stack[len(stack) - count :]
            del stack[len(stack) - count :]
            stack.append(self._part(part, operands))
        (result,) = stack
        return result

    def _part(self, part: typed.Expression, operands: list[Value]) -> Value:
        match part:
            case typed.Literal():
                return self._arithmetic.literal(part)
            case typed.Read():
                return self._values[part.variable.name]
            case typed.Operation():
                return self._arithmetic.operate(part, operands)
            case typed.Apply():
                return self._arithmetic.apply(part, operands)
            case typed.Convert():
                return self._arithmetic.convert(part, operands[0])
            case typed.Element():
                count = len(part.dimensions)
                return operands[count + position(part.dimensions, operands[:count], part.span)]
            case typed.CallFunction():
                return self._call(part)
            case typed.ShortCircuit():
                first = self.value(part.left)
                decided = first is (part.operator is typed.Operator.OR)
                return first if decided else self.value(part.right)
            case typed.PlatformChoice():
                return self._chosen(part.reading)
