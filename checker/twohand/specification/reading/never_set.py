"""Variables that the block reads and only ever resets: bits of a handshake that another sets."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator

from twohand.program import Assign, Literal, Program, Read, Routine, Variable
from twohand.program.effects import written
from twohand.program.walks import nodes_below
from twohand.text.diagnostic import Diagnostic, Severity


def never_set(program: Program, outside: Collection[Variable] = ()) -> Iterator[Diagnostic]:
    """A warning for each variable that is not ``outside`` and keeps its initial value for ever, as
    the model has it, although the block writes it."""
    nodes = list(nodes_below(program.routine))
    resets = Counter(n.target for n in nodes if isinstance(n, Assign) and _resets(n))
    every = Counter(written(program.routine))
    read = {node.variable for node in nodes if isinstance(node, Read)}
    renewed = {v for node in nodes if isinstance(node, Routine) for v in node.initialise}
    pins = {pin for instance in program.instances for pin in instance.pins.values()}
    apart = {*program.inputs, *outside, *renewed, *pins}
    for variable, count in resets.items():
        if count < every[variable] or variable not in read or variable in apart:
            continue
        name = variable.name
        message = f"the block reads '{name}' and only ever resets it, so that it never changes"
        way = f"if a panel or another program sets it, write OUTSIDE {name}; in a spec"
        yield Diagnostic("never-set", message, variable.span, way, severity=Severity.WARNING)


def _resets(node: Assign) -> bool:
    return isinstance(node.value, Literal) and node.value.value == node.target.initial
