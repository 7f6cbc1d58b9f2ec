"""The pool of workers: limits are kept, nothing is lost, nothing is left behind."""

from __future__ import annotations

import contextlib
import os
import signal
import subprocess
import sys
import textwrap

import psutil  # type: ignore[import-untyped]
import pytest
from twohand.engine.workers.pool import Pool, StartMethod, WorkerError
from twohand.engine.workers.process import CUT_BY_TIME, Stopped

from tests.support import worker_jobs as jobs
from tests.support.places import ROOT

METHODS: list[StartMethod] = ["fork", "spawn"] if sys.platform == "linux" else ["spawn"]
LONG = 60.0


def children() -> set[int]:
    """Workers of this process; Python's own tracker of resources is none."""
    found = set()
    for child in psutil.Process().children(recursive=True):
        with contextlib.suppress(psutil.NoSuchProcess):
            if "resource_tracker" not in " ".join(child.cmdline()):
                found.add(child.pid)
    return found


@pytest.mark.parametrize("method", METHODS)
def test_results_come_with_the_tickets_of_their_jobs(method: StartMethod) -> None:
    with Pool(2, method) as pool:
        wanted = {pool.submit(jobs.Give(number), LONG): number for number in range(7)}
        assert dict(pool.results()) == wanted


@pytest.mark.skipif(sys.platform == "win32", reason="writes into the pipe as POSIX does")
def test_a_worker_that_dies_while_it_answers_has_stopped() -> None:
    with Pool(1) as pool:
        pool.submit(jobs.die_in_the_middle_of_an_answer, LONG)
        ((_, result),) = pool.results()
        assert isinstance(result, Stopped)
        assert "code 9" in result.reason
        pool.submit(jobs.Give(5), LONG)
        assert [value for _, value in pool.results()] == [5]


def test_workers_are_kept_between_jobs() -> None:
    with Pool(1) as pool:
        for _ in range(3):
            pool.submit(jobs.process_number, LONG)
        assert len({number for _, number in pool.results()}) == 1


@pytest.mark.parametrize("method", METHODS)
def test_garbage_is_collected_between_jobs_and_never_while_one_works(method: StartMethod) -> None:
    """When z3's terms are freed decides which numbers the next ones have, and so which models are
    found: it must not depend on what the process did before."""
    with Pool(1, method) as pool:
        for _ in range(2):
            pool.submit(jobs.leave_garbage, LONG)
            pool.submit(jobs.garbage_is_gone, LONG)
        assert [value for _, value in pool.results()] == [True] * 4


def test_a_job_may_be_handed_in_while_results_are_read() -> None:
    with Pool(2) as pool:
        pool.submit(jobs.Give(3), LONG)
        seen = []
        for _, value in pool.results():
            assert isinstance(value, int)
            seen.append(value)
            if value > 0:
                pool.submit(jobs.Give(value - 1), LONG)
        assert seen == [3, 2, 1, 0]


def test_results_come_in_the_order_of_their_jobs_whichever_is_done_first() -> None:
    with Pool(2) as pool:
        late = pool.submit(jobs.Sleep(0.3), LONG)
        early = [pool.submit(jobs.Give("early"), LONG) for _ in range(3)]
        assert [ticket for ticket, _ in pool.results()] == [late, *early]


@pytest.mark.parametrize("method", METHODS)
def test_a_worker_past_its_deadline_is_ended_and_replaced(method: StartMethod) -> None:
    with Pool(1, method) as pool:
        overdue = pool.submit(jobs.Sleep(LONG), 0.05)
        after = pool.submit(jobs.Give("next"), LONG)
        results = dict(pool.results())
    stopped = results[overdue]
    assert isinstance(stopped, Stopped)
    assert stopped.reason == CUT_BY_TIME
    assert results[after] == "next"


def test_when_the_time_of_all_jobs_is_over_none_goes_on_and_none_begins() -> None:
    with Pool(1, total=1.0) as pool:
        tickets = [pool.submit(jobs.Sleep(LONG), LONG) for _ in range(3)]
        results = dict(pool.results())
        assert pool.over
        late = pool.submit(jobs.Give("late"), LONG)
        results.update(pool.results())
    assert results == dict.fromkeys([*tickets, late], Stopped(CUT_BY_TIME))


def test_a_job_that_is_done_in_time_keeps_its_result() -> None:
    with Pool(1, total=LONG) as pool:
        ticket = pool.submit(jobs.Give("early"), LONG)
        assert dict(pool.results()) == {ticket: "early"}
        assert not pool.over


def test_what_is_to_be_done_meanwhile_is_done_while_results_are_waited_for() -> None:
    looked = []
    with Pool(1) as pool:
        pool.waits = lambda: looked.append(pool.open)
        pool.submit(jobs.Give("early"), LONG)
        list(pool.results())
    assert looked


@pytest.mark.parametrize("job", [jobs.die, jobs.leave])
def test_a_worker_that_dies_stops_its_own_job_only(job: object) -> None:
    with Pool(1) as pool:
        assert callable(job)
        dead = pool.submit(job, LONG)
        after = pool.submit(jobs.Give("next"), LONG)
        results = dict(pool.results())
    stopped = results[dead]
    assert isinstance(stopped, Stopped)
    assert "its process" in stopped.reason
    assert results[after] == "next"


def test_a_worker_that_died_idle_costs_no_job() -> None:
    with Pool(1) as pool:
        pool.submit(jobs.process_number, LONG)
        ((_, number),) = pool.results()
        assert isinstance(number, int)
        worker = psutil.Process(number)
        worker.kill()
        psutil.wait_procs([worker], timeout=LONG)
        pool.submit(jobs.Give("still done"), LONG)
        assert [value for _, value in pool.results()] == ["still done"]


@pytest.mark.long
@pytest.mark.skipif(sys.platform != "linux", reason="the interpreter's memory has no limit there")
def test_memory_of_the_interpreter_is_limited() -> None:
    with Pool(1, memory_megabytes=64) as pool:
        pool.submit(jobs.hoard, LONG)
        ((_, stopped),) = pool.results()
        assert isinstance(stopped, Stopped)
        assert "memory" in stopped.reason
        pool.submit(jobs.Give("next"), LONG)
        assert [value for _, value in pool.results()] == ["next"]


def test_memory_of_the_solver_is_limited() -> None:
    with Pool(1, memory_megabytes=48) as pool:
        pool.submit(jobs.hoard_terms, LONG)
        ((_, result),) = pool.results()
        # The solver says so itself, or fails, or its process dies of it.
        reason = result.reason if isinstance(result, Stopped) else str(result)
        assert "memory" in reason


def test_a_fault_of_the_program_is_told_with_its_place() -> None:
    with Pool(1) as pool:
        pool.submit(jobs.fail, LONG)
        with pytest.raises(WorkerError, match=r"worker_jobs\.py"):
            list(pool.results())


def test_a_result_that_cannot_travel_is_a_fault() -> None:
    with Pool(1) as pool:
        pool.submit(jobs.give_unpicklable, LONG)
        with pytest.raises(WorkerError, match="this stays here"):
            list(pool.results())


def test_dropped_jobs_give_no_result() -> None:
    with Pool(2) as pool:
        for _ in range(4):
            pool.submit(jobs.Sleep(LONG), LONG)
        pool.drop()
        last = pool.submit(jobs.Give("last"), LONG)
        assert list(pool.results()) == [(last, "last")]


@pytest.mark.parametrize("method", METHODS)
def test_no_worker_outlives_its_pool(method: StartMethod) -> None:
    before = children()
    with Pool(2, method) as pool:
        pool.submit(jobs.Sleep(LONG), LONG)
        assert len(children() - before) == 2
    assert children() <= before


@pytest.mark.parametrize("method", METHODS)
def test_workers_leave_the_interrupt_to_the_parent(method: StartMethod) -> None:
    with Pool(1, method) as pool:
        pool.submit(jobs.interruptible, LONG)
        assert [value for _, value in pool.results()] == [False]


def test_a_spawned_worker_loads_neither_parser_nor_command_line() -> None:
    with Pool(1, "spawn") as pool:
        pool.submit(jobs.loaded_modules, LONG)
        ((_, modules),) = pool.results()
    assert isinstance(modules, list)
    assert not {"lark", "click", "pytest", "twohand.commands.main"} & set(modules)
    assert "twohand.engine.jobs" in modules


@pytest.mark.long
@pytest.mark.skipif(sys.platform == "win32", reason="signals are another matter there")
@pytest.mark.parametrize("method", METHODS)
def test_an_interrupt_ends_the_parent_and_all_its_workers(method: StartMethod) -> None:
    code = f"""
        import signal
        signal.signal(signal.SIGINT, signal.default_int_handler)  # a shell's & ignores it
        from tests.support import worker_jobs as jobs
        from twohand.engine.workers.pool import Pool
        try:
            with Pool(2, {method!r}) as pool:
                for _ in range(3):
                    pool.submit(jobs.process_number, 60.0)
                for _, number in pool.results():
                    pass
                pool.submit(jobs.Sleep(60.0), 60.0)
                pool.submit(jobs.Sleep(60.0), 60.0)
                print("working", flush=True)
                list(pool.results())
        except KeyboardInterrupt:
            print("interrupted", flush=True)
    """
    process = subprocess.Popen(
        [sys.executable, "-c", textwrap.dedent(code)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        cwd=ROOT,
        start_new_session=True,
    )
    assert process.stdout is not None
    assert process.stdout.readline() == "working\n"
    family = [*psutil.Process(process.pid).children(recursive=True)]
    assert len(family) >= 2
    os.killpg(process.pid, signal.SIGINT)  # as the terminal does: everyone gets it
    out, errors = process.communicate(timeout=LONG)
    assert (out, errors) == ("interrupted\n", "")
    _, alive = psutil.wait_procs(family, timeout=LONG)
    assert alive == []


@pytest.mark.long
@pytest.mark.skipif(sys.platform == "win32", reason="signals are another matter there")
@pytest.mark.parametrize("method", METHODS)
def test_workers_of_a_parent_that_was_killed_end_by_themselves(method: StartMethod) -> None:
    code = f"""
        from tests.support import worker_jobs as jobs
        from twohand.engine.workers.pool import Pool
        with Pool(2, {method!r}) as pool:
            pool.submit(jobs.Sleep(600.0), 600.0)
            for _, number in [(0, 0)]:
                print("working", flush=True)
            list(pool.results())
    """
    process = subprocess.Popen(
        [sys.executable, "-c", textwrap.dedent(code)],
        stdout=subprocess.PIPE,
        text=True,
        cwd=ROOT,
    )
    assert process.stdout is not None
    process.stdout.readline()
    family = psutil.Process(process.pid).children(recursive=True)
    process.kill()
    process.communicate(timeout=LONG)
    _, alive = psutil.wait_procs(family, timeout=LONG)
    assert alive == []
