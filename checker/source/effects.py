"""What running a part of a typed program can change."""

from __future__ import annotations

from collections.abc import Iterator

from checker.source.depth import parts_of
from checker.source.program import (
    Apply,
    Assign,
    CallBlock,
    CallFunction,
    CallStandard,
    Convert,
    Expression,
    For,
    Operation,
    Read,
    Role,
    ShortCircuit,
    Variable,
)


def written(root: object) -> Iterator[Variable]:
    """Every variable that statements, an expression or a routine can change, with all that they
    call; some come more than once. What a call initialises of its own is not among them."""
    for node in _nodes(root):
        match node:
            case Assign(target=target):
                yield target
            case For(variable=variable):
                yield variable
            case CallBlock() | CallFunction():
                yield from (variable for variable, _ in node.arguments)
            case CallStandard(instance=instance):
                yield from (variable for variable, _ in node.arguments)
                yield from (pin for pin in instance.pins.values() if pin.role is Role.OUTPUT)


def has_effect(expression: Expression) -> bool:
    """Whether evaluating it can change anything but the variables of the functions it calls."""
    called = [node for node in _nodes(expression) if isinstance(node, CallFunction)]
    own = {_owner(call.result) for call in called}
    return bool(own) and any(_owner(variable) not in own for variable in written(expression))


def reads(expression: Expression) -> Iterator[Variable]:
    """The variables whose values an expression is made of; not those of functions in it."""
    waiting = [expression]
    while waiting:
        match waiting.pop():
            case Read(variable=variable):
                yield variable
            case Operation(operands=operands) | Apply(operands=operands):
                waiting.extend(operands)
            case Convert(operand=operand):
                waiting.append(operand)
            case ShortCircuit(left=left, right=right):
                waiting.extend((left, right))
            case CallFunction(arguments=arguments):
                waiting.extend(value for _, value in arguments)


def _owner(variable: Variable) -> str:
    """The path of the instance or function that the variable belongs to."""
    return variable.name.rpartition(".")[0]


def _nodes(root: object) -> Iterator[object]:
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
