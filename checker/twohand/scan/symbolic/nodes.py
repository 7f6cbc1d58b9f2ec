"""Nodes of z3 terms, built and looked into at a fraction of what z3's own functions cost.

Those bring every argument to a common sort and wrap every part that is looked at anew. Here the
sorts are right already, and a node carries what it was made of. The terms are the same as z3's.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from ctypes import Array
from functools import lru_cache
from typing import TypeVar, overload

import z3

from twohand.scan.sorts import Sorted, of_sort


class BuiltTerm(z3.ExprRef):
    """A term with its ``operator`` (z3's kind of declaration) and its ``parts``. ``constant`` is
    its value where it is a literal; ``tested`` has the comparisons of it that were made.

    Python asks the operand of the more special class first: where ``x`` is z3's own term,
    ``x <= built`` becomes the equal ``built >= x``."""

    operator: int
    parts: Sequence[z3.ExprRef]
    constant: bool | int | None = None
    tested: dict[tuple[object, int], bool | z3.BoolRef] | None = None


class BuiltBoolean(BuiltTerm, z3.BoolRef):
    pass


class BuiltInteger(BuiltTerm, z3.ArithRef):
    pass


class BuiltBitString(BuiltTerm, z3.BitVecRef):
    pass


class IntegerLiteral(BuiltTerm, z3.IntNumRef):
    pass


class BitStringLiteral(BuiltTerm, z3.BitVecNumRef):
    pass


Made = TypeVar("Made", bound=BuiltTerm)
Joining = Callable[[z3.ContextObj, int, "Array[z3.Ast]"], z3.Ast]
Comparing = Callable[[z3.ContextObj, z3.Ast, z3.Ast], z3.Ast]


def operator_of(term: z3.ExprRef) -> int:
    """The kind of a term's outermost operation."""
    if isinstance(term, BuiltTerm):
        return term.operator
    context = term.ctx_ref()
    return z3.Z3_get_decl_kind(context, z3.Z3_get_app_decl(context, term.as_ast()))


def parts_of(term: z3.ExprRef) -> Sequence[z3.ExprRef]:
    """What the outermost operation is applied to."""
    return term.parts if isinstance(term, BuiltTerm) else term.children()


def identical(left: z3.ExprRef, right: z3.ExprRef) -> bool:
    """Whether the two are the very same term; z3 keeps equal terms once."""
    return left is right or left.ast.value == right.ast.value


def cut(term: z3.BoolRef, size: int) -> z3.BoolRef:
    """The ``size`` (or some more) nodes of the term nearest to its root; what is below them is
    replaced by arbitrary values, so that whatever makes the term true makes this one true."""
    near: dict[int, z3.ExprRef] = {}
    waiting: dict[int, z3.ExprRef] = {term.ast.value: term}
    while waiting and len(near) < size:
        level, waiting = waiting, {}
        near.update(level)
        for node in level.values():
            below = {part.ast.value: part for part in parts_of(node)}
            waiting.update((key, part) for key, part in below.items() if key not in near)
    return z3.substitute(term, *((node, z3.FreshConst(node.sort())) for node in waiting.values()))


# --- leaves -----------------------------------------------------------------------------------


@overload
def symbol(name: str, sort: z3.BoolSortRef) -> z3.BoolRef: ...
@overload
def symbol(name: str, sort: z3.ArithSortRef) -> z3.ArithRef: ...
@overload
def symbol(name: str, sort: z3.SortRef) -> z3.ExprRef: ...
def symbol(name: str, sort: z3.SortRef) -> z3.ExprRef:
    made = z3.Const(name, sort)
    return _node(_kind(made), made.ast, z3.Z3_OP_UNINTERPRETED, (), made.ctx)


@lru_cache(maxsize=2)
def truth(value: bool) -> z3.BoolRef:
    operator = z3.Z3_OP_TRUE if value else z3.Z3_OP_FALSE
    return _literal(BuiltBoolean, z3.BoolVal(value), operator, value)


@lru_cache(maxsize=10_000)
def number(value: int) -> z3.ArithRef:
    return _literal(IntegerLiteral, z3.IntVal(value), z3.Z3_OP_ANUM, value)


@lru_cache(maxsize=10_000)
def bits(value: int, width: int) -> z3.BitVecRef:
    made = z3.BitVecVal(value, width)
    return _literal(BitStringLiteral, made, z3.Z3_OP_BNUM, made.as_long())


def _literal(kind: type[Made], made: z3.ExprRef, operator: int, value: bool | int) -> Made:
    node = _node(kind, made.ast, operator, (), made.ctx)
    node.constant = value
    return node


# --- operations -------------------------------------------------------------------------------


def negated(term: z3.BoolRef) -> z3.BoolRef:
    made = z3.Z3_mk_not(term.ctx_ref(), term.ast)
    return _node(BuiltBoolean, made, z3.Z3_OP_NOT, (term,), term.ctx)


def conjunction(terms: Sequence[z3.BoolRef]) -> z3.BoolRef:
    return _joined(z3.Z3_mk_and, BuiltBoolean, z3.Z3_OP_AND, terms)


def disjunction(terms: Sequence[z3.BoolRef]) -> z3.BoolRef:
    return _joined(z3.Z3_mk_or, BuiltBoolean, z3.Z3_OP_OR, terms)


def unlike(left: z3.BoolRef, right: z3.BoolRef) -> z3.BoolRef:
    """Exclusive or."""
    return _of_two(z3.Z3_mk_xor, z3.Z3_OP_XOR, left, right)


def conditional(condition: z3.BoolRef, chosen: Sorted, otherwise: Sorted) -> Sorted:
    made = z3.Z3_mk_ite(condition.ctx_ref(), condition.ast, chosen.ast, otherwise.ast)
    parts = (condition, chosen, otherwise)
    return of_sort(_node(_kind(chosen), made, z3.Z3_OP_ITE, parts, condition.ctx), chosen)


def equality(left: z3.ExprRef, right: z3.ExprRef) -> z3.BoolRef:
    return _of_two(z3.Z3_mk_eq, z3.Z3_OP_EQ, left, right)


def not_less(left: z3.ArithRef, right: z3.ArithRef) -> z3.BoolRef:
    return _of_two(z3.Z3_mk_ge, z3.Z3_OP_GE, left, right)


def added(left: z3.ArithRef, right: z3.ArithRef) -> z3.ArithRef:
    return _joined(z3.Z3_mk_add, BuiltInteger, z3.Z3_OP_ADD, (left, right))


def subtracted(left: z3.ArithRef, right: z3.ArithRef) -> z3.ArithRef:
    return _joined(z3.Z3_mk_sub, BuiltInteger, z3.Z3_OP_SUB, (left, right))


def multiplied(left: z3.ArithRef, right: z3.ArithRef) -> z3.ArithRef:
    return _joined(z3.Z3_mk_mul, BuiltInteger, z3.Z3_OP_MUL, (left, right))


def _of_two(make: Comparing, operator: int, left: z3.ExprRef, right: z3.ExprRef) -> BuiltBoolean:
    made = make(left.ctx_ref(), left.ast, right.ast)
    return _node(BuiltBoolean, made, operator, (left, right), left.ctx)


def _joined(make: Joining, kind: type[Made], operator: int, terms: Sequence[z3.ExprRef]) -> Made:
    count = len(terms)
    made = make(terms[0].ctx_ref(), count, (z3.Ast * count)(*(term.ast for term in terms)))
    return _node(kind, made, operator, tuple(terms), terms[0].ctx)


def _kind(like: z3.ExprRef) -> type[BuiltTerm]:
    """What has the sort of ``like`` and is no literal."""
    if isinstance(like, z3.BoolRef):
        return BuiltBoolean
    return BuiltInteger if isinstance(like, z3.ArithRef) else BuiltBitString


def _node(
    kind: type[Made],
    made: z3.Ast,
    operator: int,
    parts: tuple[z3.ExprRef, ...],
    context: z3.Context,
) -> Made:
    node = kind(made, context)
    node.operator, node.parts = operator, parts
    return node
