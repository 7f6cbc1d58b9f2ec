"""What z3's Python does around each call of its library, without what is never needed.

Every call there converts its arguments by methods in Python, lets other threads run and asks for an
error afterwards: for terms that are made and walked by the thousand this takes longer than solving.
``lighten`` puts in the place of the calls that we make most often ones that do the same in the
library, in the same order: an answer is the same with and without. A call that can fail still
raises; one that looks at a living term cannot. A version of z3 that has a call in another form
keeps its own.
"""

from __future__ import annotations

import ctypes
import inspect
from collections.abc import Callable
from typing import Any

import z3

_LOOKS = (
    "Z3_dec_ref",
    "Z3_get_app_num_args",
    "Z3_get_ast_hash",
    "Z3_get_ast_id",
    "Z3_get_ast_kind",
    "Z3_get_decl_kind",
    "Z3_get_sort_kind",
    "Z3_get_symbol_kind",
    "Z3_inc_ref",
    "Z3_is_eq_ast",
    "Z3_is_eq_sort",
    "Z3_stats_dec_ref",
    "Z3_stats_inc_ref",
    "Z3_stats_size",
)
"""Calls that cannot fail: they look at what is alive, or count who holds it."""
_MAKES = (
    "Z3_get_app_arg",
    "Z3_get_app_decl",
    "Z3_get_decl_name",
    "Z3_get_sort",
    "Z3_mk_add",
    "Z3_mk_and",
    "Z3_mk_bool_sort",
    "Z3_mk_const",
    "Z3_mk_distinct",
    "Z3_mk_eq",
    "Z3_mk_ge",
    "Z3_mk_gt",
    "Z3_mk_implies",
    "Z3_mk_int_sort",
    "Z3_mk_ite",
    "Z3_mk_le",
    "Z3_mk_lt",
    "Z3_mk_mul",
    "Z3_mk_not",
    "Z3_mk_or",
    "Z3_mk_sub",
    "Z3_mk_xor",
    "Z3_solver_get_statistics",
    "Z3_substitute",
)
"""Calls that may fail: z3 is asked whether they did."""
_PLAIN_SORTS = {
    (z3.Z3_APP_AST, z3.Z3_BOOL_SORT): z3.BoolRef,
    (z3.Z3_APP_AST, z3.Z3_INT_SORT): z3.ArithRef,
    (z3.Z3_NUMERAL_AST, z3.Z3_INT_SORT): z3.IntNumRef,
    (z3.Z3_APP_AST, z3.Z3_BV_SORT): z3.BitVecRef,
    (z3.Z3_NUMERAL_AST, z3.Z3_BV_SORT): z3.BitVecNumRef,
}
Call = Callable[..., Any]
_lightened: dict[str, Call] = {}
"""z3's own calls that were replaced, by name."""


def lighten() -> None:
    """For this process, once."""
    if _lightened:
        return
    for name in (*_LOOKS, *_MAKES):
        own: Call | None = getattr(z3, name, None)
        parts = None if own is None else _parts_of(own)
        if own is None or parts is None:
            continue
        plain = _plain(parts.f)
        _put(name, own, _checked(plain, parts) if name in _MAKES else plain)
    if {"Z3_get_ast_kind", "Z3_get_sort", "Z3_get_sort_kind"} <= _lightened.keys():
        _put("_to_expr_ref", z3.z3._to_expr_ref, _term_of(z3.z3._to_expr_ref))
    if {"Z3_inc_ref", "Z3_dec_ref"} <= _lightened.keys():
        _hold_lightly()


def _put(name: str, own: Call, light: Call) -> None:
    """Everywhere where z3 has the call's name."""
    _lightened[name] = own
    for module in (z3, z3.z3, z3.z3core):
        if getattr(module, name, None) is own:
            setattr(module, name, light)


def _parts_of(own: Call) -> Any:
    """The library's function and its errors, which z3 keeps in a default value; None where this
    version has the call in another form, or does something more with what it gets."""
    given = inspect.signature(own).parameters
    parts = given["_elems"].default if "_elems" in given else None
    known = ("f", "get_error_code", "get_error_message", "Exception")
    plain = all(hasattr(parts, each) for each in known)
    names = {*own.__code__.co_names, *own.__code__.co_varnames}
    return parts if plain and names <= {"f", "Check", "r", *given} else None


def _plain(own: Any) -> Call:
    """The same function, called with the handles as they are and without a pause for threads."""
    address = ctypes.cast(own, ctypes.c_void_p).value
    assert address is not None
    return ctypes.PYFUNCTYPE(own.restype)(address)


def _checked(call: Call, parts: Any) -> Call:
    code_of, fine = _plain(parts.get_error_code), z3.Z3_OK

    def checked(context: z3.ContextObj, *arguments: object) -> object:
        made = call(context, *arguments)
        code = code_of(context)
        if code != fine:
            raise parts.Exception(parts.get_error_message(context, code))
        return made

    return checked


def _term_of(own: Call) -> Call:
    """Handles as terms: those of plain sorts at once."""
    kind_of, sort_of = z3.Z3_get_ast_kind, z3.z3core.Z3_get_sort
    sort_kind_of, pattern = z3.z3core.Z3_get_sort_kind, z3.z3.Pattern

    def term(handle: z3.Ast, context: z3.Context) -> z3.AstRef:
        if isinstance(handle, pattern):
            return own(handle, context)  # type: ignore[no-any-return]
        reference = context.ref()
        sort = sort_kind_of(reference, sort_of(reference, handle))
        made = _PLAIN_SORTS.get((kind_of(reference, handle), sort))
        if made is None:
            return own(handle, context)  # type: ignore[no-any-return]
        return made(handle, context)

    return term


def _hold_lightly() -> None:
    """Terms are held and let go as z3 does it."""
    main, hold, let_go = z3.main_ctx, z3.z3core.Z3_inc_ref, z3.z3core.Z3_dec_ref

    def begin(self: z3.AstRef, ast: z3.Ast, ctx: z3.Context | None = None) -> None:
        self.ast = ast
        self.ctx = ctx = main() if ctx is None else ctx
        hold(ctx.ref(), ast)

    def end(self: z3.AstRef) -> None:
        reference = self.ctx.ref()
        if self.ast is not None and reference is not None:
            let_go(reference, self.ast)
            self.ast = None  # type: ignore[assignment]  # so that it is let go once

    z3.AstRef.__init__ = begin  # type: ignore[method-assign]
    z3.AstRef.__del__ = end  # type: ignore[attr-defined]
