"""What running a part of a typed program can change."""

from __future__ import annotations

from collections.abc import Iterator

from twohand.program.depth import parts_of
from twohand.program.program import (
    Apply,
    Assign,
    AssignElement,
    CallBlock,
    CallFunction,
    CallStandard,
    Convert,
    Element,
    Expression,
    For,
    Operation,
    Read,
    Restart,
    Role,
    ShortCircuit,
    Variable,
)


def written(root: object) -> Iterator[Variable]:
    """Every variable that statements, an expression or a routine can change, with all that they
    call; some come more than once. What a call initialises of its own is not among them."""
    for node in nodes_of(root):
        match node:
            case Assign(target=target):
                yield target
            case AssignElement(targets=targets):
                yield from targets
            case For(variable=variable):
                yield variable
            case CallBlock() | CallFunction():
                yield from (variable for variable, _ in node.arguments)
            case CallStandard(instance=instance):
                yield from (variable for variable, _ in node.arguments)
                yield from (pin for pin in instance.pins.values() if pin.role is Role.OUTPUT)
            case Restart(variables=variables):
                yield from variables


def has_effect(expression: Expression) -> bool:
    """Whether evaluating it can change anything but the variables of the functions it calls."""
    if not _calls(expression):
        return False
    own: set[Variable] = set()
    for node in nodes_of(expression):
        if isinstance(node, CallFunction):
            own.update(node.routine.initialise, (variable for variable, _ in node.arguments))
    return any(variable not in own for variable in written(expression))


def _calls(expression: Expression) -> bool:
    """Whether there is a call in it; asked of every part of a long expression."""
    return any(isinstance(part, CallFunction) for part in _parts(expression))


def reads(expression: Expression) -> Iterator[Variable]:
    """The variables whose values an expression is made of, in what it calls too."""
    for part in _parts(expression):
        if isinstance(part, Read):
            yield part.variable
        elif isinstance(part, CallFunction):
            yield from (node.variable for node in nodes_of(part.routine) if isinstance(node, Read))


def _parts(expression: Expression) -> Iterator[Expression]:
    """An expression and those in it, routines that it calls aside."""
    waiting = [expression]
    while waiting:
        part = waiting.pop()
        yield part
        match part:
            case Operation(operands=operands) | Apply(operands=operands):
                waiting.extend(operands)
            case Convert(operand=operand):
                waiting.append(operand)
            case Element(dimensions=dimensions, values=values):
                waiting.extend((*(each.index for each in dimensions), *values))
            case ShortCircuit(left=left, right=right):
                waiting.extend((left, right))
            case CallFunction(arguments=arguments):
                waiting.extend(value for _, value in arguments)


def nodes_of(root: object) -> Iterator[object]:
    """Every node of the typed program below ``root``, with all that it calls, once."""
    seen: set[int] = set()
    waiting = [root]
    while waiting:
        node = waiting.pop()
        if id(node) in seen:
            continue
        if not isinstance(node, tuple):
            seen.add(id(node))
            yield node
        waiting.extend(parts_of(node))
