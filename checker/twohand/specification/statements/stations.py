"""When a station is in use: its condition, and what a change of the selection must not do."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from twohand.program import Expression, Program
from twohand.specification.model.specification import Station
from twohand.specification.phrases import written
from twohand.specification.problems import Problems
from twohand.specification.resolving.names import SpecificationScope
from twohand.specification.statements.roles import determined_by_inputs
from twohand.specification.syntax.formulas import FormulaNode
from twohand.specification.syntax.nodes import StationStatement
from twohand.text.diagnostic import wrong


def with_conditions(
    stations: Sequence[Station],
    statements: Sequence[StationStatement],
    program: Program,
    scope: SpecificationScope,
    problems: Problems,
) -> tuple[Station, ...]:
    """``stations`` with the conditions that their statements state; a condition that is no
    Boolean expression over inputs as sampled is a problem. ``scope`` is that of assumptions: under
    a fault a station is in use where the healthy input would say so."""
    conditions = {
        statement.name.span: statement.condition
        for statement in statements
        if statement.condition is not None
    }
    found = []
    for station in stations:
        node = conditions.get(station.span)
        if node is not None:
            with problems.collected():
                condition = _condition(node, program, scope)
                text = written(node.span)
                found.append(replace(station, condition=condition, condition_text=text))
                continue
        found.append(station)
    return tuple(found)


def _condition(node: FormulaNode, program: Program, scope: SpecificationScope) -> Expression:
    constant = wrong(
        "constant-condition",
        "this condition reads no input",
        node.span,
        "name the selector's input, or leave the condition out",
    )
    way = "whether a station is in use is determined by inputs alone: name a VAR_INPUT"
    return determined_by_inputs(node, "the condition of a station", program, scope, constant, way)
