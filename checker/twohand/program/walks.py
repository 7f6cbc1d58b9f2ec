"""Walks over trees of nodes: of a text, of a typed program, of a formula.

They keep lists of what waits, since trees are nested deeper than calls of functions can be.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass

from twohand.program.durations import Nanoseconds
from twohand.program.nodes import Expression, Literal, Read, Routine
from twohand.program.program import Program
from twohand.program.types import Duration
from twohand.program.variables import StandardInstance, Variable
from twohand.text.source_text import SourceText, Span

DEEPEST_PROGRAM = 150
"""Levels of statements, expressions and calls together, so that the rooms that give a program its
meaning can walk it by recursion."""

_LEAVES = (Variable, StandardInstance, Span, SourceText)


def parts_of(node: object) -> Iterator[object]:
    """The nodes, and tuples of such, of which a node or a tuple consists, in their order.
    Variables, instances and places are no nodes."""
    names = _part_names(type(node)) or ()
    for part in node if isinstance(node, tuple) else (getattr(node, name) for name in names):
        if isinstance(part, tuple) or _part_names(type(part)) is not None:
            yield part


def _part_names(kind: type) -> tuple[str, ...] | None:
    """The names of a node's parts; None for what is no node."""
    if kind not in _PARTS:
        node = is_dataclass(kind) and not issubclass(kind, _LEAVES)
        _PARTS[kind] = tuple(part.name for part in fields(kind)) if node else None
    return _PARTS[kind]


_PARTS: dict[type, tuple[str, ...] | None] = {}


def nodes_below(root: object) -> Iterator[object]:
    """Every node from ``root`` on, with all that it calls, each once."""
    seen: set[int] = set()
    waiting = [root]
    while waiting:
        node = waiting.pop()
        if not isinstance(node, tuple):
            if id(node) in seen:
                continue
            seen.add(id(node))
            yield node
        waiting.extend(reversed([*parts_of(node)]))


def depth_of(routine: Routine, known: Mapping[Routine, int]) -> int:
    """Levels below a routine; ``known`` has those of the routines that it calls."""
    deepest = 0
    waiting: list[tuple[object, int]] = [(routine.body, 0)]
    while waiting:
        node, depth = waiting.pop()
        if isinstance(node, Routine):
            deepest = max(deepest, depth + known.get(node, 0))
            continue
        if not isinstance(node, tuple):
            depth += 1
        deepest = max(deepest, depth)
        waiting.extend((part, depth) for part in parts_of(node))
    return deepest


def variables_read(expression: Expression) -> Iterator[Read]:
    """The reads in an expression, from left to right."""
    return (node for node in nodes_below(expression) if isinstance(node, Read))


def durations(program: Program) -> Iterator[tuple[Nanoseconds, Span]]:
    """Every duration that the program states: literals and initial values."""
    for node in nodes_below(program.routine):
        if isinstance(node, Literal) and isinstance(node.type, Duration):
            yield Nanoseconds(node.value), node.span
    for variable in program.variables:
        if isinstance(variable.type, Duration):
            yield Nanoseconds(variable.initial), variable.span
