"""Terms that fold: a Python value where it is known, a z3 term where it is not.

Comparisons with a constant are brought to one form, ``x >= c`` or its negation, so that equal
conditions are the same term wherever they come from, and are pushed into conditional values whose
branches are constants.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import cache
from typing import TypeAlias

import z3

from twohand.program.types import BitString, Boolean, Type, Value
from twohand.scan.symbolic.nodes import (
    added,
    bits,
    conditional,
    conjunction,
    disjunction,
    equality,
    identical,
    multiplied,
    negated,
    not_less,
    number,
    operator_of,
    parts_of,
    subtracted,
    unlike,
)

Term: TypeAlias = bool | int | z3.ExprRef
"""``bool`` and ``int`` are constants (a bit string's is its unsigned value)."""

Test: TypeAlias = Callable[[Term, int], Term]
"""A comparison of an integer or a bit string with a constant."""

PUSH_DEPTH = 24
"""How many nested conditional values a comparison with a constant is pushed into."""


@cache
def sort_of(kind: Type) -> z3.SortRef:
    if isinstance(kind, Boolean):
        return z3.BoolSort()
    if isinstance(kind, BitString):
        return z3.BitVecSort(kind.bits)
    return z3.IntSort()


def symbol(name: str, kind: Type) -> z3.ExprRef:
    return z3.Const(name, sort_of(kind))


def lifted(term: Term, sort: z3.SortRef) -> z3.ExprRef:
    """The term as a z3 term of this sort."""
    if isinstance(term, bool):
        return z3.BoolVal(term)
    if isinstance(term, int):
        return bits(term, sort.size()) if isinstance(sort, z3.BitVecSortRef) else number(term)
    return term


def value_of(value: Value, kind: Type) -> Term:
    """A constant of this type; durations are in units already."""
    return bool(value) if isinstance(kind, Boolean) else int(value)


def same(left: Term, right: Term) -> bool:
    """Whether the two are the same constant or the very same term."""
    if isinstance(left, int):
        return isinstance(right, int) and left == right
    if isinstance(right, int):
        return False
    return identical(left, right)


# --- Boolean ----------------------------------------------------------------------------------


def negation(term: Term) -> Term:
    if isinstance(term, int):
        return not term
    return parts_of(term)[0] if operator_of(term) == z3.Z3_OP_NOT else negated(term)


def both(left: Term, right: Term) -> Term:
    if left is False or right is False:
        return False
    if left is True:
        return right
    if right is True or same(left, right):
        return left
    return conjunction((left, right))


def either(left: Term, right: Term) -> Term:
    if left is True or right is True:
        return True
    if left is False:
        return right
    if right is False or same(left, right):
        return left
    return disjunction((left, right))


def all_of(terms: Iterable[Term]) -> Term:
    known: list[z3.BoolRef] = []
    for term in terms:
        if term is False:
            return False
        if term is not True:
            known.append(term)
    if not known:
        return True
    return known[0] if len(known) == 1 else conjunction(known)


def any_of(terms: Iterable[Term]) -> Term:
    unknown: list[z3.BoolRef] = []
    for term in terms:
        if term is True:
            return True
        if term is not False:
            unknown.append(term)
    if not unknown:
        return False
    return unknown[0] if len(unknown) == 1 else disjunction(unknown)


def differs(left: Term, right: Term) -> Term:
    """Exclusive or."""
    if isinstance(left, bool):
        return negation(right) if left else right
    if isinstance(right, bool):
        return negation(left) if right else left
    return unlike(left, right)


def choose(condition: Term, chosen: Term, otherwise: Term, sort: z3.SortRef) -> Term:
    """``chosen`` where the condition holds."""
    if isinstance(condition, int):
        return chosen if condition else otherwise
    if operator_of(condition) == z3.Z3_OP_NOT:
        condition, chosen, otherwise = parts_of(condition)[0], otherwise, chosen
    chosen = _under(condition, chosen, 1)
    otherwise = _under(condition, otherwise, 2)
    if same(chosen, otherwise):
        return chosen
    if isinstance(chosen, bool):
        return either(condition, otherwise) if chosen else both(negation(condition), otherwise)
    if isinstance(otherwise, bool):
        return either(negation(condition), chosen) if otherwise else both(condition, chosen)
    return conditional(condition, lifted(chosen, sort), lifted(otherwise, sort))


def _under(condition: z3.BoolRef, term: Term, branch: int) -> Term:
    """The term where this condition is known to hold (branch 1) or not to hold (2)."""
    if isinstance(term, int):
        return term
    if identical(term, condition):
        return branch == 1
    if operator_of(term) == z3.Z3_OP_ITE and identical(parts_of(term)[0], condition):
        return constant_of(parts_of(term)[branch])
    return term


def constant_of(term: z3.ExprRef) -> Term:
    """The Python value of a z3 constant, any other term as it is."""
    operator = operator_of(term)
    if operator not in _CONSTANTS:
        return term
    known: Term | None = getattr(term, "constant", None)
    if known is None:
        known = term.constant = _CONSTANTS[operator](term)
    return known


_CONSTANTS: Mapping[int, Callable[[z3.ExprRef], Term]] = {
    z3.Z3_OP_ANUM: lambda term: int(term.as_long()),
    z3.Z3_OP_BNUM: lambda term: int(term.as_long()),
    z3.Z3_OP_TRUE: lambda term: True,
    z3.Z3_OP_FALSE: lambda term: False,
}


# --- integers ---------------------------------------------------------------------------------


def total(left: Term, right: Term) -> Term:
    """The sum of two integers."""
    if isinstance(left, int) and isinstance(right, int):
        return left + right
    if isinstance(left, int):
        left, right = right, left
    if isinstance(right, int):
        inner, shift = _split(left)
        if inner is not None and isinstance(left, z3.ExprRef):
            return total(inner, shift + right)
        return left if right == 0 else added(left, number(right))
    return added(left, right)


def difference(left: Term, right: Term) -> Term:
    if isinstance(right, int):
        return total(left, -right)
    if same(left, right):
        return 0
    return subtracted(lifted(left, z3.IntSort()), right)


def times(left: Term, right: Term) -> Term:
    if isinstance(left, int) and isinstance(right, int):
        return left * right
    if isinstance(right, int):
        left, right = right, left
    if isinstance(left, int):
        if left == 0:
            return 0
        return right if left == 1 else multiplied(number(left), right)
    return multiplied(left, right)


def _split(term: Term) -> tuple[z3.ArithRef | None, int]:
    """``x + c`` as x and c; (None, 0) for any other term."""
    if isinstance(term, int) or operator_of(term) != z3.Z3_OP_ADD:
        return None, 0
    parts = parts_of(term)
    if len(parts) != 2 or operator_of(parts[1]) != z3.Z3_OP_ANUM:
        return None, 0
    return parts[0], int(parts[1].as_long())


def _scaled(term: z3.ArithRef) -> tuple[int, z3.ArithRef] | None:
    """``k * x`` with a constant k > 0 as k and x."""
    if operator_of(term) != z3.Z3_OP_MUL:
        return None
    parts = parts_of(term)
    if len(parts) != 2 or operator_of(parts[0]) != z3.Z3_OP_ANUM:
        return None
    factor = int(parts[0].as_long())
    return (factor, parts[1]) if factor > 0 else None


def at_least(left: Term, right: Term) -> Term:
    """left >= right, of integers."""
    if isinstance(left, int) and isinstance(right, int):
        return left >= right
    if isinstance(right, int):
        return _pushed(left, _leaf_at_least, right)
    if isinstance(left, int):
        return negation(_pushed(right, _leaf_at_least, left + 1))
    return True if same(left, right) else not_less(left, right)


def below(left: Term, right: Term) -> Term:
    return negation(at_least(left, right))


def _leaf_at_least(leaf: Term, bound: int) -> Term:
    if isinstance(leaf, int):
        return leaf >= bound
    inner, shift = _split(leaf)
    if inner is not None:
        return at_least(inner, bound - shift)
    if operator_of(leaf) == z3.Z3_OP_SUB:
        whole, taken = parts_of(leaf)
        if operator_of(whole) == z3.Z3_OP_ANUM:
            return below(taken, whole.as_long() - bound + 1)
    scaled = _scaled(leaf)
    if scaled is not None:
        return at_least(scaled[1], -(-bound // scaled[0]))
    return not_less(leaf, number(bound))


def equal(left: Term, right: Term) -> Term:
    """Equality of two integers, bit strings or Booleans."""
    if isinstance(left, int) and isinstance(right, int):
        return left == right
    if isinstance(left, int):
        left, right = right, left
    if isinstance(right, bool):
        return left if right else negation(left)
    if isinstance(right, int):
        return _pushed(left, _leaf_equal, right)
    return True if same(left, right) else equality(left, right)


def _leaf_equal(leaf: Term, constant: int) -> Term:
    if isinstance(leaf, int):
        return leaf == constant
    inner, shift = _split(leaf)
    if inner is not None:
        return equal(inner, constant - shift)
    scaled = _scaled(leaf)
    if scaled is not None:
        quotient, remainder = divmod(constant, scaled[0])
        return False if remainder else equal(scaled[1], quotient)
    if isinstance(leaf, z3.BitVecRef):
        return equality(leaf, bits(constant, leaf.size()))
    return equality(leaf, number(constant))


def _pushed(term: Term, test: Test, constant: int, depth: int = PUSH_DEPTH) -> Term:
    """The test of a term, of each branch alone where one of them is a constant.

    A conditional value remembers its tests: values that grow branch by branch share them."""
    if isinstance(term, int) or depth == 0 or operator_of(term) != z3.Z3_OP_ITE:
        return test(term, constant)
    tested: dict[tuple[Test, int], Term] | None = getattr(term, "tested", None)
    if tested is None:
        tested = term.tested = {}
    known = tested.get((test, constant))
    if known is None:
        known = tested[test, constant] = _pushed_apart(term, test, constant, depth)
    return known


def _pushed_apart(term: z3.ExprRef, test: Test, constant: int, depth: int) -> Term:
    condition, *branches = parts_of(term)
    chosen, otherwise = (constant_of(branch) for branch in branches)
    known = isinstance(chosen, int) or isinstance(otherwise, int)
    if known or (depth > PUSH_DEPTH - 3 and _has_constant(chosen) and _has_constant(otherwise)):
        first = _pushed(chosen, test, constant, depth - 1)
        second = _pushed(otherwise, test, constant, depth - 1)
        return choose(condition, first, second, z3.BoolSort())
    return test(term, constant)


def _has_constant(term: z3.ExprRef) -> bool:
    return operator_of(term) == z3.Z3_OP_ITE and any(
        isinstance(constant_of(branch), int) for branch in parts_of(term)[1:]
    )


def truncated_quotient(left: Term, right: Term) -> Term:
    """left / right rounded toward zero; ``right`` is not 0 (any number where it is)."""
    if isinstance(left, int) and isinstance(right, int):
        quotient = abs(left) // abs(right or 1)
        return quotient if (left < 0) == (right < 0) else -quotient
    dividend, divisor = magnitude(left), _positive(magnitude(right))
    quotient = dividend if same(divisor, 1) else lifted(dividend, z3.IntSort()) / divisor
    negative = differs(below(left, 0), below(right, 0))
    return choose(negative, times(-1, quotient), quotient, z3.IntSort())


def remainder_of(left: Term, right: Term) -> Term:
    """The remainder with the dividend's sign; ``right`` is not 0 (any number where it is)."""
    if isinstance(left, int) and isinstance(right, int):
        remainder = abs(left) % abs(right or 1)
        return -remainder if left < 0 else remainder
    remainder = lifted(magnitude(left), z3.IntSort()) % _positive(magnitude(right))
    return choose(below(left, 0), times(-1, remainder), remainder, z3.IntSort())


def magnitude(term: Term) -> Term:
    if isinstance(term, int):
        return abs(term)
    return choose(at_least(term, 0), term, times(-1, term), z3.IntSort())


def _positive(divisor: Term) -> Term:
    """1 in place of 0: division by zero is free in z3, and a step must be a function."""
    return choose(equal(divisor, 0), 1, divisor, z3.IntSort())


def wrapped(term: Term, lowest: int, bits: int) -> Term:
    """The number of ``bits`` bits from ``lowest`` on that equals the term modulo 2**bits."""
    size = 1 << bits
    if isinstance(term, int):
        return (term - lowest) % size + lowest
    inside = both(at_least(term, lowest), below(term, lowest + size))
    turned = total(lifted(difference(term, lowest), z3.IntSort()) % size, lowest)
    return choose(inside, term, turned, z3.IntSort())
