"""Arithmetic of integers that folds, and results as values of their types."""

from __future__ import annotations

import z3

from twohand.program import Convert
from twohand.program.types import (
    BitString,
    Boolean,
    Duration,
    Enumeration,
    Integer,
    Subrange,
    Type,
)
from twohand.scan.finding import FindingKind
from twohand.scan.sorts import integer
from twohand.scan.symbolic.bits import widened
from twohand.scan.symbolic.frames import SymbolicScan
from twohand.scan.symbolic.nodes import added, multiplied, number, subtracted
from twohand.scan.symbolic.terms import (
    Bits,
    Number,
    Term,
    Truth,
    at_least,
    below,
    bits_of,
    both,
    choose,
    differs,
    either,
    equal,
    lifted,
    negation,
    number_of,
    same,
    sort_of,
    split_sum,
    truth_of,
)
from twohand.text.diagnostic import wrong
from twohand.text.source_text import Span


def total(left: Number, right: Number) -> Number:
    """The sum of two integers."""
    if isinstance(left, int):
        return left + right if isinstance(right, int) else _shifted(right, left)
    return _shifted(left, right) if isinstance(right, int) else added(left, right)


def _shifted(term: z3.ArithRef, shift: int) -> Number:
    inner, known = split_sum(term)
    if inner is not None:
        return total(inner, known + shift)
    return term if shift == 0 else added(term, number(shift))


def difference(left: Number, right: Number) -> Number:
    if isinstance(right, int):
        return total(left, -right)
    if same(left, right):
        return 0
    return subtracted(lifted(left, z3.IntSort()), right)


def times(left: Number, right: Number) -> Number:
    if isinstance(left, int):
        return left * right if isinstance(right, int) else _multiple(left, right)
    return _multiple(right, left) if isinstance(right, int) else multiplied(left, right)


def _multiple(factor: int, term: z3.ArithRef) -> Number:
    if factor == 0:
        return 0
    return term if factor == 1 else multiplied(number(factor), term)


def truncated_quotient(left: Number, right: Number) -> Number:
    """left / right rounded toward zero; ``right`` is not 0 (any number where it is)."""
    if isinstance(left, int) and isinstance(right, int):
        quotient = abs(left) // abs(right or 1)
        return quotient if (left < 0) == (right < 0) else -quotient
    dividend, divisor = magnitude(left), _positive(magnitude(right))
    whole: Number = dividend
    if not same(divisor, 1):
        whole = lifted(dividend, z3.IntSort()) / divisor
    negative = differs(below(left, 0), below(right, 0))
    return choose(negative, times(-1, whole), whole, z3.IntSort())


def remainder_of(left: Number, right: Number) -> Number:
    """The remainder with the dividend's sign; ``right`` is not 0 (any number where it is)."""
    if isinstance(left, int) and isinstance(right, int):
        rest = abs(left) % abs(right or 1)
        return -rest if left < 0 else rest
    remainder = lifted(magnitude(left), z3.IntSort()) % _positive(magnitude(right))
    return choose(below(left, 0), times(-1, remainder), remainder, z3.IntSort())


def magnitude(term: Number) -> Number:
    if isinstance(term, int):
        return abs(term)
    return choose(at_least(term, 0), term, times(-1, term), z3.IntSort())


def _positive(divisor: Number) -> Number:
    """1 in place of 0: division by zero is free in z3, and a step must be a function."""
    return choose(equal(divisor, 0), 1, divisor, z3.IntSort())


def wrapped(term: Number, lowest: int, bits: int) -> Number:
    """The number of ``bits`` bits from ``lowest`` on that equals the term modulo 2**bits."""
    size = 1 << bits
    if isinstance(term, int):
        return (term - lowest) % size + lowest
    inside = both(at_least(term, lowest), below(term, lowest + size))
    turned = total(lifted(difference(term, lowest), z3.IntSort()) % size, lowest)
    return choose(inside, term, turned, z3.IntSort())


def in_range(
    scan: SymbolicScan, value: Number, kind: Type, span: Span, condition: Truth = True
) -> Number:
    """The value as one of this type: an overflow finding where it does not fit and the condition
    holds, or the value wrapped around. Of durations those below zero are findings of their own."""
    if isinstance(kind, Duration):
        below_zero = both(condition, below(value, 0))
        if below_zero is not False:
            unsigned = negation(scan.reading("durations_are_signed"))
            scan.find(FindingKind.BELOW_ZERO, span, both(unsigned, below_zero))
        return value
    if not isinstance(kind, Integer):
        return value
    if scan.readings.integers_wrap and not isinstance(kind, Subrange):
        return wrapped(value, kind.lowest, kind.bits)
    outside = either(below(value, kind.lowest), at_least(value, kind.highest + 1))
    scan.find(FindingKind.OVERFLOW, span, both(condition, outside))
    return value


def converted(scan: SymbolicScan, convert: Convert, value: Term) -> Term:
    """The value of a conversion, where this is its operand's; a finding where it has none.
    InputError (``conversion-not-supported``)."""
    source, target = convert.operand.type, convert.type
    match source, target:
        case (Boolean(), Integer() | BitString()):
            return choose(truth_of(value), 1, 0, sort_of(target))
        case (Integer(), Integer()) if target.lowest <= source.lowest and (
            source.highest <= target.highest
        ):
            return value
        case (Integer() | Enumeration(), Integer()):
            return in_range(scan, number_of(value), target, convert.span)
        case (Integer() | Enumeration(), BitString()):
            if isinstance(value, int):
                return value % (1 << target.bits)
            return z3.Int2BV(integer(value), target.bits)
        case (BitString(), BitString()):
            return widened(bits_of(value), source.bits, target.bits)
        case (BitString(), Integer()):
            number = _number(bits_of(value))
            if source.bits == target.bits:
                return wrapped(number, target.lowest, target.bits)
            return in_range(scan, number, target, convert.span)
        case (Duration(), Integer()):
            milliseconds = truncated_quotient(number_of(value), scan.clocking.units_per_millisecond)
            return in_range(scan, milliseconds, target, convert.span)
        case (Integer(), Duration()):
            units = times(scan.clocking.units_per_millisecond, number_of(value))
            return in_range(scan, units, target, convert.span)
        case (Duration(), Duration()):
            return value
    if source == target:
        return value
    message = f"{source.name} cannot be converted to {target.name}"
    way = "compare with a constant instead, or use a type between the two"
    raise wrong("conversion-not-supported", message, convert.span, way)


def _number(value: Bits) -> Number:
    """A bit string's unsigned value."""
    return value if isinstance(value, int) else z3.BV2Int(value)
