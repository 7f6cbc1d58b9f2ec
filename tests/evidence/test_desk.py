"""Who is asked what, and which answers are believed: workers are stubs that answer at once."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import cast

import pytest
import z3
from twohand.engine.jobs import Problem
from twohand.engine.system.contract import Unknown, Violated
from twohand.engine.workers.pool import Pool
from twohand.evidence.contradiction import InternalContradiction
from twohand.evidence.proofs.certificate import Recheck
from twohand.evidence.proofs.dispatcher import Dispatcher
from twohand.evidence.proofs.query import Certified, Query, QueryResult
from twohand.scan import serialisation as exchange
from twohand.scan.transition_system import TransitionSystem

from tests.support.samples.engine_systems import ELAPSED, SCANS, boolean

PROBLEM = Problem("a system")
ACCEPTED = Certified("", 0, "a method", Recheck("a checker"))
REFUSED = Certified("", 0, "a method", Recheck("a checker", "a scan leaves it"))
UNCHECKED = Certified("", 0, "a method", Recheck("a checker", "a scan leaves it", certain=False))
RUN = Violated((), {}, "a search")


class Workers:
    """Answer each question by a function of it, in order; ``asked`` are the questions."""

    def __init__(self, answer: Callable[[Query], QueryResult]) -> None:
        self._answer = answer
        self.asked: list[Query] = []

    def submit(self, job: Query, deadline: float) -> int:
        self.asked.append(job)
        return len(self.asked)

    def results(self) -> Iterator[tuple[int, QueryResult]]:
        ticket = 0
        while ticket < len(self.asked):
            ticket += 1
            yield ticket, self._answer(self.asked[ticket - 1])


def heard(
    answer: Callable[[Query], QueryResult], *indices: int
) -> tuple[list[object], list[Query]]:
    """What comes back for each of the questions, and what the workers were asked."""
    workers = Workers(answer)
    dispatcher = Dispatcher(cast(Pool, workers), 20.0)
    found: dict[int, object] = {}
    for index in indices or (0,):

        def then(result: QueryResult, index: int = index) -> None:
            found[index] = result.answer

        dispatcher.decide("asked", PROBLEM, index, then)
    dispatcher.serve()
    return [found[index] for index in indices or (0,)], workers.asked


def test_a_proof_that_is_refused_is_a_contradiction() -> None:
    with pytest.raises(InternalContradiction, match="a checker refuses"):
        heard(lambda _: QueryResult(REFUSED))


def test_a_proof_that_nobody_could_check_is_no_proof() -> None:
    (answer,), _ = heard(lambda _: QueryResult(UNCHECKED))
    assert isinstance(answer, Unknown)


@pytest.mark.parametrize("answer", [ACCEPTED, RUN], ids=lambda each: type(each).__name__)
def test_an_answer_comes_as_it_is_and_nobody_else_is_asked(answer: Certified | Violated) -> None:
    answers, asked = heard(lambda _: QueryResult(answer))
    assert answers == [answer]
    assert [query.chc for query in asked] == [False]


@pytest.mark.parametrize("answer", [ACCEPTED, RUN], ids=lambda each: type(each).__name__)
def test_what_stays_open_is_asked_of_the_other_engine(answer: Certified | Violated) -> None:
    answers, asked = heard(lambda query: QueryResult(answer if query.chc else Unknown("open")))
    assert answers == [answer]
    assert [query.chc for query in asked] == [False, True]


def test_what_stays_open_with_both_says_how_far_the_farthest_has_looked() -> None:
    def answer(query: Query) -> QueryResult:
        found = Unknown("asleep", 2, 9) if query.chc else Unknown("too hard", 5, 7)
        return QueryResult(found, 3.0)

    assert heard(answer)[0] == [Unknown("too hard", 5, 9)]


def test_each_question_of_a_problem_has_its_own_answer() -> None:
    def answer(query: Query) -> QueryResult:
        return QueryResult(RUN if query.index else ACCEPTED)

    assert heard(answer, 0, 1)[0] == [ACCEPTED, RUN]


def test_a_proof_is_checked_for_the_question_that_was_asked() -> None:
    """The first question can be violated, the second cannot."""
    push, lamp, never = z3.Bools("push lamp never")
    states = (boolean("lamp", push), boolean("never", z3.And(push, z3.Not(push))))
    system = TransitionSystem(states, (push,), ELAPSED, SCANS, 1, 1, 1)
    problem = Problem(exchange.dump(system, [lamp, never]))
    violated, proved = (Query(problem, index, 20.0)().answer for index in (0, 1))
    assert isinstance(violated, Violated)
    assert isinstance(proved, Certified)
    assert proved.recheck.accepted
