"""Which variables a program ever writes: all others are constants."""

from __future__ import annotations

from collections.abc import Iterator

from twohand.program import (
    Apply,
    Assign,
    AssignElement,
    CallBlock,
    CallFunction,
    CallStandard,
    Case,
    Convert,
    Element,
    Evaluate,
    Expression,
    For,
    If,
    Operation,
    Program,
    Repeat,
    Routine,
    ShortCircuit,
    Statement,
    Variable,
    While,
)

Node = Statement | Expression | Routine


def written_variables(program: Program) -> frozenset[Variable]:
    """What some statement writes, dead ones included, and every pin of an instance called.

    Variables that a routine only ever initialises count as written too. What a restart alone
    writes is its initial value at all times, and thus no less a constant."""
    written: set[Variable] = set()
    seen: set[Node] = set()
    waiting: list[Node] = [program.routine]
    while waiting:
        node = waiting.pop()
        if node not in seen:
            seen.add(node)
            written.update(_writes(node))
            waiting.extend(_parts(node))
    return frozenset(written)


def _writes(node: Node) -> Iterator[Variable]:
    match node:
        case Assign():
            yield node.target
        case AssignElement():
            yield from node.targets
        case For():
            yield node.variable
        case Routine():
            yield from node.initialise
        case CallFunction() | CallBlock():
            yield from (variable for variable, _ in node.arguments)
        case CallStandard():
            yield from (variable for variable, _ in node.arguments)
            outputs = ("Q", "ET", "Q1", "CV", "QU", "QD")
            yield from (node.instance.pins[pin] for pin in outputs if pin in node.instance.pins)


def _parts(node: Node) -> Iterator[Node]:
    match node:
        case Routine():
            yield from node.body
        case Operation() | Apply():
            yield from node.operands
        case Convert():
            yield node.operand
        case ShortCircuit():
            yield from (node.left, node.right)
        case Assign():
            yield node.value
        case AssignElement():
            yield from (node.value, *(each.index for each in node.dimensions))
        case Element():
            yield from (*(each.index for each in node.dimensions), *node.values)
        case Evaluate():
            yield node.expression
        case CallFunction() | CallBlock() | CallStandard():
            yield from (value for _, value in node.arguments)
            yield from node.outputs
            if not isinstance(node, CallStandard):
                yield node.routine
        case If() | Case() | For() | While() | Repeat():
            yield from _parts_of_compound(node)


def _parts_of_compound(node: If | Case | For | While | Repeat) -> Iterator[Node]:
    match node:
        case If():
            for condition, body in node.branches:
                yield condition
                yield from body
            yield from node.otherwise
        case Case():
            yield node.selector
            for _, body in node.arms:
                yield from body
            yield from node.otherwise
        case For():
            yield from (node.first, node.last, *node.body)
        case While():
            yield from (node.condition, *node.body)
        case Repeat():
            yield from (*node.body, node.until)
