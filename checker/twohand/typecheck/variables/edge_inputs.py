"""Inputs with R_EDGE or F_EDGE: a hidden trigger each, called at every call of their block
(IEC 61131-3 Ed. 2, 2.5.2.2)."""

from __future__ import annotations

from twohand.program import CallStandard, Read, Role, StandardBlock, Statement
from twohand.program.types import BOOL
from twohand.syntax import tree
from twohand.text.diagnostic import wrong
from twohand.typecheck.variables.instance_scope import (
    Entity,
    InstanceScope,
    ProgramBuilder,
    VariableEntity,
)

_TRIGGERS = {"R_EDGE": StandardBlock.R_TRIG, "F_EDGE": StandardBlock.F_TRIG}


def edge_input(
    assembly: ProgramBuilder,
    frame: InstanceScope,
    section: tree.Section,
    name: tree.Identifier,
    edge: tree.Identifier,
    entity: Entity,
) -> Entity:
    """What the input's name means in the body: the output of its trigger."""
    is_input = section.keyword == "VAR_INPUT" and frame.unit.kind is not tree.UnitKind.FUNCTION
    variable = entity.variable if isinstance(entity, VariableEntity) else None
    if not is_input or variable is None or variable.type != BOOL:
        message = f"{edge.key} belongs to a BOOL input of a block or program only"
        raise wrong("misplaced-edge", message, edge.span, "remove it, and call an R_TRIG or F_TRIG")
    block = _TRIGGERS[edge.key]
    path = f"{variable.name}.{edge.key}"  # a keyword, which no variable is called
    instance = assembly.add_standard(path, block, name.span, variable.retain, {})
    frame.edges[name.key] = (variable, instance)
    return VariableEntity(instance.pins["Q"], Role.INPUT)


def edge_calls(frame: InstanceScope) -> tuple[Statement, ...]:
    """What runs before the body of an instance: its triggers."""
    return tuple(
        CallStandard(
            instance, ((instance.pins["CLK"], Read(variable, instance.span)),), (), instance.span
        )
        for variable, instance in frame.edges.values()
    )
