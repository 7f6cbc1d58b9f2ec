"""A bound on how deep a typed program is nested, through all its calls, so that the rooms that
give it a meaning can walk it by recursion."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass

from twohand.program.program import (
    CallBlock,
    CallFunction,
    CallStandard,
    Routine,
    StandardInstance,
    Variable,
)
from twohand.text.source_text import Span

DEEPEST_PROGRAM = 150
"""Levels of statements, expressions and calls together."""

_LEAVES = (Variable, StandardInstance, Span)


def depth_of(routine: Routine, known: Mapping[int, int]) -> int:
    """Levels below a routine; ``known`` has those of the routines that it calls, by ``id``."""
    deepest = 0
    waiting: list[tuple[object, int]] = [(routine.body, 0)]
    while waiting:
        node, depth = waiting.pop()
        if isinstance(node, Routine):
            deepest = max(deepest, depth + known.get(id(node), 0))
            continue
        if not isinstance(node, tuple):
            depth += 1
        deepest = max(deepest, depth)
        waiting.extend((part, depth) for part in parts_of(node))
    return deepest


def parts_of(node: object) -> Iterator[object]:
    if isinstance(node, tuple):
        yield from (part for part in node if isinstance(part, tuple) or _is_node(part))
    elif isinstance(node, CallBlock | CallFunction | CallStandard):
        yield node.arguments
        yield node.outputs
        if not isinstance(node, CallStandard):
            yield node.routine
    else:
        for name in part_names(type(node)) or ():
            value = getattr(node, name)
            if isinstance(value, tuple) or _is_node(value):
                yield value


def _is_node(value: object) -> bool:
    return part_names(type(value)) is not None and not isinstance(value, _LEAVES)


def part_names(kind: type) -> tuple[str, ...] | None:
    """The names of a node's parts; None for what is no node."""
    if kind not in _PARTS:
        names = tuple(part.name for part in fields(kind)) if is_dataclass(kind) else None
        _PARTS[kind] = names
    return _PARTS[kind]


_PARTS: dict[type, tuple[str, ...] | None] = {}
