"""Arithmetic of integers that folds."""

from __future__ import annotations

import z3

from twohand.scan.symbolic.nodes import added, multiplied, number, subtracted
from twohand.scan.symbolic.terms import (
    Number,
    at_least,
    below,
    both,
    choose,
    differs,
    equal,
    lifted,
    same,
    split_sum,
)


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
