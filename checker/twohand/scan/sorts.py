"""Terms by their sort, where their place alone says which one they have."""

from __future__ import annotations

from typing import TypeVar, cast

import z3

Sorted = TypeVar("Sorted", z3.BoolRef, z3.ArithRef, z3.BitVecRef, z3.ExprRef)
"""A term and what is made of it without a change of sort."""


def boolean(term: z3.ExprRef) -> z3.BoolRef:
    """The very term. TypeError where it is no Boolean."""
    if isinstance(term, z3.BoolRef):
        return term
    raise TypeError(f"a term of sort {term.sort()} is no Boolean")


def integer(term: z3.ExprRef) -> z3.ArithRef:
    """The very term. TypeError where it is no integer."""
    if isinstance(term, z3.ArithRef):
        return term
    raise TypeError(f"a term of sort {term.sort()} is no integer")


def bit_string(term: z3.ExprRef) -> z3.BitVecRef:
    """The very term. TypeError where it is no bit string."""
    if isinstance(term, z3.BitVecRef):
        return term
    raise TypeError(f"a term of sort {term.sort()} is no bit string")


def of_sort(term: z3.ExprRef, like: Sorted) -> Sorted:
    """The very term, made in a way that keeps the sort of ``like``; not looked at again."""
    return cast(Sorted, term)  # type: ignore[redundant-cast]  # where Sorted is ExprRef
