"""Integer, bit, duration and conversion arithmetic on Python values, with its findings.

Where a result leaves its type there is an overflow finding, or it wraps (a reading). Division
truncates toward zero and MOD has the sign of the dividend (IEC 61131-3 Ed. 2, Table 24; from
memory).
"""

from __future__ import annotations

import operator as python
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial, reduce
from typing import TypeAlias

from twohand.program import (
    Apply,
    CompareReal,
    Convert,
    Literal,
    Operation,
    Operator,
    StandardFunction,
)
from twohand.program.durations import Nanoseconds, Units
from twohand.program.types import (
    BitString,
    Boolean,
    ClockTime,
    Duration,
    Enumeration,
    Integer,
    RealClasses,
    Subrange,
    Type,
    Value,
)
from twohand.scan.clocking import Clocking
from twohand.scan.finding import Finding, FindingKind
from twohand.text.source_text import Span


class FindingRaised(Exception):  # noqa: N818 - no error of the checker: it stops the scan
    """An operation gave a finding; nothing after it in the scan was executed."""

    def __init__(self, finding: Finding) -> None:
        self.finding = finding
        super().__init__(f"{finding.kind.value} at '{finding.span.text}'")


def raise_finding(kind: FindingKind, span: Span) -> None:
    raise FindingRaised(Finding(kind, span))


Function: TypeAlias = Callable[..., Value]
"""Of the values of all operands, in their order."""

_OF_TWO: dict[Operator, Function] = {
    Operator.EQUAL: python.eq,
    Operator.UNEQUAL: python.ne,
    Operator.LESS: python.lt,
    Operator.LESS_EQUAL: python.le,
    Operator.GREATER: python.gt,
    Operator.GREATER_EQUAL: python.ge,
    Operator.AND: python.and_,
    Operator.OR: python.or_,
    Operator.XOR: python.xor,
}
"""Comparisons, and what is done on BOOL or on each bit of a bit string."""


def truncated_quotient(dividend: int, divisor: int) -> int:
    """The quotient without its fraction, toward zero; ``divisor`` is not 0."""
    magnitude = abs(dividend) // abs(divisor)
    return magnitude if (dividend < 0) == (divisor < 0) else -magnitude


def _signed() -> bool:
    return True


@dataclass(frozen=True)
class Arithmetic:
    """Operations on values under one clocking and one reading of integer overflow.

    ``unbounded``: integers and durations have no range at all, neither overflow nor wrap.
    ``clock_is_signed`` is the reading of the scan's clock, ``durations_are_signed`` that of all
    other results, which is asked for where one is below zero.

    All methods raise FindingRaised where the operation is a finding, and TypeError where the
    typed program is not one (a fault of the checker, never of the user).
    """

    clocking: Clocking
    integers_wrap: bool = False
    unbounded: bool = False
    clock_is_signed: bool = False
    durations_are_signed: Callable[[], bool] = _signed

    def given(self, value: Value, kind: Type) -> Value:
        """A literal or initial value of the typed program as it is while a program runs."""
        if isinstance(kind, Duration):
            units = self.clocking.units(Nanoseconds(value))
            return self.clocked(units) if isinstance(kind, ClockTime) else units
        return bool(value) if isinstance(kind, Boolean) else int(value)

    def clocked(self, units: int) -> Units:
        """What the scan's clock shows after so many units, and a difference of what it shows."""
        end = self.clocking.clock_range
        lowest = -(end // 2) if self.clock_is_signed else 0
        return Units((units - lowest) % end + lowest)

    def literal(self, literal: Literal) -> Value:
        return self.given(literal.value, literal.type)

    def fit(self, value: int, kind: Type, span: Span) -> int:
        """``value`` as a result of type ``kind``: itself, wrapped, or an overflow finding."""
        match kind:
            case Duration():
                if value < 0 and not self.unbounded and not self.durations_are_signed():
                    raise_finding(FindingKind.BELOW_ZERO, span)
                return value
            case Integer():
                if self.unbounded or kind.lowest <= value <= kind.highest:
                    return value
                if not self.integers_wrap or isinstance(kind, Subrange):
                    raise_finding(FindingKind.OVERFLOW, span)
                return (value - kind.lowest) % (1 << kind.bits) + kind.lowest
            case _:
                raise TypeError(f"no arithmetic on {kind.name}")

    # --- operators ----------------------------------------------------------------------------

    def operation(self, operation: Operation) -> Function:
        """What an operation does with the values of its operands."""
        kind, span = operation.type, operation.span
        if operation.operator is Operator.SUBTRACT and isinstance(
            operation.operands[0].type, ClockTime
        ):
            return lambda later, earlier: self.clocked(later - earlier)
        of_two = _OF_TWO.get(operation.operator)
        if of_two is not None:
            return of_two if len(operation.operands) == 2 else lambda *v: reduce(of_two, v)
        match operation.operator:
            case Operator.NOT:
                return _complement(kind)
            case Operator.NEGATE:
                return lambda value: self.fit(-value, kind, span)
            case Operator.POWER:
                return lambda base, exponent: self._power(base, exponent, kind, span)
            case _:
                return partial(self._from_left, operation)

    def comparison(self, comparison: CompareReal) -> Function:
        """What comes of a class of REALs: that of its sample, with not-a-number as Python has it,
        which is how IEEE 754 has it."""
        kind = comparison.operand.type
        if not isinstance(kind, RealClasses) or comparison.constant not in kind.constants:
            raise TypeError(f"{kind.name} is not compared with {comparison.constant.text}")
        of_two, constant = _OF_TWO[comparison.operator], comparison.constant.exact
        numbers = [float("nan") if sample is None else sample for sample in kind.samples]
        return lambda number: of_two(numbers[number], constant)

    def _from_left(self, operation: Operation, first: int, *others: int) -> int:
        result = first
        for value in others:
            result = self.fit(_binary(operation, result, value), operation.type, operation.span)
        return result

    def _power(self, base: int, exponent: int, kind: Type, span: Span) -> int:
        if not isinstance(kind, Integer) or exponent < 0:
            raise TypeError("exponentiation takes integers and an exponent of at least 0")
        if self.integers_wrap and not self.unbounded:
            return self.fit(pow(base, exponent, 1 << kind.bits), kind, span)
        # Such a power lies outside each type; computing it could take all memory.
        if abs(base) > 1 and exponent > kind.bits and not self.unbounded:
            raise_finding(FindingKind.OVERFLOW, span)
        return self.fit(base**exponent, kind, span)

    # --- standard functions -------------------------------------------------------------------

    def application(self, application: Apply) -> Function:
        """What a standard function does with the values of its operands."""
        match application.function:
            case StandardFunction.ABS:
                return lambda value: self.fit(abs(value), application.type, application.span)
            case StandardFunction.MIN:
                return min
            case StandardFunction.MAX:
                return max
            case StandardFunction.LIMIT:
                return lambda lowest, value, highest: min(max(value, lowest), highest)
            case StandardFunction.SEL:
                return lambda selector, if_false, if_true: if_true if selector else if_false
            case StandardFunction.MUX:
                return partial(_chosen, application.span)
            case _:
                return partial(_shifted, application)

    # --- conversions --------------------------------------------------------------------------

    def convert(self, conversion: Convert, value: Value) -> Value:
        """``value``, which has the type of the conversion's operand, in the conversion's type."""
        source, target, span = conversion.operand.type, conversion.type, conversion.span
        if source == target:
            return value
        match source, target:
            case Duration(), Duration():
                return value
            case Duration(), Integer():
                per_millisecond = self.clocking.units_per_millisecond
                return self.fit(truncated_quotient(value, per_millisecond), target, span)
            case Integer(), Duration():
                return self.fit(value * self.clocking.units_per_millisecond, target, span)
            case BitString(), Integer() if source.bits == target.bits:
                return value - (1 << target.bits) if value > target.highest else int(value)
            case ((Boolean() | Integer() | BitString() | Enumeration()), Integer()):
                return self.fit(int(value), target, span)
            case ((Boolean() | Integer() | BitString()), BitString()):
                return int(value) & target.highest
            case _:
                raise TypeError(f"no conversion from {source.name} to {target.name}")


def _binary(operation: Operation, left: int, right: int) -> int:
    """An arithmetic operation on mathematical integers."""
    match operation.operator:
        case Operator.ADD:
            return left + right
        case Operator.SUBTRACT:
            return left - right
        case Operator.MULTIPLY:
            return left * right
        case Operator.DIVIDE | Operator.MODULO:
            if right == 0:
                raise_finding(FindingKind.DIVISION_BY_ZERO, operation.span)
            quotient = truncated_quotient(left, right)
            return quotient if operation.operator is Operator.DIVIDE else left - right * quotient
        case _:
            raise TypeError(f"{operation.operator.value} is no arithmetic operator")


def _complement(kind: Type) -> Function:
    """NOT on BOOL, or on each bit of a bit string."""
    if isinstance(kind, BitString):
        return lambda bits: bits ^ kind.highest
    if isinstance(kind, Boolean):
        return python.not_
    raise TypeError(f"NOT does not apply to {kind.name}")


def _chosen(span: Span, selector: int, *choices: Value) -> Value:
    if not 0 <= selector < len(choices):
        raise_finding(FindingKind.INDEX_OUT_OF_RANGE, span)
    return choices[selector]


def _shifted(application: Apply, bits: int, count: int) -> int:
    """SHL, SHR, ROL, ROR; bits that are shifted out are lost, zeros come in."""
    kind = application.type
    if not isinstance(kind, BitString):
        raise TypeError(f"{application.function.value} does not apply to {kind.name}")
    if count < 0:
        raise_finding(FindingKind.INDEX_OUT_OF_RANGE, application.span)
    match application.function:
        case StandardFunction.SHL:
            return 0 if count >= kind.bits else (bits << count) & kind.highest
        case StandardFunction.SHR:
            return 0 if count >= kind.bits else bits >> count
        case StandardFunction.ROR:
            count = -count
    left = count % kind.bits
    return (bits << left | bits >> (kind.bits - left)) & kind.highest
