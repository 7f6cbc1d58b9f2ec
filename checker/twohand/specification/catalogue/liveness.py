"""Which requirements ask that the output goes on, so that losing them is no loss of safety."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from twohand.program import Expression, Operation, Operator, Read, Variable
from twohand.program.walks import variables_read
from twohand.specification.logic.formula import (
    Always,
    Atom,
    Before,
    Fell,
    Formula,
    Iff,
    Implies,
    Not,
    Property,
    Response,
    Rose,
    Until,
)
from twohand.specification.logic.formula_text import children

MIXED = 0
"""Where a value may help or harm."""


def asks_for_output(asked: Property, outputs: Collection[Variable]) -> bool:
    """Whether the property can only be broken by an output that is off, never by one that is on.

    It is judged by where the outputs are: all of them without a negation or behind an even
    number of them. What cannot be judged so (an edge, a comparison) counts as not asking for it.
    """
    signs = set(_signs(_parts(asked), outputs))
    return signs == {1}


Signed = tuple[Formula, int]


def _parts(asked: Property) -> list[Signed]:
    match asked:
        case Always(formula):
            return [(formula, 1)]
        case Response(trigger, answer, _):
            return [(trigger, -1), (answer, 1)]
        case Until(trigger, hold, release):
            return [(trigger, -1), (hold, 1), (release, 1)]
        case Before(trigger, first, second):
            return [(trigger, -1), (first, MIXED), (second, -1)]


def _signs(waiting: list[Signed], outputs: Collection[Variable]) -> Iterator[int]:
    """The signs with which the outputs occur in some formulas."""
    while waiting:
        formula, sign = waiting.pop()
        match formula:
            case Atom(expression, histories):
                yield from _in_expression(expression, sign, outputs)
                for history in histories:
                    yield from _in_expression(history.expression, MIXED, outputs)
            case Not(operand):
                waiting.append((operand, -sign))
            case Implies(left, right):
                waiting += [(left, -sign), (right, sign)]
            case Rose() | Fell() | Iff():
                waiting += [(child, MIXED) for child in children(formula)]
            case _:
                waiting += [(child, sign) for child in children(formula)]


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
