"""How old a timer can get before its age makes no further difference."""

from __future__ import annotations

from collections.abc import Iterator

from twohand import program as typed
from twohand.program.durations import NO_TIME, Nanoseconds, Units
from twohand.program.types import Value
from twohand.scan.clocking import Clocking
from twohand.scan.concrete.blocks import TIMERS
from twohand.scan.concrete.expressions import in_order

Binding = tuple[typed.Variable, typed.Expression]


def age_limits(program: typed.Program, clocking: Clocking) -> dict[typed.StandardInstance, Units]:
    """The greatest preset of each timer whose presets are all constants (at least 0).

    A timer compares its age with its preset and shows the smaller of the two, so from the
    greatest preset on all ages are alike. Timers with other presets are left out.
    """
    timers = {i.pins["PT"]: i for i in program.instances if i.block in TIMERS}
    limits = {i: max(NO_TIME, _units(pin.initial, clocking)) for pin, i in timers.items()}
    for variable in program.inputs:
        if variable in timers:
            limits.pop(timers[variable], None)
    for variable, value in _bindings(program.routine):
        instance = timers.get(variable)
        if instance is None or instance not in limits:
            continue
        if isinstance(value, typed.Literal):
            limits[instance] = max(limits[instance], _units(value.value, clocking))
        else:
            del limits[instance]
    return limits


def _units(value: Value, clocking: Clocking) -> Units:
    """A duration of the program, which states nanoseconds."""
    return clocking.units(Nanoseconds(value))


def _bindings(routine: typed.Routine) -> Iterator[Binding]:
    """Everything that the routine, and what it calls, can assign."""
    seen: set[typed.Routine] = set()
    pending: list[typed.Statement | typed.Expression | typed.Routine] = [routine]
    while pending:
        node = pending.pop()
        if isinstance(node, typed.Routine):
            if node not in seen:
                seen.add(node)
                pending.extend(node.body)
            continue
        bindings, inner = _parts(node)
        yield from bindings
        pending.extend(value for _, value in bindings)
        pending.extend(inner)


def _parts(
    node: typed.Statement | typed.Expression,
) -> tuple[tuple[Binding, ...], list[typed.Statement | typed.Expression | typed.Routine]]:
    """What a node assigns itself, and the nodes within it that may assign more."""
    match node:
        case typed.Assign(target, value):
            return ((target, value),), []
        case typed.AssignElement(dimensions, targets, value):
            bindings = tuple((target, value) for target in targets)
            return bindings, [each.index for each in dimensions]
        case typed.If(branches, otherwise):
            within = [part for test, body in branches for part in (test, *body)]
            return (), [*within, *otherwise]
        case typed.Case(selector, arms, otherwise):
            return (), [selector, *otherwise, *(part for _, body in arms for part in body)]
        case typed.For(variable, first, last, _, body):
            return ((variable, first),), [last, *body]
        case typed.While(condition, body) | typed.Repeat(body, condition):
            return (), [condition, *body]
        case typed.Evaluate(expression):
            return (), [expression]
        case typed.CallBlock() | typed.CallFunction():
            return node.arguments, [node.routine, *node.outputs]
        case typed.CallStandard():
            return node.arguments, [*node.outputs]
        case typed.ShortCircuit():
            return (), [node.left, node.right]
        case _ if isinstance(node, typed.Expression):
            parts = in_order(node)
            return (), [
                part for part in parts if isinstance(part, typed.CallFunction | typed.ShortCircuit)
            ]
        case _:
            return (), []
