"""Integer, bit, duration and conversion arithmetic on Python values, with its findings.

Where a result leaves its type there is an overflow finding, or it wraps (a reading). Division
truncates toward zero and MOD has the sign of the dividend (IEC 61131-3 Ed. 2, Table 24; from
memory).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import reduce

from twohand.program import Apply, Convert, Literal, Operation, Operator, StandardFunction
from twohand.program.durations import Nanoseconds
from twohand.program.types import (
    BitString,
    Boolean,
    Duration,
    Enumeration,
    Integer,
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


COMPARISONS: dict[Operator, Callable[[Value, Value], bool]] = {
    Operator.EQUAL: lambda a, b: a == b,
    Operator.UNEQUAL: lambda a, b: a != b,
    Operator.LESS: lambda a, b: a < b,
    Operator.LESS_EQUAL: lambda a, b: a <= b,
    Operator.GREATER: lambda a, b: a > b,
    Operator.GREATER_EQUAL: lambda a, b: a >= b,
}


def truncated_quotient(dividend: int, divisor: int) -> int:
    """The quotient without its fraction, toward zero; ``divisor`` is not 0."""
    magnitude = abs(dividend) // abs(divisor)
    return magnitude if (dividend < 0) == (divisor < 0) else -magnitude


@dataclass(frozen=True)
class Arithmetic:
    """Operations on values under one clocking and one reading of integer overflow.

    ``unbounded``: integers have no range at all, neither overflow nor wrap.

    All methods raise FindingRaised where the operation is a finding, and TypeError where the
    typed program is not one (a fault of the checker, never of the user).
    """

    clocking: Clocking
    integers_wrap: bool = False
    unbounded: bool = False

    def given(self, value: Value, kind: Type) -> Value:
        """A literal or initial value of the typed program as it is while a program runs."""
        if isinstance(kind, Duration):
            return self.clocking.units(Nanoseconds(value))
        return bool(value) if isinstance(kind, Boolean) else int(value)

    def literal(self, literal: Literal) -> Value:
        return self.given(literal.value, literal.type)

    def fit(self, value: int, kind: Type, span: Span) -> int:
        """``value`` as a result of type ``kind``: itself, wrapped, or an overflow finding."""
        match kind:
            case Duration():
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

    def operate(self, operation: Operation, values: Sequence[Value]) -> Value:
        """The value of an operation whose operands have these values."""
        operator, kind = operation.operator, operation.type
        if operator in COMPARISONS:
            left, right = values
            return COMPARISONS[operator](left, right)
        match operator:
            case Operator.NOT | Operator.AND | Operator.OR | Operator.XOR:
                return _logical(operator, kind, values)
            case Operator.NEGATE:
                return self.fit(-values[0], kind, operation.span)
            case Operator.POWER:
                return self._power(values[0], values[1], kind, operation.span)
        result: int = values[0]
        for value in values[1:]:
            result = self.fit(_binary(operation, result, value), kind, operation.span)
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

    def apply(self, application: Apply, values: Sequence[Value]) -> Value:
        """The value of a standard function whose operands have these values."""
        match application.function:
            case StandardFunction.ABS:
                return self.fit(abs(values[0]), application.type, application.span)
            case StandardFunction.MIN:
                return min(values)
            case StandardFunction.MAX:
                return max(values)
            case StandardFunction.LIMIT:
                lowest, value, highest = values
                return min(max(value, lowest), highest)
            case StandardFunction.SEL:
                selector, if_false, if_true = values
                return if_true if selector else if_false
            case StandardFunction.MUX:
                selector, *choices = values
                if not 0 <= selector < len(choices):
                    raise_finding(FindingKind.INDEX_OUT_OF_RANGE, application.span)
                return choices[selector]
            case _:
                return _shifted(application, values[0], values[1])

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
                return value * self.clocking.units_per_millisecond
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


def _logical(operator: Operator, kind: Type, values: Sequence[Value]) -> Value:
    """NOT, AND, OR and XOR on BOOL, or on each bit of a bit string."""
    if operator is Operator.NOT:
        if isinstance(kind, BitString):
            return values[0] ^ kind.highest
        if isinstance(kind, Boolean):
            return not values[0]
        raise TypeError(f"NOT does not apply to {kind.name}")
    match operator:
        case Operator.AND:
            return reduce(lambda a, b: a & b, values)
        case Operator.OR:
            return reduce(lambda a, b: a | b, values)
        case _:
            return reduce(lambda a, b: a ^ b, values)


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
