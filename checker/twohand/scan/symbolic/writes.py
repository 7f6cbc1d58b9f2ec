"""Which variables a program ever writes, all others being constants, and where it restarts."""

from __future__ import annotations

from collections.abc import Iterator

from twohand import program as typed

Node = typed.Statement | typed.Expression | typed.Routine


def written_variables(program: typed.Program) -> frozenset[typed.Variable]:
    """What some statement writes, dead ones included, and every pin of an instance called.

    Variables that a routine only ever initialises count as written too. What a restart alone
    writes is its initial value at all times, and thus no less a constant."""
    return frozenset(variable for node in _nodes(program) for variable in _writes(node))


def restarts_of(program: typed.Program) -> tuple[typed.Restart, ...]:
    """The program's restarts, dead ones included."""
    return tuple(node for node in _nodes(program) if isinstance(node, typed.Restart))


def _nodes(program: typed.Program) -> Iterator[Node]:
    """Each once."""
    seen: set[Node] = set()
    waiting: list[Node] = [program.routine]
    while waiting:
        node = waiting.pop()
        if node not in seen:
            seen.add(node)
            yield node
            waiting.extend(_parts(node))


def _writes(node: Node) -> Iterator[typed.Variable]:
    match node:
        case typed.Assign():
            yield node.target
        case typed.AssignElement():
            yield from node.targets
        case typed.For():
            yield node.variable
        case typed.Routine():
            yield from node.initialise
        case typed.CallFunction() | typed.CallBlock():
            yield from (variable for variable, _ in node.arguments)
        case typed.CallStandard():
            yield from (variable for variable, _ in node.arguments)
            outputs = ("Q", "ET", "Q1", "CV", "QU", "QD")
            yield from (node.instance.pins[pin] for pin in outputs if pin in node.instance.pins)


def _parts(node: Node) -> Iterator[Node]:
    match node:
        case typed.Routine():
            yield from node.body
        case typed.Operation() | typed.Apply():
            yield from node.operands
        case typed.Convert() | typed.CompareReal():
            yield node.operand
        case typed.ShortCircuit():
            yield from (node.left, node.right)
        case typed.Assign():
            yield node.value
        case typed.AssignElement():
            yield from (node.value, *(each.index for each in node.dimensions))
        case typed.Element():
            yield from (*(each.index for each in node.dimensions), *node.values)
        case typed.Evaluate():
            yield node.expression
        case typed.CallFunction() | typed.CallBlock() | typed.CallStandard():
            yield from (value for _, value in node.arguments)
            yield from node.outputs
            if not isinstance(node, typed.CallStandard):
                yield node.routine
        case typed.If() | typed.Case() | typed.For() | typed.While() | typed.Repeat():
            yield from _parts_of_compound(node)


def _parts_of_compound(
    node: typed.If | typed.Case | typed.For | typed.While | typed.Repeat,
) -> Iterator[Node]:
    match node:
        case typed.If():
            for condition, body in node.branches:
                yield condition
                yield from body
            yield from node.otherwise
        case typed.Case():
            yield node.selector
            for _, body in node.arms:
                yield from body
            yield from node.otherwise
        case typed.For():
            yield from (node.first, node.last, *node.body)
        case typed.While():
            yield from (node.condition, *node.body)
        case typed.Repeat():
            yield from (*node.body, node.until)
