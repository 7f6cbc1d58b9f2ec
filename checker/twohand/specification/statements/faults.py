"""SUPPLY, ARRANGEMENT and NOTICE: what a spec says about faults."""

from __future__ import annotations

from collections.abc import Sequence

from twohand.program import Variable
from twohand.program.types import BOOL
from twohand.specification.logic.formula import Named
from twohand.specification.model.control import LogicType
from twohand.specification.model.specification import Arrangement, Supply
from twohand.specification.problems import REMOVE_ONE, Problems
from twohand.specification.reading.statements import StatementTable
from twohand.specification.resolving.formula_builder import FormulaResolver
from twohand.specification.resolving.names import unknown
from twohand.specification.syntax import nodes as spec
from twohand.syntax import tree
from twohand.text.diagnostic import wrong
from twohand.text.source_text import Span


def read_supplies(
    parts: StatementTable, inputs: Sequence[Variable], problems: Problems
) -> tuple[Supply, ...]:
    """The supplies over the block's ``inputs``; each input has one supply at most."""
    names: dict[str, Span] = {}
    taken: dict[Variable, Span] = {}
    found = []
    for statement in parts.all(spec.SupplyStatement):
        name = statement.name
        message = f"there is a supply '{name.text}' already"
        if not problems.is_new(names, name.key, name.span, message):
            continue
        members: list[Variable] = []
        for input_name in statement.inputs:
            with problems.collected():
                variable = _input(input_name, inputs)
                message = f"'{input_name.text}' has a supply already"
                if problems.is_new(taken, variable, input_name.span, message, REMOVE_ONE):
                    members.append(variable)
        found.append(Supply(name.text, tuple(members), name.span))
    return tuple(found)


def _input(name: tree.Name, inputs: Sequence[Variable]) -> Variable:
    for variable in inputs:
        if variable.name.casefold() == name.text.casefold():
            if variable.type != BOOL:
                message = f"'{name.text}' is {variable.type.name}, not BOOL"
                raise wrong("not-boolean", message, name.span, "a supply feeds contacts")
            return variable
    raise unknown(name, [v.name for v in inputs if v.type == BOOL], "input")


def read_arrangement(parts: StatementTable, problems: Problems) -> Arrangement | None:
    """The letter of type III; it belongs to that type only."""
    statement = parts.only(spec.ArrangementStatement)
    if statement is None:
        return None
    letter = statement.letter
    known = [each.value for each in Arrangement]
    if letter.key not in known:
        message = f"there is no arrangement '{letter.text}'"
        problems.error("unknown-arrangement", message, letter.span, "write A, B or C")
        return None
    required = parts.only(spec.RequireStatement)
    if required is None or required.type.key != LogicType.THREE.value:
        message = "ARRANGEMENT belongs to a two-hand control of type III"
        way = "write REQUIRE TWO_HAND LOGIC TYPE III, or remove it"
        problems.error("arrangement-not-asked", message, statement.span, way)
    return Arrangement(letter.key)


def read_notice(
    parts: StatementTable, builder: FormulaResolver, problems: Problems
) -> Named | None:
    """The condition by which the logic shows that it noticed a fault."""
    statement = parts.only(spec.NoticeStatement)
    if statement is None:
        return None
    with problems.collected():
        return Named(builder.formula(statement.condition), statement.condition.span)
    return None
