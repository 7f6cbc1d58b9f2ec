"""A question travels as text, and nothing that a worker answers is believed."""

from __future__ import annotations

import gc
import json
import threading
import time

import pytest
from twohand.analyses.check.lag_query import MeasureLag
from twohand.analyses.measure.query import FindExtreme
from twohand.engine.jobs import Problem
from twohand.evidence.cache import tasks
from twohand.evidence.cache.answers import Dropped
from twohand.evidence.cache.question import Recheckable
from twohand.evidence.cache.tasks import Claimed, answer_text, question_of, task_of
from twohand.evidence.proofs.query import Query
from twohand.program.durations import Ticks

from tests.evidence.cache.asking import Asked, without_times
from tests.evidence.cache.lies import LIES, PROVED, VIOLATED

PROBLEM = Problem("a text", (("#reading x", True),), (1,), ("a", "b"))
QUESTIONS: list[Recheckable] = [
    Query(PROBLEM, 2, 5.0),
    Query(Problem("a text"), 2, 5.0, chc=True, hints=("one", "two")),
    MeasureLag(PROBLEM, 2, Ticks(9), 5.0),
    MeasureLag(PROBLEM, 2, None, 5.0),
    FindExtreme(PROBLEM, 2, True, False, 5.0),
]


@pytest.fixture(scope="session")
def asked(once: Asked) -> Asked:
    return once


@pytest.fixture(scope="module")
def answers(asked: Asked) -> list[str]:
    return [answer_text(task_of(each)) for each in asked.questions[: VIOLATED + 1]]


@pytest.mark.parametrize("question", QUESTIONS)
def test_a_question_is_the_same_behind_its_text(question: Recheckable) -> None:
    assert question_of(task_of(question)) == question


def test_what_a_worker_answers_is_checked_to_the_engines_own_answer(
    asked: Asked, answers: list[str]
) -> None:
    for number, answer in enumerate(answers):
        result = Claimed(asked.questions[number], answer)()
        assert without_times(result) == asked.fresh[number]  # type: ignore[arg-type]


@pytest.mark.parametrize("lie", LIES)
def test_a_lie_of_a_worker_is_dropped(asked: Asked, answers: list[str], lie: str) -> None:
    number, change = LIES[lie]
    answer = json.loads(answers[number])
    changed = change(answer)
    told = json.dumps(answer if changed is None else changed)
    assert isinstance(Claimed(asked.questions[number], told)(), Dropped)


def test_an_answer_to_another_question_is_dropped(asked: Asked, answers: list[str]) -> None:
    for right, wrong in ((PROVED, VIOLATED), (VIOLATED, PROVED)):
        assert isinstance(Claimed(asked.questions[right], answers[wrong])(), Dropped)


@pytest.mark.parametrize("told", ["", "null", "{", "[]", "1" * 5000, "[" * 100_000, "\0"])
def test_what_is_no_answer_is_dropped(told: str) -> None:
    assert isinstance(Claimed(QUESTIONS[0], told)(), Dropped)


def test_a_worker_of_another_version_and_a_task_that_is_none_give_no_answer(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    seen: list[object] = []
    monkeypatch.setattr(threading, "excepthook", lambda args: seen.append(args.exc_type))
    task = json.loads(task_of(QUESTIONS[0]))
    for other in (
        {**task, "versions": {**task["versions"], "format": 99}},
        {**task, "kind": ["os", "system"]},
        {**task, "kind": ["twohand.program.durations", "Ticks"]},
    ):
        assert answer_text(json.dumps(other)) == "null"
    assert seen == [ValueError, ValueError, TypeError]
    assert gc.isenabled()


def test_a_worker_asks_one_question_at_a_time_and_frees_nothing_meanwhile(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    seen: list[tuple[int, bool]] = []
    busy = 0

    def slow(task: str) -> Recheckable:
        nonlocal busy
        busy += 1
        time.sleep(0.02)
        seen.append((busy, gc.isenabled()))
        busy -= 1
        raise ValueError(task)

    monkeypatch.setattr(tasks, "question_of", slow)
    monkeypatch.setattr(threading, "excepthook", lambda _: None)
    threads = [threading.Thread(target=answer_text, args=("",)) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert seen == [(1, False)] * 4
