"""Why something is never reached: which of the conditions that it joins with AND is never TRUE.

They are asked at the end of a scan, as the whole is; a proof of one is rechecked like any other.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from twohand.evidence.context import CheckContext
from twohand.evidence.proofs.query import Certified, QueryResult
from twohand.program import (
    Assign,
    Expression,
    Literal,
    Operation,
    Operator,
    Program,
    Read,
    Variable,
)
from twohand.program.effects import written
from twohand.program.types import BOOL
from twohand.program.walks import nodes_below
from twohand.specification.logic.formula import And, Atom, Formula
from twohand.specification.logic.formula_text import Wording

_MOST_PARTS = 8
_PLAIN = {
    Operator.NOT, Operator.AND, Operator.OR, Operator.XOR, Operator.EQUAL, Operator.UNEQUAL,
    Operator.LESS, Operator.LESS_EQUAL, Operator.GREATER, Operator.GREATER_EQUAL,
}  # fmt: skip
"""What means the same in a program and in a formula."""
_EFFORT = 5.0
"""For the question about one of them."""


def ask_never_true(
    formula: Formula, name: str, case: CheckContext, then: Callable[[tuple[str, ...]], None]
) -> None:
    """``then`` is called with the words of the conditions that are proved never TRUE, in their
    order, each time that there is another one; not where ``formula`` joins nothing, or too much."""
    parts = joined(formula)
    if len(parts) > 1:
        ask_which(parts, name, case, then)


def ask_which(
    parts: Sequence[Formula], name: str, case: CheckContext, then: Callable[[tuple[str, ...]], None]
) -> None:
    """The same of some conditions, at most a few."""
    if len(parts) > _MOST_PARTS:
        return
    questions = case.beside
    numbers = [questions.formula(part) for part in parts]
    problem = questions.problem()

    words = [Wording().of(part) for part in parts]
    proved: set[int] = set()

    def answered(position: int, asked: QueryResult) -> None:
        if isinstance(asked.answer, Certified):
            proved.add(position)
            then(tuple(words[each] for each in sorted(proved)))

    effort = min(case.effort, _EFFORT)
    for position, number in enumerate(numbers):
        what = f"whether {words[position]} can be, for {name}"
        case.desk.decide(what, problem, number, partial(answered, position), effort)


def lasting_conditions(output: Variable, program: Program) -> list[Formula]:
    """What the only assignment to an output joins with AND and what is so until the end of the
    scan, where that assignment is no part of another statement: if one of these is never TRUE
    there, neither is it where the output gets its value."""
    body = program.routine.body
    places = [at for at, each in enumerate(body) if output in set(written(each))]
    if len(places) != 1:
        return []
    (at,) = places
    assigned = body[at]
    if not isinstance(assigned, Assign):
        return []
    later = {output, *written(body[at + 1 :])}
    parts = joined(Atom(assigned.value))
    return [each for each in parts if isinstance(each, Atom) and _is_plain(each.expression, later)]


def _is_plain(expression: Expression, later: set[Variable]) -> bool:
    """Whether it joins and compares variables only, none of which is written ``later``."""
    for node in nodes_below(expression):
        match node:
            case Read(variable=variable):
                plain = variable not in later
            case Operation(operator=operator):
                plain = operator in _PLAIN
            case _:
                plain = not isinstance(node, Expression) or isinstance(node, Literal)
        if not plain:
            return False
    return True


def joined(formula: Formula) -> list[Formula]:
    """The conditions that a formula joins with AND, from left to right."""
    found: list[Formula] = []
    waiting = [formula]
    while waiting:
        each = waiting.pop()
        if isinstance(each, And):
            waiting.extend(reversed(each.operands))
            continue
        inner = each.expression if isinstance(each, Atom) else None
        if isinstance(each, Atom) and isinstance(inner, Operation) and _joins(inner):
            waiting.extend(Atom(part, each.histories) for part in reversed(inner.operands))
        else:
            found.append(each)
    return found


def _joins(operation: Operation) -> bool:
    return operation.operator is Operator.AND and operation.type == BOOL
