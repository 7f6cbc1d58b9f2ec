"""One random small block: the engine's answer is that of visiting every reachable state."""

from __future__ import annotations

from twohand.engine.system.contract import Answer, Proved, Unknown, Violated

from tests.support.decided import Question
from tests.support.enumeration.enumerate_states import TooManyStatesError, enumerate_readings
from tests.support.randomness.small_blocks import Case

MOST_STATES = 3000


def compare(case: Case, ask_evaluator_always: bool = False) -> Answer | None:
    """The engine's answer, held against the enumeration; None where that has too many states."""
    question = Question(case.program, case.clocking, case.asked, case.readings, case.assumptions)
    try:
        found = enumerate_readings(
            case.program,
            case.clocking,
            question.choices,
            case.asked,
            case.assumptions,
            MOST_STATES,
            ask_evaluator_always,
        )
    except TooManyStatesError:
        return None
    answer = question.decide(60)
    if found.refutation is None:
        assert not isinstance(answer, Violated), case.text
    else:
        assert not isinstance(answer, Proved), case.text
    if isinstance(answer, Unknown) and found.refutation is not None:
        assert len(found.refutation) > answer.scans, case.text
    return answer
