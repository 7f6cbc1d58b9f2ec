"""A bound on how deep a text may be nested, so that no walk of its tree runs out of stack."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass

from twohand.syntax.tree import nodes as tree
from twohand.syntax.tree import types as type_tree
from twohand.text.diagnostic import InputError, wrong
from twohand.text.source_text import SourceText, Span

DEEPEST = 64
"""Levels of expressions and statements together; what people write has ten."""

_LEVELS = (
    tree.Unary, tree.Binary, tree.Call, tree.If, tree.Case, tree.For, tree.While, tree.Repeat,
    type_tree.StructureType, type_tree.ArrayType,
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
        waiting.extend((child, depth) for child in _children(node))


def _children(node: object) -> Iterator[object]:
    if isinstance(node, tuple):
        yield from node
        return
    for name in _parts(type(node)):
        child = getattr(node, name)
        if isinstance(child, tuple) or _parts(type(child)):
            yield child


def _parts(kind: type) -> tuple[str, ...]:
    """The names of a node's parts; none for what is no node."""
    found = _PARTS.get(kind)
    if found is None:
        node = is_dataclass(kind) and not issubclass(kind, Span | SourceText)
        found = _PARTS[kind] = tuple(part.name for part in fields(kind)) if node else ()
    return found


_PARTS: dict[type, tuple[str, ...]] = {}


def _too_deep(span: Span) -> InputError:
    return wrong(
        "nested-too-deep",
        f"this is nested more than {DEEPEST} levels deep",
        Span(span.source, span.start, min(span.end, span.start + 1)),
        "split it up with further variables",
    )
