"""Whether a requirement holds whatever the block does: then it says nothing of the block.

It is asked of a system in which everything but the inputs, which keep to the assumptions, has any
value in every scan. What is proved there is proved of every block, plant and wiring.
"""

from __future__ import annotations

from collections.abc import Callable

from twohand.evidence.context import CheckContext
from twohand.evidence.proofs.query import Certified, QueryResult
from twohand.evidence.verdict import Certificate
from twohand.specification.model.specification import Requirement

_SECONDS = 10.0
"""For the question about one requirement: it needs no more than its monitors."""


def ask_of_any_block(
    requirement: Requirement,
    case: CheckContext,
    then: Callable[[Certificate | None, float], None],
) -> None:
    """``then`` is called once, with the proof that the requirement holds whatever the block does
    (None: it does not, or that was not decided) and the seconds that it took."""
    questions = case.of_any_block
    number = questions.bad(requirement.property)

    def answered(asked: QueryResult) -> None:
        certificate = None
        if isinstance(asked.answer, Certified):
            certificate = case.certificate(asked.answer, questions)
        then(certificate, asked.seconds)

    case.desk.decide(
        f"{requirement.identifier} of any block",
        case.any_block(number),
        number,
        answered,
        min(case.seconds, _SECONDS),
    )
