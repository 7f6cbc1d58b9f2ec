"""Why something is never reached: which of the conditions that it joins with AND is never TRUE.

They are asked at the end of a scan, as the whole is; a proof of one is rechecked like any other.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from twohand.evidence.context import CheckContext
from twohand.evidence.proofs.query import Certified, QueryResult
from twohand.program import Operation, Operator
from twohand.program.types import BOOL
from twohand.specification.logic.formula import And, Atom, Formula
from twohand.specification.logic.formula_text import Wording

_MOST_PARTS = 8
_SECONDS = 5.0
"""For the question about one of them."""


def ask_never_true(
    formula: Formula, name: str, case: CheckContext, then: Callable[[tuple[str, ...]], None]
) -> None:
    """``then`` is called with the words of the conditions that are proved never TRUE, in their
    order, each time that there is another one; not where ``formula`` joins nothing, or too much."""
    parts = joined(formula)
    if not 2 <= len(parts) <= _MOST_PARTS:
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

    seconds = min(case.seconds, _SECONDS)
    for position, number in enumerate(numbers):
        what = f"whether {words[position]} can be, for {name}"
        case.desk.decide(what, problem, number, partial(answered, position), seconds)


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
