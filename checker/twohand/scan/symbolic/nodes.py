"""Nodes of z3 terms, built and looked into at a fraction of what z3's own functions cost.

Those bring every argument to a common sort and wrap every part that is looked at anew. Here the
sorts are right already, and a node carries what it was made of: its ``operator`` (z3's kind of
declaration) and its ``parts``, as attributes of z3's own object. The terms are the same.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Any

import z3

_TRUTH, _NUMBER = z3.BoolRef, z3.ArithRef
_KINDS = {z3.IntNumRef: z3.ArithRef, z3.BitVecNumRef: z3.BitVecRef}
"""What is no constant, for z3's classes of constants."""


def operator_of(term: z3.ExprRef) -> int:
    """The kind of a term's outermost operation."""
    known = getattr(term, "operator", None)
    if known is None:
        context = term.ctx_ref()
        known = z3.Z3_get_decl_kind(context, z3.Z3_get_app_decl(context, term.as_ast()))
        term.operator = known
    return int(known)


def parts_of(term: z3.ExprRef) -> Sequence[z3.ExprRef]:
    """What the outermost operation is applied to."""
    known: Sequence[z3.ExprRef] | None = getattr(term, "parts", None)
    if known is None:
        known = term.parts = term.children()
    return known


def identical(left: z3.ExprRef, right: z3.ExprRef) -> bool:
    """Whether the two are the very same term; z3 keeps equal terms once."""
    return left is right or bool(left.ast.value == right.ast.value)


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


@lru_cache(maxsize=10_000)
def number(value: int) -> z3.ArithRef:
    return z3.IntVal(value)


@lru_cache(maxsize=10_000)
def bits(value: int, width: int) -> z3.BitVecRef:
    return z3.BitVecVal(value, width)


def negated(term: z3.BoolRef) -> z3.BoolRef:
    made = z3.Z3_mk_not(term.ctx_ref(), term.ast)
    return _node(_TRUTH, made, z3.Z3_OP_NOT, (term,))


def conjunction(terms: Sequence[z3.BoolRef]) -> z3.BoolRef:
    return _joined(z3.Z3_mk_and, _TRUTH, z3.Z3_OP_AND, terms)


def disjunction(terms: Sequence[z3.BoolRef]) -> z3.BoolRef:
    return _joined(z3.Z3_mk_or, _TRUTH, z3.Z3_OP_OR, terms)


def unlike(left: z3.BoolRef, right: z3.BoolRef) -> z3.BoolRef:
    """Exclusive or."""
    return _of_two(z3.Z3_mk_xor, _TRUTH, z3.Z3_OP_XOR, left, right)


def conditional(condition: z3.BoolRef, chosen: z3.ExprRef, otherwise: z3.ExprRef) -> z3.ExprRef:
    made = z3.Z3_mk_ite(condition.ctx_ref(), condition.ast, chosen.ast, otherwise.ast)
    return _node(
        _KINDS.get(type(chosen), type(chosen)), made, z3.Z3_OP_ITE, (condition, chosen, otherwise)
    )


def equality(left: z3.ExprRef, right: z3.ExprRef) -> z3.BoolRef:
    return _of_two(z3.Z3_mk_eq, _TRUTH, z3.Z3_OP_EQ, left, right)


def not_less(left: z3.ArithRef, right: z3.ArithRef) -> z3.BoolRef:
    return _of_two(z3.Z3_mk_ge, _TRUTH, z3.Z3_OP_GE, left, right)


def added(left: z3.ArithRef, right: z3.ArithRef) -> z3.ArithRef:
    return _joined(z3.Z3_mk_add, _NUMBER, z3.Z3_OP_ADD, (left, right))


def subtracted(left: z3.ArithRef, right: z3.ArithRef) -> z3.ArithRef:
    return _joined(z3.Z3_mk_sub, _NUMBER, z3.Z3_OP_SUB, (left, right))


def multiplied(left: z3.ArithRef, right: z3.ArithRef) -> z3.ArithRef:
    return _joined(z3.Z3_mk_mul, _NUMBER, z3.Z3_OP_MUL, (left, right))


def _of_two(make: Any, kind: Any, operator: int, left: z3.ExprRef, right: z3.ExprRef) -> Any:
    return _node(kind, make(left.ctx_ref(), left.ast, right.ast), operator, (left, right))


def _joined(make: Any, kind: Any, operator: int, terms: Sequence[z3.ExprRef]) -> Any:
    count = len(terms)
    made = make(terms[0].ctx_ref(), count, (z3.Ast * count)(*(term.ast for term in terms)))
    return _node(kind, made, operator, tuple(terms))


def _node(kind: Any, made: Any, operator: int, parts: tuple[z3.ExprRef, ...]) -> Any:
    node = kind(made, parts[0].ctx)
    node.operator, node.parts = operator, parts
    return node
