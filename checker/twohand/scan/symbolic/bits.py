"""Operations on bit strings: logic, order, shifts, widths. Constants are unsigned numbers."""

from __future__ import annotations

from collections.abc import Sequence

import z3

from twohand.program import Operator, StandardFunction
from twohand.scan.symbolic.terms import (
    Bits,
    Number,
    Truth,
    at_least,
    below,
    choose,
    either,
    equal,
    lifted,
    same,
)


def bits_value(operator: Operator, operands: Sequence[Bits], bits: int) -> Bits:
    """NOT, AND, OR, XOR bit by bit."""
    value = operands[0]
    if operator is Operator.NOT:
        return value ^ ((1 << bits) - 1) if isinstance(value, int) else ~value
    for operand in operands[1:]:
        match operator:
            case Operator.AND:
                value = value & operand
            case Operator.OR:
                value = value | operand
            case _:
                value = value ^ operand
    return value


def compare_bits(left: Bits, right: Bits) -> Truth:
    """left >= right of unsigned values."""
    if isinstance(left, int):
        return left >= right if isinstance(right, int) else z3.ULE(right, left)
    return True if same(left, right) else z3.UGE(left, right)


def widened(value: Bits, source: int, target: int) -> Bits:
    """The low bits, zeros above them."""
    if isinstance(value, int):
        return value % (1 << target)
    if target > source:
        return z3.ZeroExt(target - source, value)
    return z3.Extract(target - 1, 0, value) if target < source else value


def shift(function: StandardFunction, value: Bits, count: Number, bits: int) -> Bits:
    """The shifted or rotated bit string; a negative count gives any value."""
    rotates = function in (StandardFunction.ROL, StandardFunction.ROR)
    if isinstance(count, int):
        return _shifted(function, value, count % bits if rotates else max(count, 0), bits)
    distance = lifted(count, z3.IntSort()) % bits if rotates else count
    sort = z3.BitVecSort(bits)
    result = _shifted(function, value, 0, bits)
    for number in range(1, bits):
        result = choose(
            equal(distance, number), _shifted(function, value, number, bits), result, sort
        )
    if rotates:
        return result
    outside = either(at_least(distance, bits), below(distance, 0))
    return choose(outside, 0, result, sort)


def _shifted(function: StandardFunction, value: Bits, count: int, bits: int) -> Bits:
    if count == 0:
        return value
    if count >= bits:
        return 0
    if isinstance(value, int):
        return _shifted_constant(function, value, count, bits)
    match function:
        case StandardFunction.SHL:
            return z3.Concat(z3.Extract(bits - count - 1, 0, value), z3.BitVecVal(0, count))
        case StandardFunction.SHR:
            return z3.ZeroExt(count, z3.Extract(bits - 1, count, value))
        case StandardFunction.ROL:
            return z3.RotateLeft(value, count)
    return z3.RotateRight(value, count)


def _shifted_constant(function: StandardFunction, value: int, count: int, bits: int) -> int:
    mask = (1 << bits) - 1
    match function:
        case StandardFunction.SHL:
            return (value << count) & mask
        case StandardFunction.SHR:
            return value >> count
        case StandardFunction.ROL:
            return ((value << count) | (value >> (bits - count))) & mask
    return ((value >> count) | (value << (bits - count))) & mask
