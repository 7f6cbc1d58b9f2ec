"""Questions to the pool and what is done with their answers; no answer is believed unchecked."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from typing import TypeVar

from twohand.engine.jobs import Problem
from twohand.engine.system.contract import Unknown, Violated
from twohand.engine.workers.pool import DEFAULT_SECONDS, Job, Pool
from twohand.engine.workers.process import Stopped
from twohand.evidence.contradiction import InternalContradiction
from twohand.evidence.proofs.query import (
    SEARCH_SHARE,
    Certified,
    Query,
    QueryResult,
)
from twohand.specification.phrases import listing

Result = TypeVar("Result")
Then = Callable[[QueryResult], None]


class Dispatcher:
    """Hands out questions; an answer to a question comes to everyone who asked it.

    A question may take so much ``effort`` (``twohand.engine.system.budget``); ``seconds`` is the
    wall time after which its process is ended, which is to happen to none.
    """

    def __init__(self, pool: Pool, effort: float, seconds: float = DEFAULT_SECONDS) -> None:
        self._pool = pool
        self._effort = effort
        self._seconds = seconds
        self._handlers: dict[int, Callable[[object], None]] = {}
        self._answers: dict[tuple[Problem, int], QueryResult] = {}
        self._limits: dict[tuple[Problem, int], float] = {}
        self._waiting: dict[tuple[Problem, int], list[Then]] = {}

    def decide(
        self,
        name: str,
        problem: Problem,
        index: int,
        then: Then,
        effort: float | None = None,
        hints: tuple[str, ...] = (),
    ) -> None:
        """Asks whether the term can be TRUE; ``name`` is for messages. A proof that ``then`` gets
        has been accepted. What stayed open with less effort than it may take now is asked again.
        ``hints`` are clauses, each as text, that may make a proof."""
        key = (problem, index)
        limit = self._effort if effort is None else effort
        longest = self._limits.get(key, 0.0)
        answer = self._answers.get(key)
        if answer and (limit <= longest or _is_final(answer.answer)):
            then(answer)
            return
        if key in self._waiting:
            if limit <= longest:
                self._waiting[key].append(then)
            else:
                again = partial(self.decide, name, problem, index, then, effort, hints)
                self._waiting[key].append(lambda _: again())
            return
        self._limits[key] = limit
        self._waiting[key] = [then]

        def answered(asked: QueryResult) -> None:
            asked = _shown(asked, problem.hangs_on(index))
            self._answers[key] = asked
            for each in self._waiting.pop(key):
                each(asked)

        self._search(
            name, Query(problem, index, limit * SEARCH_SHARE, hints=hints), limit, answered
        )

    def _search(self, name: str, ask: Query, limit: float, answered: Then) -> None:
        def searched(asked: QueryResult) -> None:
            if not isinstance(asked.answer, Unknown):
                answered(asked)
                return
            left = max(limit * (1 - SEARCH_SHARE), limit - asked.effort)
            chc = Query(ask.problem, ask.index, left, chc=True)
            self._ask(name, chc, lambda last: answered(_both(asked, last)))

        self._ask(name, ask, searched)

    def _ask(self, name: str, ask: Query, then: Then) -> None:
        def received(result: object) -> None:
            if isinstance(result, QueryResult):
                then(replace(result, answer=believed(name, result.answer)))
            elif isinstance(result, Stopped):
                then(QueryResult(Unknown(result.reason), effort=ask.effort))
            else:
                raise InternalContradiction(f"{name}: a worker answered another question")

        self.submit(ask, received)

    def submit(self, job: Job, then: Callable[[object], None]) -> None:
        """Any job."""
        self._handlers[self._pool.submit(job, self._seconds)] = then

    @property
    def over(self) -> bool:
        """Whether the time of the whole command is over: nothing more is to be begun."""
        return self._pool.over

    @property
    def proofs(self) -> Iterator[tuple[Problem, int, Certified]]:
        """Every question of ``decide`` that was answered by a proof."""
        for (problem, index), asked in self._answers.items():
            if isinstance(asked.answer, Certified):
                yield problem, index, asked.answer

    def serve(self) -> None:
        """Until every question has its answer; answers may ask again."""
        for ticket, result in self._pool.results():
            self._handlers.pop(ticket)(result)


def _shown(asked: QueryResult, hangs_on: tuple[str, ...]) -> QueryResult:
    """The answer; no run where the term hangs on what nobody computes."""
    if not hangs_on or not isinstance(asked.answer, Violated):
        return asked
    what = listing([f"'{text}'" for text in hangs_on])
    reason = f"it hangs on {what}, and nobody computes what comes of REALs"
    return replace(asked, answer=Unknown(reason, candidate=asked.answer, hangs_on=hangs_on))


def _is_final(answer: Certified | Violated | Unknown) -> bool:
    """Whether more effort gives no other answer."""
    return not isinstance(answer, Unknown) or answer.candidate is not None


def believed(name: str, answer: Certified | Violated | Unknown) -> Certified | Violated | Unknown:
    """The answer, Unknown for a proof that nobody could check. InternalContradiction for one that
    is refused."""
    if not isinstance(answer, Certified) or answer.recheck.accepted:
        return answer
    check = answer.recheck
    if check.certain:
        raise InternalContradiction(
            f"{name}: {check.checker} refuses the invariant that was found by {answer.method}: "
            f"{check.fault}"
        )
    return Unknown("a proof was found, but its check from scratch came to no answer")


def _both(searched: QueryResult, chc: QueryResult) -> QueryResult:
    """The CHC engine's answer after a search without one."""
    seconds, effort = searched.seconds + chc.seconds, searched.effort + chc.effort
    if not isinstance(chc.answer, Unknown):
        return QueryResult(chc.answer, seconds, effort)
    assert isinstance(searched.answer, Unknown)
    answer = Unknown(
        searched.answer.reason,
        max(searched.answer.events, chc.answer.events),
        max(searched.answer.scans, chc.answer.scans),
    )
    return QueryResult(answer, seconds, effort)
