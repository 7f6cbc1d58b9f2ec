"""Terms that fold: a Python value where it is known, a z3 term where it is not.

Comparisons with a constant are brought to one form, ``x >= c`` or its negation, so that equal
conditions are the same term wherever they come from, and are pushed into conditional values whose
branches are constants.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import cache
from typing import TypeAlias, overload

import z3

from twohand.program.types import BitString, Boolean, Type, Value
from twohand.scan.sorts import bit_string, boolean, integer
from twohand.scan.symbolic.nodes import (
    BuiltTerm,
    bits,
    conditional,
    conjunction,
    disjunction,
    equality,
    identical,
    negated,
    not_less,
    number,
    operator_of,
    parts_of,
    truth,
    unlike,
)

Truth: TypeAlias = bool | z3.BoolRef
Number: TypeAlias = int | z3.ArithRef
Bits: TypeAlias = int | z3.BitVecRef
"""A constant is its unsigned value."""
Term: TypeAlias = bool | int | z3.ExprRef
"""Any of these, where the type of what it is the value of says which."""

Test: TypeAlias = Callable[[Term, int], Truth]
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


def truth_of(term: Term) -> Truth:
    """The very term. TypeError where it is no Boolean."""
    if isinstance(term, bool | z3.BoolRef):
        return term
    raise TypeError(f"{term} is no Boolean")


def number_of(term: Term) -> Number:
    """The very term. TypeError where it is no integer."""
    return term if isinstance(term, int) else integer(term)


def bits_of(term: Term) -> Bits:
    """The very term. TypeError where it is no bit string."""
    return term if isinstance(term, int) else bit_string(term)


@overload
def lifted(term: Truth, sort: z3.BoolSortRef) -> z3.BoolRef: ...
@overload
def lifted(term: Number, sort: z3.ArithSortRef) -> z3.ArithRef: ...
@overload
def lifted(term: Bits, sort: z3.BitVecSortRef) -> z3.BitVecRef: ...
@overload
def lifted(term: Term, sort: z3.SortRef) -> z3.ExprRef: ...
def lifted(term: Term, sort: z3.SortRef) -> z3.ExprRef:
    """The term as a z3 term of this sort."""
    if isinstance(term, bool):
        return truth(term)
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


def negation(term: Truth) -> Truth:
    if isinstance(term, bool):
        return not term
    return boolean(parts_of(term)[0]) if operator_of(term) == z3.Z3_OP_NOT else negated(term)


def both(left: Truth, right: Truth) -> Truth:
    if isinstance(left, bool):
        return right if left else False
    if isinstance(right, bool):
        return left if right else False
    if identical(left, right):
        return left
    return conjunction((left, right))


def either(left: Truth, right: Truth) -> Truth:
    if isinstance(left, bool):
        return True if left else right
    if isinstance(right, bool):
        return True if right else left
    if identical(left, right):
        return left
    return disjunction((left, right))


def all_of(terms: Iterable[Truth]) -> Truth:
    known: list[z3.BoolRef] = []
    for term in terms:
        if not isinstance(term, bool):
            known.append(term)
        elif not term:
            return False
    if not known:
        return True
    return known[0] if len(known) == 1 else conjunction(known)


def any_of(terms: Iterable[Truth]) -> Truth:
    unknown: list[z3.BoolRef] = []
    for term in terms:
        if not isinstance(term, bool):
            unknown.append(term)
        elif term:
            return True
    if not unknown:
        return False
    return unknown[0] if len(unknown) == 1 else disjunction(unknown)


def differs(left: Truth, right: Truth) -> Truth:
    """Exclusive or."""
    if isinstance(left, bool):
        return negation(right) if left else right
    if isinstance(right, bool):
        return negation(left) if right else left
    return unlike(left, right)


@overload
def choose(condition: Truth, chosen: Truth, otherwise: Truth, sort: z3.BoolSortRef) -> Truth: ...
@overload
def choose(
    condition: Truth, chosen: Number, otherwise: Number, sort: z3.ArithSortRef
) -> Number: ...
@overload
def choose(condition: Truth, chosen: Bits, otherwise: Bits, sort: z3.BitVecSortRef) -> Bits: ...
@overload
def choose(condition: Truth, chosen: Term, otherwise: Term, sort: z3.SortRef) -> Term: ...
def choose(condition: Truth, chosen: Term, otherwise: Term, sort: z3.SortRef) -> Term:
    """``chosen`` where the condition holds."""
    if isinstance(condition, bool):
        return chosen if condition else otherwise
    if operator_of(condition) == z3.Z3_OP_NOT:
        condition, chosen, otherwise = boolean(parts_of(condition)[0]), otherwise, chosen
    chosen = _under(condition, chosen, 1)
    otherwise = _under(condition, otherwise, 2)
    if same(chosen, otherwise):
        return chosen
    if isinstance(chosen, bool):
        other = truth_of(otherwise)
        return either(condition, other) if chosen else both(negation(condition), other)
    if isinstance(otherwise, bool):
        first = truth_of(chosen)
        return either(negation(condition), first) if otherwise else both(condition, first)
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
    if isinstance(term, BuiltTerm):
        return term if term.constant is None else term.constant
    if isinstance(term, (z3.IntNumRef, z3.BitVecNumRef)):
        return term.as_long()
    operator = operator_of(term)
    if operator == z3.Z3_OP_TRUE:
        return True
    return False if operator == z3.Z3_OP_FALSE else term


# --- comparisons ------------------------------------------------------------------------------


def split_sum(term: Term) -> tuple[z3.ArithRef | None, int]:
    """``x + c`` as x and c; (None, 0) for any other term."""
    if isinstance(term, int) or operator_of(term) != z3.Z3_OP_ADD:
        return None, 0
    parts = parts_of(term)
    shift = constant_of(parts[1]) if len(parts) == 2 else None
    return (integer(parts[0]), shift) if isinstance(shift, int) else (None, 0)


def _scaled(term: z3.ExprRef) -> tuple[int, z3.ArithRef] | None:
    """``k * x`` with a constant k > 0 as k and x."""
    if operator_of(term) != z3.Z3_OP_MUL:
        return None
    parts = parts_of(term)
    factor = constant_of(parts[0]) if len(parts) == 2 else None
    return (factor, integer(parts[1])) if isinstance(factor, int) and factor > 0 else None


def at_least(left: Number, right: Number) -> Truth:
    """left >= right, of integers."""
    if isinstance(left, int) and isinstance(right, int):
        return left >= right
    if isinstance(right, int):
        return _pushed(left, _leaf_at_least, right)
    if isinstance(left, int):
        return negation(_pushed(right, _leaf_at_least, left + 1))
    return True if same(left, right) else not_less(left, right)


def below(left: Number, right: Number) -> Truth:
    return negation(at_least(left, right))


def _leaf_at_least(leaf: Term, bound: int) -> Truth:
    if isinstance(leaf, int):
        return leaf >= bound
    inner, shift = split_sum(leaf)
    if inner is not None:
        return at_least(inner, bound - shift)
    if operator_of(leaf) == z3.Z3_OP_SUB:
        whole, taken = parts_of(leaf)
        minuend = constant_of(whole)
        if isinstance(minuend, int):
            return below(integer(taken), minuend - bound + 1)
    scaled = _scaled(leaf)
    if scaled is not None:
        return at_least(scaled[1], -(-bound // scaled[0]))
    return not_less(integer(leaf), number(bound))


def equal(left: Term, right: Term) -> Truth:
    """Equality of two integers, bit strings or Booleans."""
    if isinstance(left, int):
        return left == right if isinstance(right, int) else _equal_to(right, left)
    if isinstance(right, int):
        return _equal_to(left, right)
    return True if identical(left, right) else equality(left, right)


def _equal_to(term: z3.ExprRef, constant: bool | int) -> Truth:
    if isinstance(constant, bool):
        known = boolean(term)
        return known if constant else negation(known)
    return _pushed(term, _leaf_equal, constant)


def _leaf_equal(leaf: Term, constant: int) -> Truth:
    if isinstance(leaf, int):
        return leaf == constant
    inner, shift = split_sum(leaf)
    if inner is not None:
        return equal(inner, constant - shift)
    scaled = _scaled(leaf)
    if scaled is not None:
        quotient, remainder = divmod(constant, scaled[0])
        return False if remainder else equal(scaled[1], quotient)
    if isinstance(leaf, z3.BitVecRef):
        return equality(leaf, bits(constant, leaf.size()))
    return equality(leaf, number(constant))


def _pushed(term: Term, test: Test, constant: int, depth: int = PUSH_DEPTH) -> Truth:
    """The test of a term, of each branch alone where one of them is a constant.

    A conditional value remembers its tests: values that grow branch by branch share them."""
    if isinstance(term, int) or depth == 0 or operator_of(term) != z3.Z3_OP_ITE:
        return test(term, constant)
    if not isinstance(term, BuiltTerm):
        return _pushed_apart(term, test, constant, depth)
    if term.tested is None:
        term.tested = {}
    known = term.tested.get((test, constant))
    if known is None:
        known = term.tested[test, constant] = _pushed_apart(term, test, constant, depth)
    return known


def _pushed_apart(term: z3.ExprRef, test: Test, constant: int, depth: int) -> Truth:
    condition, *branches = parts_of(term)
    chosen, otherwise = (constant_of(branch) for branch in branches)
    known = isinstance(chosen, int) or isinstance(otherwise, int)
    if known or (depth > PUSH_DEPTH - 3 and _has_constant(chosen) and _has_constant(otherwise)):
        first = _pushed(chosen, test, constant, depth - 1)
        second = _pushed(otherwise, test, constant, depth - 1)
        return choose(boolean(condition), first, second, z3.BoolSort())
    return test(term, constant)


def _has_constant(term: Term) -> bool:
    return (
        not isinstance(term, int)
        and operator_of(term) == z3.Z3_OP_ITE
        and any(isinstance(constant_of(branch), int) for branch in parts_of(term)[1:])
    )
