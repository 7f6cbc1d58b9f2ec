"""Walks over term graphs: iterative, each shared node once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import z3

from twohand.scan.sorts import Sorted, of_sort


def is_symbol(term: z3.ExprRef) -> bool:
    """An uninterpreted constant: a state variable, an input, ``elapsed`` or ``scans``."""
    return z3.is_const(term) and term.decl().kind() == z3.Z3_OP_UNINTERPRETED


def operands(term: z3.ExprRef) -> list[z3.ExprRef]:
    """What an operation is made of: z3's ``children`` without its checks of every argument."""
    context, ast = term.ctx, term.as_ast()
    reference = context.ref()
    if z3.Z3_get_ast_kind(reference, ast) != z3.Z3_APP_AST:
        return []
    return [
        z3.z3._to_expr_ref(z3.Z3_get_app_arg(reference, ast, place), context)
        for place in range(z3.Z3_get_app_num_args(reference, ast))
    ]


def walk(roots: Iterable[z3.ExprRef], seen: set[int] | None = None) -> Iterator[z3.ExprRef]:
    """Every node below ``roots`` once, operands before what is made of them.

    ``seen`` holds the identifiers of the nodes already visited and is extended; the caller keeps
    those terms alive (identifiers of dead terms are used again).
    """
    done = set() if seen is None else seen
    for root in roots:
        stack: list[tuple[z3.ExprRef, bool]] = [(root, False)]
        while stack:
            term, expanded = stack.pop()
            if expanded:
                yield term
                continue
            identifier = term.get_id()
            if identifier in done:
                continue
            done.add(identifier)
            stack.append((term, True))
            stack.extend((child, False) for child in operands(term))


def symbols(roots: Iterable[z3.ExprRef], seen: set[int] | None = None) -> list[z3.ExprRef]:
    """The uninterpreted constants below ``roots``."""
    return [term for term in walk(roots, seen) if is_symbol(term)]


def name(symbol: z3.ExprRef) -> str:
    return symbol.decl().name()


def substitute(term: Sorted, pairs: Sequence[tuple[z3.ExprRef, z3.ExprRef]]) -> Sorted:
    return z3.substitute(term, *pairs) if pairs else term


class Substitution:
    """The same replacement applied to many terms; its arrays are built once."""

    def __init__(self, pairs: Sequence[tuple[z3.ExprRef, z3.ExprRef]], context: z3.Context) -> None:
        self._pairs = tuple(pairs)
        self._context = context
        self._count = len(self._pairs)
        self._old = (z3.Ast * self._count)(*(old.as_ast() for old, _ in self._pairs))
        self._new = (z3.Ast * self._count)(*(new.as_ast() for _, new in self._pairs))

    def __call__(self, term: Sorted) -> Sorted:
        if not self._count:
            return term
        reference = self._context.ref()
        replaced = z3.Z3_substitute(reference, term.as_ast(), self._count, self._old, self._new)
        return of_sort(z3.z3._to_expr_ref(replaced, self._context), term)


def value_term(value: bool | int, like: z3.ExprRef) -> z3.ExprRef:
    """The literal of ``like``'s sort."""
    sort = like.sort()
    if isinstance(value, bool):
        return z3.BoolVal(value, sort.ctx)
    if isinstance(sort, z3.BitVecSortRef):
        return z3.BitVecVal(value, sort.size(), sort.ctx)
    return z3.IntVal(value, sort.ctx)


def literal_value(term: z3.ExprRef) -> bool | int | None:
    """The value of a literal, None for any other term."""
    if z3.is_true(term):
        return True
    if z3.is_false(term):
        return False
    if z3.is_int_value(term) or z3.is_bv_value(term):
        return term.as_long()
    return None
