"""Walks over the typed program: what an expression reads, which durations a program names."""

from __future__ import annotations

from collections.abc import Iterator

from twohand.program.depth import part_names
from twohand.program.program import Expression, Literal, Program, Read, Variable
from twohand.program.types import Duration
from twohand.text.source_text import Span


def nodes_below(root: object) -> Iterator[object]:
    """Every node of the typed program reachable from ``root``, each once; variables are given,
    not entered (their spans and types are no nodes)."""
    seen: set[int] = set()
    waiting: list[object] = [root]
    while waiting:
        node = waiting.pop()
        if isinstance(node, tuple):
            waiting.extend(reversed(node))
            continue
        names = part_names(type(node))
        if names is None or isinstance(node, Span) or id(node) in seen:
            continue
        seen.add(id(node))
        yield node
        if not isinstance(node, Variable):
            waiting.extend(getattr(node, name) for name in reversed(names))


def variables_read(expression: Expression) -> Iterator[Read]:
    """The reads in an expression, from left to right."""
    return (node for node in nodes_below(expression) if isinstance(node, Read))


def durations(program: Program) -> Iterator[tuple[int, Span]]:
    """Every duration (nanoseconds) that the program states: literals and initial values."""
    for node in nodes_below(program.routine):
        if isinstance(node, Literal) and isinstance(node.type, Duration):
            yield int(node.value), node.span
    for variable in program.variables:
        if isinstance(variable.type, Duration):
            yield int(variable.initial), variable.span
