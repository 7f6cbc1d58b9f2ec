"""What running a part of a typed program can change."""

from __future__ import annotations

from collections.abc import Iterator

from twohand.program.nodes import (
    Assign,
    AssignElement,
    CallBlock,
    CallFunction,
    CallStandard,
    Expression,
    For,
    Read,
    Restart,
)
from twohand.program.variables import Role, Variable
from twohand.program.walks import nodes_below, parts_of


def written(root: object) -> Iterator[Variable]:
    """Every variable that statements, an expression or a routine can change, with all that they
    call; some come more than once. What a call initialises of its own is not among them."""
    for node in nodes_below(root):
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
    own: set[Variable] = set()
    for node in nodes_below(expression):
        if isinstance(node, CallFunction):
            own.update(node.routine.initialise, (variable for variable, _ in node.arguments))
    return any(variable not in own for variable in written(expression))


def reads(expression: Expression) -> Iterator[Variable]:
    """The variables whose values an expression is made of, in what it calls too."""
    waiting: list[object] = [expression]
    while waiting:
        node = waiting.pop()
        if isinstance(node, Read):
            yield node.variable
        elif isinstance(node, CallFunction):
            waiting.append(node.arguments)
            inside = nodes_below(node.routine)
            yield from (each.variable for each in inside if isinstance(each, Read))
        else:
            waiting.extend(parts_of(node))
