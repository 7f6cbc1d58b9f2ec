"""Which requirements ask that the output goes on, so that losing them is no loss of safety."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from twohand.program import Expression, Operation, Operator, Read, Variable
from twohand.program.walks import variables_read
from twohand.specification.logic.formula import (
    Always,
    And,
    Atom,
    Before,
    Fell,
    FirstScan,
    Formula,
    Historically,
    Iff,
    Implies,
    Not,
    Once,
    Or,
    Previous,
    Property,
    Response,
    Rose,
    Since,
    Until,
)

MIXED = 0
"""Where a value may help or harm."""


def asks_for_output(asked: Property, outputs: Collection[Variable]) -> bool:
    """Whether the property can only be broken by an output that is off, never by one that is on.

    It is judged by where the outputs are: all of them without a negation or behind an even
    number of them. What cannot be judged so (an edge, a comparison) counts as not asking for it.
    """
    signs = set(_of_property(asked, outputs))
    return signs == {1}


def _of_property(asked: Property, outputs: Collection[Variable]) -> Iterator[int]:
    match asked:
        case Always(formula):
            yield from _of(formula, 1, outputs)
        case Response(trigger, answer, _):
            yield from _of(trigger, -1, outputs)
            yield from _of(answer, 1, outputs)
        case Until(trigger, hold, release):
            yield from _of(trigger, -1, outputs)
            yield from _of(hold, 1, outputs)
            yield from _of(release, 1, outputs)
        case Before(trigger, first, second):
            yield from _of(trigger, -1, outputs)
            yield from _of(first, MIXED, outputs)
            yield from _of(second, -1, outputs)


def _of(formula: Formula, sign: int, outputs: Collection[Variable]) -> Iterator[int]:
    """The signs with which the outputs occur in a formula."""
    match formula:
        case Atom(expression, histories):
            yield from _in_expression(expression, sign, outputs)
            for history in histories:
                yield from _in_expression(history.expression, MIXED, outputs)
        case FirstScan():
            return
        case Not(operand):
            yield from _of(operand, -sign, outputs)
        case And(operands) | Or(operands):
            for operand in operands:
                yield from _of(operand, sign, outputs)
        case Implies(left, right):
            yield from _of(left, -sign, outputs)
            yield from _of(right, sign, outputs)
        case Previous(operand) | Once(operand) | Historically(operand):
            yield from _of(operand, sign, outputs)
        case Since(hold, release):
            yield from _of(hold, sign, outputs)
            yield from _of(release, sign, outputs)
        case Rose(operand) | Fell(operand):
            yield from _of(operand, MIXED, outputs)
        case Iff(left, right):
            yield from _of(left, MIXED, outputs)
            yield from _of(right, MIXED, outputs)


def _in_expression(
    expression: Expression, sign: int, outputs: Collection[Variable]
) -> Iterator[int]:
    match expression:
        case Read(variable):
            if variable in outputs:
                yield sign
        case Operation(Operator.NOT, (operand,)):
            yield from _in_expression(operand, -sign, outputs)
        case Operation(Operator.AND | Operator.OR, operands):
            for operand in operands:
                yield from _in_expression(operand, sign, outputs)
        case _:
            for read in variables_read(expression):
                if read.variable in outputs:
                    yield MIXED
