"""What is run elsewhere comes in place of a job only where its check here confirms it."""

from __future__ import annotations

import multiprocessing
from collections.abc import Callable
from dataclasses import dataclass, field
from multiprocessing.connection import Connection

import pytest
from twohand.engine.workers.pool import Pool
from twohand.engine.workers.process import CUT_BY_TIME, Stopped

from tests.support import worker_jobs as jobs

LONG = 60.0
Job = Callable[[], object]


@dataclass
class Others:
    """Take jobs up to ``most`` at once, and send back for each value what ``claims`` has of it
    (None: no answer; without one: nothing ever). What is below zero does not hold."""

    claims: dict[int, Job | None]
    most: int = 9
    taken: list[int] = field(default_factory=list)
    back: list[tuple[int, Job | None]] = field(default_factory=list)
    silent: list[int] = field(default_factory=list)
    given_back: bool = False
    dropped: int = 0
    pipe: tuple[Connection, Connection] = field(
        default_factory=lambda: multiprocessing.Pipe(duplex=False)
    )

    @property
    def signal(self) -> Connection:
        return self.pipe[0]

    def takes(self, ticket: int, job: Job) -> bool:
        assert isinstance(job, jobs.Give)
        value = job.value
        assert isinstance(value, int)
        if len(self.taken) >= self.most or value == 0:
            return False
        self.taken.append(value)
        if value in self.claims:
            self.back.append((ticket, self.claims[value]))
            self.pipe[1].send_bytes(b".")
        else:
            self.silent.append(ticket)
        return True

    def came(self, idle: bool) -> list[tuple[int, Job | None]]:
        while self.signal.poll():
            self.signal.recv_bytes()
        found, self.back = self.back, []
        if idle and self.given_back:
            found += [(ticket, None) for ticket in self.silent]
            self.silent = []
        return found

    def holds(self, result: object) -> bool:
        return isinstance(result, int) and result >= 0

    def drop(self) -> None:
        self.dropped += 1


@dataclass
class Keeps:
    """Knows nothing but the value 5, and notes what it is to keep."""

    kept: list[object] = field(default_factory=list)
    asked: list[object] = field(default_factory=list)

    def recalled(self, job: Job) -> Job | None:
        assert isinstance(job, jobs.Give)
        self.asked.append(job.value)
        return jobs.Give(5) if job.value == 5 else None

    def holds(self, recalled: Job, result: object) -> bool:
        return True

    def keep(self, job: Job, result: object) -> None:
        self.kept.append(result)


def results(others: Others, values: list[int], keeper: Keeps | None = None) -> list[object]:
    with Pool(2) as pool:
        pool.keeper, pool.elsewhere = keeper, others
        tickets = [pool.submit(jobs.Give(value), LONG) for value in values]
        found = list(pool.results())
        assert pool.open == 0
    assert [ticket for ticket, _ in found] == tickets, "in the order in which they were handed in"
    return [value for _, value in found]


def test_what_is_confirmed_comes_in_place_of_the_job() -> None:
    others = Others({1: jobs.Give(11), 2: jobs.Give(12)})
    assert results(others, [1, 0, 2]) == [11, 0, 12]
    assert others.taken == [1, 2]


def test_what_is_not_confirmed_or_never_answered_is_run_here() -> None:
    others = Others({1: jobs.Give(-1), 2: None, 3: jobs.die, 4: jobs.Give(14)})
    assert results(others, [1, 2, 3, 4]) == [1, 2, 3, 14]
    assert sorted(others.taken) == [1, 2, 3, 4], "each is handed to others once"


def test_what_others_do_not_take_is_run_here() -> None:
    assert results(Others({1: jobs.Give(11)}, most=1), [1, 2, 3]) == [11, 2, 3]


def test_what_is_known_is_not_handed_to_others_and_what_is_confirmed_is_kept() -> None:
    keeper = Keeps()
    others = Others({1: jobs.Give(11), 2: jobs.Give(-1)})
    assert results(others, [5, 1, 2, 0], keeper) == [5, 11, 2, 0]
    assert sorted(others.taken) == [1, 2]
    assert sorted(keeper.kept) == [0, 2, 11]  # type: ignore[type-var]
    assert sorted(keeper.asked) == [0, 1, 2, 5], "it is asked once"  # type: ignore[type-var]


def test_what_never_comes_back_is_run_here_where_a_worker_is_idle() -> None:
    assert results(Others({2: jobs.Give(12)}, given_back=True), [1, 2, 3]) == [1, 12, 3]


@pytest.mark.long
def test_what_never_comes_back_is_cut_where_the_time_is_over() -> None:
    others = Others({})
    with Pool(1, total=0.5) as pool:
        pool.elsewhere = others
        pool.submit(jobs.Give(1), LONG)
        assert [value for _, value in pool.results()] == [Stopped(CUT_BY_TIME)]
    assert others.dropped == 1, "they are told once"
