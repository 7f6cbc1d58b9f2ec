"""A bound on how deep a text may be nested, so that no walk of its tree runs out of stack."""

from __future__ import annotations

from twohand.program.walks import parts_of
from twohand.syntax import tree
from twohand.text.diagnostic import InputError, wrong
from twohand.text.source_text import Span

DEEPEST = 64
"""Levels of expressions and statements together; what people write has ten."""

_LEVELS = (
    tree.Unary, tree.Binary, tree.Call, tree.If, tree.Case, tree.For, tree.While, tree.Repeat,
    tree.StructureType, tree.ArrayType,
)  # fmt: skip


def check_nesting(root: object) -> None:
    """InputError (``nested-too-deep``) where a tree has more than ``DEEPEST`` levels."""
    waiting: list[tuple[object, int]] = [(root, 0)]
    while waiting:
        node, depth = waiting.pop()
        if isinstance(node, _LEVELS):
            depth += 1
            if depth > DEEPEST:
                raise _too_deep(node.span)
        waiting.extend((child, depth) for child in parts_of(node))


def _too_deep(span: Span) -> InputError:
    return wrong(
        "nested-too-deep",
        f"this is nested more than {DEEPEST} levels deep",
        Span(span.source, span.start, min(span.end, span.start + 1)),
        "split it up with further variables",
    )
