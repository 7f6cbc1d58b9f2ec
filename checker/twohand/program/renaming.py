"""A copy of a typed program in which every variable and instance has another name."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from typing import Any, get_args

from twohand.program.nodes import Dimension, Expression, Routine, Statement
from twohand.program.program import LeftOut, Program
from twohand.program.types import RealConstant, Type
from twohand.program.variables import StandardInstance, Variable
from twohand.program.walks import parts_of
from twohand.text.source_text import Span

_NODES = (*get_args(Statement), *get_args(Expression), Routine, Dimension)
_LEAVES = (*get_args(Type), RealConstant, Span)
NOTHING: Mapping[Variable, Variable] = {}


@dataclass(frozen=True, eq=False)
class Renamed:
    """``program`` is the copy; ``variables`` and ``instances`` lead from those of the program that
    was copied to the copy's."""

    program: Program
    variables: Mapping[Variable, Variable]
    instances: Mapping[StandardInstance, StandardInstance]


def renamed(
    program: Program, prefix: str, others: Mapping[Variable, Variable] = NOTHING
) -> Renamed:
    """A copy whose variables and instances are new ones under ``prefix`` and their name; those in
    ``others`` are replaced by what is given there, whatever its name. The scan's clock stays the
    one clock. What the program has in one piece (the routine of a function that is called twice)
    the copy has in one piece.

    TypeError for a node that is no part of a typed program; KeyError for a variable that the
    program does not list.
    """
    same = {} if program.clock is None else {program.clock: program.clock}
    known = {**same, **others}
    variables = {v: known.get(v) or replace(v, name=prefix + v.name) for v in program.variables}
    instances = {
        each: replace(
            each,
            name=prefix + each.name,
            pins={pin: variables[variable] for pin, variable in each.pins.items()},
        )
        for each in program.instances
    }
    names = {old.name.casefold(): new.name for old, new in variables.items()}
    copy = replace(
        program,
        inputs=tuple(variables[v] for v in program.inputs),
        outputs=tuple(variables[v] for v in program.outputs),
        variables=tuple(dict.fromkeys(variables.values())),
        instances=tuple(instances.values()),
        routine=_Copies(variables, instances).of(program.routine),
        constants={prefix + name: literal for name, literal in program.constants.items()},
        left_out=tuple(_note(note, prefix) for note in program.left_out),
        changed_inputs=frozenset(variables[v] for v in program.changed_inputs),
        aliases={
            prefix.casefold() + key: names.get(name.casefold(), prefix + name)
            for key, name in program.aliases.items()
        },
    )
    return Renamed(copy, variables, instances)


def _note(note: LeftOut, prefix: str) -> LeftOut:
    return note if note.variable is None else replace(note, variable=prefix + note.variable)


class _Copies:
    """Every node once, what it consists of first: by a list of what waits, since programs are
    nested deeper than calls of functions can be."""

    def __init__(
        self,
        variables: Mapping[Variable, Variable],
        instances: Mapping[StandardInstance, StandardInstance],
    ) -> None:
        self._variables = variables
        self._instances = instances
        self._copies: dict[int, Any] = {}
        """By the ``id`` of the original, which the program keeps alive."""

    def of(self, root: Routine) -> Routine:
        waiting: list[object] = [root]
        while waiting:
            node = waiting[-1]
            parts = [part for part in parts_of(node) if id(part) not in self._copies]
            if parts:
                waiting.extend(parts)
            else:
                waiting.pop()
                self._copies[id(node)] = self._copied(node)
        copy: Routine = self._copies[id(root)]
        return copy

    def _copied(self, node: object) -> object:
        """The node over the copies of its parts."""
        if isinstance(node, tuple):
            return tuple(self._part(part) for part in node)
        if isinstance(node, _NODES):
            parts = {each.name: self._part(getattr(node, each.name)) for each in fields(node)}
            return replace(node, **parts)
        if isinstance(node, _LEAVES):
            return node
        raise TypeError(f"no part of a typed program: {type(node).__name__}")

    def _part(self, part: object) -> object:
        if isinstance(part, Variable):
            return self._variables[part]
        if isinstance(part, StandardInstance):
            return self._instances[part]
        return self._copies.get(id(part), part)
