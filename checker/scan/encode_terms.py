"""Terms that fold: a Python value where it is known, a z3 term where it is not.

Comparisons with a constant are brought to one form, ``x >= c`` or its negation, so that equal
conditions are the same term wherever they come from, and are pushed into conditional values whose
branches are constants.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import cache
from typing import TypeAlias

import z3

from checker.source.types import BitString, Boolean, Type, Value

Term: TypeAlias = bool | int | z3.ExprRef
"""``bool`` and ``int`` are constants (a bit string's is its unsigned value)."""

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
        return z3.BitVecVal(term, sort) if z3.is_bv_sort(sort) else z3.IntVal(term)
    return term


def value_of(value: Value, kind: Type) -> Term:
    """A constant of this type; durations are in units already."""
    return bool(value) if isinstance(kind, Boolean) else int(value)


def operator_of(term: z3.ExprRef) -> int:
    """The kind of a term's outermost operation, at a fraction of what ``is_app_of`` costs."""
    context = term.ctx_ref()
    return int(z3.Z3_get_decl_kind(context, z3.Z3_get_app_decl(context, term.as_ast())))


def same(left: Term, right: Term) -> bool:
    """Whether the two are the same constant or the very same term."""
    if isinstance(left, int):
        return isinstance(right, int) and left == right
    if isinstance(right, int):
        return False
    return bool(left.get_id() == right.get_id())


# --- Boolean ----------------------------------------------------------------------------------


def negation(term: Term) -> Term:
    if isinstance(term, int):
        return not term
    return term.arg(0) if operator_of(term) == z3.Z3_OP_NOT else z3.Not(term)


def both(left: Term, right: Term) -> Term:
    if left is False or right is False:
        return False
    if left is True:
        return right
    if right is True or same(left, right):
        return left
    return z3.And(left, right)


def either(left: Term, right: Term) -> Term:
    if left is True or right is True:
        return True
    if left is False:
        return right
    if right is False or same(left, right):
        return left
    return z3.Or(left, right)


def all_of(terms: Iterable[Term]) -> Term:
    known: list[z3.BoolRef] = []
    for term in terms:
        if term is False:
            return False
        if term is not True:
            known.append(term)
    if not known:
        return True
    return known[0] if len(known) == 1 else z3.And(known)


def any_of(terms: Iterable[Term]) -> Term:
    unknown: list[z3.BoolRef] = []
    for term in terms:
        if term is True:
            return True
        if term is not False:
            unknown.append(term)
    if not unknown:
        return False
    return unknown[0] if len(unknown) == 1 else z3.Or(unknown)


def differs(left: Term, right: Term) -> Term:
    """Exclusive or."""
    if isinstance(left, bool):
        return negation(right) if left else right
    if isinstance(right, bool):
        return negation(left) if right else left
    return z3.Xor(left, right)


def choose(condition: Term, chosen: Term, otherwise: Term, sort: z3.SortRef) -> Term:
    """``chosen`` where the condition holds."""
    if isinstance(condition, int):
        return chosen if condition else otherwise
    if operator_of(condition) == z3.Z3_OP_NOT:
        condition, chosen, otherwise = condition.arg(0), otherwise, chosen
    chosen = _under(condition, chosen, 1)
    otherwise = _under(condition, otherwise, 2)
    if same(chosen, otherwise):
        return chosen
    if isinstance(chosen, bool):
        return either(condition, otherwise) if chosen else both(negation(condition), otherwise)
    if isinstance(otherwise, bool):
        return either(negation(condition), chosen) if otherwise else both(condition, chosen)
    return z3.If(condition, lifted(chosen, sort), lifted(otherwise, sort))


def _under(condition: z3.BoolRef, term: Term, branch: int) -> Term:
    """The term where this condition is known to hold (branch 1) or not to hold (2)."""
    if isinstance(term, int):
        return term
    if term.get_id() == condition.get_id():
        return branch == 1
    if operator_of(term) == z3.Z3_OP_ITE and term.arg(0).eq(condition):
        return constant_of(term.arg(branch))
    return term


def constant_of(term: z3.ExprRef) -> Term:
    """The Python value of a z3 constant, any other term as it is."""
    match operator_of(term):
        case z3.Z3_OP_ANUM | z3.Z3_OP_BNUM:
            return int(term.as_long())
        case z3.Z3_OP_TRUE:
            return True
        case z3.Z3_OP_FALSE:
            return False
    return term


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
        return left if right == 0 else left + right
    return left + right


def difference(left: Term, right: Term) -> Term:
    if isinstance(right, int):
        return total(left, -right)
    if same(left, right):
        return 0
    return left - right


def times(left: Term, right: Term) -> Term:
    if isinstance(left, int) and isinstance(right, int):
        return left * right
    if isinstance(right, int):
        left, right = right, left
    if isinstance(left, int):
        if left == 0:
            return 0
        return right if left == 1 else left * right
    return left * right


def _split(term: Term) -> tuple[z3.ArithRef | None, int]:
    """``x + c`` as x and c; (None, 0) for any other term."""
    if isinstance(term, int) or operator_of(term) != z3.Z3_OP_ADD or term.num_args() != 2:
        return None, 0
    constant = term.arg(1)
    return (term.arg(0), constant.as_long()) if z3.is_int_value(constant) else (None, 0)


def _scaled(term: z3.ArithRef) -> tuple[int, z3.ArithRef] | None:
    """``k * x`` with a constant k > 0 as k and x."""
    if (
        operator_of(term) != z3.Z3_OP_MUL
        or term.num_args() != 2
        or not z3.is_int_value(term.arg(0))
    ):
        return None
    factor = term.arg(0).as_long()
    return (factor, term.arg(1)) if factor > 0 else None


def at_least(left: Term, right: Term) -> Term:
    """left >= right, of integers."""
    if isinstance(left, int) and isinstance(right, int):
        return left >= right
    if isinstance(right, int):
        bound = right
        return _pushed(left, lambda leaf: _leaf_at_least(leaf, bound))
    if isinstance(left, int):
        lowest = left + 1
        return negation(_pushed(right, lambda leaf: _leaf_at_least(leaf, lowest)))
    return True if same(left, right) else left >= right


def below(left: Term, right: Term) -> Term:
    return negation(at_least(left, right))


def _leaf_at_least(leaf: Term, bound: int) -> Term:
    if isinstance(leaf, int):
        return leaf >= bound
    inner, shift = _split(leaf)
    if inner is not None:
        return at_least(inner, bound - shift)
    if operator_of(leaf) == z3.Z3_OP_SUB and z3.is_int_value(leaf.arg(0)):
        return below(leaf.arg(1), leaf.arg(0).as_long() - bound + 1)
    scaled = _scaled(leaf)
    if scaled is not None:
        return at_least(scaled[1], -(-bound // scaled[0]))
    return leaf >= bound


def equal(left: Term, right: Term) -> Term:
    """Equality of two integers, bit strings or Booleans."""
    if isinstance(left, int) and isinstance(right, int):
        return left == right
    if isinstance(left, int):
        left, right = right, left
    if isinstance(right, bool):
        return left if right else negation(left)
    if isinstance(right, int):
        constant = right
        return _pushed(left, lambda leaf: _leaf_equal(leaf, constant))
    return True if same(left, right) else left == right


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
    return leaf == constant


def _pushed(term: z3.ExprRef, test: Callable[[Term], Term], depth: int = PUSH_DEPTH) -> Term:
    """The test of a term, of each branch alone where one of them is a constant."""
    if depth == 0 or operator_of(term) != z3.Z3_OP_ITE:
        return test(term)
    chosen, otherwise = constant_of(term.arg(1)), constant_of(term.arg(2))
    if isinstance(chosen, int):
        inner = test(otherwise) if isinstance(otherwise, int) else None
        rest = _pushed(otherwise, test, depth - 1) if inner is None else inner
        return choose(term.arg(0), test(chosen), rest, z3.BoolSort())
    if isinstance(otherwise, int):
        rest = _pushed(chosen, test, depth - 1)
        return choose(term.arg(0), rest, test(otherwise), z3.BoolSort())
    if depth > PUSH_DEPTH - 3 and _has_constant(chosen) and _has_constant(otherwise):
        return choose(
            term.arg(0),
            _pushed(chosen, test, depth - 1),
            _pushed(otherwise, test, depth - 1),
            z3.BoolSort(),
        )
    return test(term)


def _has_constant(term: z3.ExprRef) -> bool:
    return operator_of(term) == z3.Z3_OP_ITE and any(
        isinstance(constant_of(term.arg(branch)), int) for branch in (1, 2)
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
