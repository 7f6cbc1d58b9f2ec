"""A changed block beside the block: whether anything of it that can be seen is another one.

Compared are, at the end of each scan, what the block and its plants show to others and whatever a
requirement or an assumption reads. Both run with the same inputs, surroundings, readings and
assumptions.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import Any

from twohand.analyses.compare.question import Comparison
from twohand.program import Expression, Operation, Operator, Program, Read, Variable
from twohand.program.product import (
    Pair,
    ProductProgram,
    counterpart,
    match_inputs,
    match_shown,
    product_program,
    shown,
)
from twohand.program.types import BOOL
from twohand.program.walks import nodes_below
from twohand.specification.logic.formula import Always, And, Atom, Formula, Not
from twohand.specification.model.specification import Requirement, Specification

PREFIXES = ("block.", "changed.")
SAME, LETS_ON, KEEPS_OFF = "same", "lets_on", "keeps_off"


@dataclass(frozen=True, eq=False)
class BesideBlock:
    """``comparison`` has both programs in its specification, whose requirements are SAME and, where
    the spec names outputs, LETS_ON (no output is on that is off in the block) and KEEPS_OFF (none
    is off that is on in the block). ``pairs`` are what is compared, and of it the spec's
    ``outputs``, as the program of both has it.
    """

    comparison: Comparison
    pairs: tuple[Pair, ...]
    outputs: tuple[Pair, ...]

    def requirement(self, identifier: str) -> Requirement | None:
        spec = self.comparison.specification
        return next((r for r in spec.requirements if r.identifier == identifier), None)


def beside_block(
    block: Specification, changed: Specification, compared: Sequence[Variable] | None = None
) -> BesideBlock | None:
    """None where the changed block has not all that is ``compared`` (None: all that can be)."""
    both = product_program(block.program, changed.program, PREFIXES)
    pairs: list[Pair] = []
    for variable in compared_variables(block) if compared is None else compared:
        other = counterpart(block.program, variable, changed.program)
        if other is None or other.type != variable.type:
            return None
        pair = _copies(both, variable, other)
        if pair[0] is not pair[1]:
            pairs.append(pair)
    outputs = _outputs(block, changed.program, both)
    specification = _of_both(block, both, pairs, outputs)
    comparison = Comparison(
        block.program,
        changed.program,
        both,
        specification,
        tuple(pairs),
        "",
        match_inputs(block.program, changed.program),
        match_shown(block.program, changed.program),
    )
    return BesideBlock(comparison, tuple(pairs), tuple(outputs))


def compared_variables(block: Specification) -> tuple[Variable, ...]:
    """What others can see of the block and its plants, and what the spec reads."""
    known = set(block.program.variables)
    asked = [requirement.property for requirement in block.requirements]
    assumed = [named.formula for named in block.assumptions]
    read = [
        node.variable
        for root in (*asked, *assumed)
        for node in nodes_below(root)
        if isinstance(node, Read) and node.variable in known
    ]
    return tuple(dict.fromkeys([*shown(block.program), *block.outputs, *read]))


def _copies(both: ProductProgram, first: Variable, second: Variable) -> Pair:
    return both.first.variables[first], both.second.variables[second]


def _outputs(block: Specification, changed: Program, both: ProductProgram) -> list[Pair]:
    """The outputs that the spec names."""
    found = []
    for variable in block.outputs:
        other = counterpart(block.program, variable, changed)
        if other is not None and variable.type == BOOL:
            found.append(_copies(both, variable, other))
    return found


def _of_both(
    block: Specification, both: ProductProgram, pairs: list[Pair], outputs: list[Pair]
) -> Specification:
    names = both.first.variables
    return replace(
        block,
        program=both.program,
        stations=(),
        outputs=(),
        assumptions=tuple(
            replace(named, formula=over(named.formula, names)) for named in block.assumptions
        ),
        requirements=tuple(_asked(pairs, outputs)),
        lags=(),
        warnings=(),
        stops=(),
        hazard=None,
        supplies=(),
        lines=None,
        power=None if block.power is None else names[block.power],
        plants=(),
        equivalent=both.prefixes,
    )


def _asked(pairs: list[Pair], outputs: list[Pair]) -> Iterator[Requirement]:
    equal = tuple(Atom(_operation(Operator.EQUAL, pair)) for pair in pairs)
    place = pairs[0][0].span if pairs else None
    if place is None:
        return
    sentence = "everything that is compared is the same in both in every scan"
    yield Requirement(SAME, sentence, Always(And(equal)), place)
    if outputs:
        on = "no output is on that is off in the block"
        off = "no output is off that is on in the block"
        yield Requirement(LETS_ON, on, Always(And(_never(outputs, 1, 0))), place)
        yield Requirement(KEEPS_OFF, off, Always(And(_never(outputs, 0, 1))), place)


def _never(outputs: list[Pair], on: int, off: int) -> tuple[Formula, ...]:
    """No output is on in the one and off in the other."""
    return tuple(Not(And((Atom(_read(pair[on])), Not(Atom(_read(pair[off])))))) for pair in outputs)


def _operation(operator: Operator, pair: Pair) -> Expression:
    return Operation(operator, (_read(pair[0]), _read(pair[1])), BOOL, pair[0].span)


def _read(variable: Variable) -> Read:
    return Read(variable, variable.span)


def over(node: Any, variables: Mapping[Variable, Variable]) -> Any:
    """A formula over the copies of the variables that it reads."""
    if isinstance(node, Variable):
        return variables.get(node, node)
    if isinstance(node, tuple):
        return tuple(over(each, variables) for each in node)
    if is_dataclass(node) and not isinstance(node, type) and type(node).__module__ in _FORMULAS:
        parts = {each.name: over(getattr(node, each.name), variables) for each in fields(node)}
        return replace(node, **parts)
    return node


_FORMULAS = (Always.__module__, Read.__module__)
