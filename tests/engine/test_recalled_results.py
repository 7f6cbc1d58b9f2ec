"""What a pool knows from other runs comes in place of a job only where it holds."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from twohand.engine.workers.pool import Pool
from twohand.engine.workers.process import Stopped

from tests.support import worker_jobs as jobs

LONG = 60.0


@dataclass
class Known:
    """Recalls ``of`` each job; what is below zero does not hold."""

    of: Callable[[object], Callable[[], object] | None]
    kept: list[object] = field(default_factory=list)

    def recalled(self, job: Callable[[], object]) -> Callable[[], object] | None:
        return self.of(job)

    def holds(self, recalled: object, result: object) -> bool:
        return isinstance(result, int) and result >= 0

    def keep(self, job: object, result: object) -> None:
        self.kept.append(result)


def results(known: Known, values: list[int]) -> list[object]:
    with Pool(2) as pool:
        pool.keeper = known
        tickets = [pool.submit(jobs.Give(value), LONG) for value in values]
        found = list(pool.results())
    assert [ticket for ticket, _ in found] == tickets, "in the order in which they were handed in"
    return [value for _, value in found]


def test_a_result_that_holds_comes_in_place_of_the_job() -> None:
    known = Known(lambda _: jobs.Give(7))
    assert results(known, [1, 2]) == [7, 7]
    assert known.kept == [], "it is known already"


def test_a_result_that_does_not_hold_or_ends_the_worker_is_found_anew() -> None:
    def of(job: object) -> Callable[[], object] | None:
        assert isinstance(job, jobs.Give)
        return {1: jobs.Give(-1), 2: jobs.die, 3: None}[job.value]  # type: ignore[index]

    known = Known(of)
    assert results(known, [1, 2, 3]) == [1, 2, 3]
    assert sorted(known.kept) == [1, 2, 3]  # type: ignore[type-var]


def test_what_does_not_hold_is_no_result_where_the_time_is_over() -> None:
    known = Known(lambda _: jobs.Sleep(60.0))
    with Pool(1, total=0.5) as pool:
        pool.keeper = known
        pool.submit(jobs.Give(1), LONG)
        ((_, result),) = pool.results()
    assert isinstance(result, Stopped)
