"""Every engine on small models with known answers, each through each."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from twohand.engine.portfolio import decide, decide_by_chc
from twohand.engine.proof.chc import solve_clauses
from twohand.engine.proof.ic3 import prove
from twohand.engine.search.bounded import search_scans
from twohand.engine.search.jumps import search_events
from twohand.engine.system.budget import EFFORT_IS_SPENT, Budget
from twohand.engine.system.contract import Answer, Proved, Unknown, Violated
from twohand.engine.system.invariant import first_failed_obligation
from twohand.engine.system.runs import Simulator

from tests.support.samples.small_models import (
    KnownAnswer,
    clocked_counter,
    counter,
    finished,
    known_answers,
)

MODELS = known_answers()
EVERY = pytest.mark.parametrize("model", MODELS, ids=lambda model: model.name)


def holds(model: KnownAnswer, answer: Answer) -> bool:
    """Whether an answer is right and its evidence checks."""
    if isinstance(answer, Proved):
        return model.first_bad is None and not first_failed_obligation(
            model.system, model.bad, answer.clauses
        )
    if isinstance(answer, Violated):
        simulator = Simulator(model.system, model.bad)
        return model.first_bad is not None and simulator.confirmed(answer) == answer
    return False


@EVERY
def test_the_plan_decides_every_small_model(model: KnownAnswer) -> None:
    assert holds(model, decide(model.system, model.bad, 30))


@EVERY
def test_bounded_search_finds_the_first_bad_step(model: KnownAnswer) -> None:
    answer = finished(search_scans(model.system, model.bad, Budget(30), most=17))
    if model.first_bad is None:
        assert answer == Unknown("the bound was reached", scans=17)
    else:
        assert isinstance(answer, Violated)
        assert len(answer.steps) == model.first_bad + 1


@EVERY
def test_event_search_finds_what_is_there_and_nothing_else(model: KnownAnswer) -> None:
    answer = finished(search_events(model.system, model.bad, Budget(30), most=17))
    if model.first_bad is None:
        assert isinstance(answer, Unknown)
        assert answer.scans == 17
    else:
        assert holds(model, answer)


@EVERY
def test_the_proof_decides_every_small_model(model: KnownAnswer) -> None:
    answer = finished(prove(model.system, model.bad, Budget(30)))
    assert holds(model, answer)


@EVERY
def test_the_horn_clause_engine_proves_or_points_at_a_run(model: KnownAnswer) -> None:
    answer = solve_clauses(model.system, model.bad, Budget(30))
    if model.first_bad is None:
        assert answer is not None
        assert holds(model, answer)
    else:
        assert answer is None
        assert holds(model, decide_by_chc(model.system, model.bad, 30))


ENGINES: list[Callable[[KnownAnswer], Answer]] = [
    lambda model: decide(model.system, model.bad, 0.0),
    lambda model: finished(search_scans(model.system, model.bad, Budget(0.0))),
    lambda model: finished(search_events(model.system, model.bad, Budget(0.0))),
    lambda model: finished(prove(model.system, model.bad, Budget(0.0))),
]


@pytest.mark.parametrize("engine", ENGINES)
def test_without_effort_there_is_no_answer_but_a_reason(
    engine: Callable[[KnownAnswer], Answer],
) -> None:
    for model in (counter(4), clocked_counter(6)):
        assert engine(model) == Unknown(EFFORT_IS_SPENT)
