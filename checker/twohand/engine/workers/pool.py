"""A pool of worker processes with hard limits.

A solver's own time limit is soft and its memory grows, so each question is asked in a process that
the parent ends at its deadline. Workers are kept between jobs. The parent starts no thread; it
owns the interrupt, which workers ignore, and leaves no process behind.
"""

from __future__ import annotations

import math
import multiprocessing
import sys
import time
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess
from multiprocessing.reduction import ForkingPickler
from types import TracebackType
from typing import Protocol, TypeAlias

from twohand.engine.workers.process import CUT_BY_TIME, READY, Crash, Stopped, load
from twohand.engine.workers.starting import (
    StartMethod,
    bare_main,
    death,
    has_threads,
    uninterrupted,
    worker_process,
)

Job: TypeAlias = Callable[[], object]
"""What a worker runs: a picklable callable without arguments; its result is picklable too."""

PRELOADED = ("twohand.engine.jobs",)
START_SECONDS = 120.0
"""How long a worker may take to come up (a cold disk, a virus scanner)."""
MOST_FAILED_STARTS = 3
DEFAULT_MEGABYTES = 4096
DEFAULT_SECONDS = 600.0
"""How long a job may take before its process is ended: far more than the work that a question may
do takes on an ordinary machine."""

_LOOK_SECONDS = 5.0
"""How long a wait goes on without a look at what else is to be done."""


def _nothing() -> None:
    pass


class Keeper(Protocol):
    """What knows results from other runs. A job whose recalled result does not hold, or was
    stopped, is run as if there had been none."""

    def recalled(self, job: Job) -> Job | None:
        """A job in place of this one that gives the result that is known; None: none is."""

    def holds(self, recalled: Job, result: object) -> bool:
        """Whether that result is one of the job."""

    def keep(self, job: Job, result: object) -> None:
        """Told of every result of a job that was run itself."""


class Elsewhere(Protocol):
    """Where else jobs may be run. What comes back is believed by nobody: it is a job that checks
    it here, and gives the result or what is none."""

    @property
    def signal(self) -> Connection:
        """Readable where something came back."""

    def takes(self, ticket: int, job: Job) -> bool:
        """Whether the job of this ticket is run there."""

    def came(self, idle: bool) -> list[tuple[int, Job | None]]:
        """What came back, by ticket; None: the job is to be run here, where one may be ``idle``."""

    def holds(self, result: object) -> bool:
        """Whether what a check gave is a result of its job."""

    def drop(self) -> None:
        """Forgets what is run there."""


@dataclass(frozen=True)
class _Task:
    ticket: int
    job: Job
    seconds: float


class WorkerError(Exception):
    """A job failed by a fault of the program."""


class NoWorkersError(WorkerError):
    """No worker could be started: there is too little memory, or too few processes."""


@dataclass
class _Worker:
    process: BaseProcess
    connection: Connection
    deadline: float
    """When it is ended, by ``time.monotonic``: of its start, then of its job."""
    ready: bool = False
    task: _Task | None = None
    recalled: Job | None = None
    """What runs in place of the task's job."""


class Pool:
    """Up to ``processes`` workers; a context manager, and none of them outlives it.

    ``method`` None: fork on Linux where the parent has no thread, else spawn. A job that is
    stopped or dies answers ``Stopped`` with a plain reason; one that fails raises WorkerError out
    of ``results``. After a result with a true ``spent`` its process is replaced. ``total`` seconds
    after the pool was made every job is stopped, begun or not.
    """

    def __init__(
        self,
        processes: int,
        method: StartMethod | None = None,
        memory_megabytes: int = DEFAULT_MEGABYTES,
        preload: Sequence[str] = PRELOADED,
        total: float | None = None,
    ) -> None:
        if processes < 1:
            raise ValueError("a pool has at least one process")
        if method is None:
            method = "fork" if sys.platform == "linux" and not has_threads() else "spawn"
        self.processes = processes
        self.method: StartMethod = method
        self._memory = memory_megabytes
        self._preload = tuple(preload)
        self._end = math.inf if total is None else time.monotonic() + total
        self.waits: Callable[[], None] = _nothing
        """Called again and again while results are waited for."""
        self.keeper: Keeper | None = None
        """Asked before a job is run."""
        self.elsewhere: Elsewhere | None = None
        """Asked where the keeper knows nothing."""
        self._workers: list[_Worker] = []
        self._waiting: deque[_Task] = deque()
        self._distrusted: set[int] = set()
        """Tickets of jobs whose recalled result did not hold."""
        self._recalled: dict[int, Job | None] = {}
        """By ticket: what the keeper knew of a job that waits."""
        self._away: dict[int, _Task] = {}
        self._claims: dict[int, Job] = {}
        """By ticket: what checks what came back."""
        self._finished: dict[int, object] = {}
        self._given_out = 0
        self._tickets = 0
        self._failed_starts = 0

    def __enter__(self) -> Pool:
        try:
            while len(self._workers) < self.processes:
                self._start()
        except BaseException:
            self.close()
            raise
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    @property
    def open(self) -> int:
        """Jobs whose result has not been given out."""
        busy = sum(worker.task is not None for worker in self._workers)
        return busy + len(self._waiting) + len(self._away) + len(self._finished)

    @property
    def over(self) -> bool:
        """Whether the time of all jobs together is over."""
        return time.monotonic() >= self._end

    def submit(self, job: Job, deadline_seconds: float) -> int:
        """Hand in a job; its time counts from when it begins."""
        self._tickets += 1
        self._waiting.append(_Task(self._tickets, job, deadline_seconds))
        self._hand_out()
        return self._tickets

    def results(self) -> Iterator[tuple[int, object]]:
        """Results with their tickets in the order in which the jobs were submitted, whichever is
        done first: what is made of one may ask more. Until no job is left; jobs may be submitted
        meanwhile. A job that was stopped gives ``Stopped``."""
        while self.open:
            self._hand_out()
            while self._given_out + 1 in self._finished:
                self._given_out += 1
                yield self._given_out, self._finished.pop(self._given_out)
                self._hand_out()
            if self.open:
                self._watch()

    def drop(self) -> None:
        """Forget every job that is open; workers at work are replaced."""
        self._waiting.clear()
        for worker in list(self._workers):
            if worker.task is not None:
                worker.task = None
                self._replace(worker)
        self._finished.clear()
        self._forget_away()
        self._given_out = self._tickets

    def _forget_away(self) -> None:
        if self.elsewhere is not None and self._away:
            self.elsewhere.drop()
        self._away.clear()

    def close(self) -> None:
        """End all workers, whatever they do."""
        self._waiting.clear()
        self._forget_away()
        self._finished.clear()
        with uninterrupted():
            workers, self._workers = self._workers, []
            for worker in workers:
                worker.process.kill()
            for worker in workers:
                _bury(worker)

    # --- workers ------------------------------------------------------------------------------

    def _start(self) -> None:
        method: StartMethod = "spawn" if has_threads() else self.method
        with uninterrupted(), bare_main(method):
            ours, theirs = multiprocessing.Pipe()
            inherited: list[Connection] = []
            if method == "fork":
                inherited = [ours, *(worker.connection for worker in self._workers)]
                load(self._preload)  # once for all of them; no solver is asked anything here
            arguments = (theirs, self._memory, self._preload, inherited)
            process = worker_process(method, arguments)
            process.start()
            self._workers.append(_Worker(process, ours, time.monotonic() + START_SECONDS))
            theirs.close()

    def _replace(self, worker: _Worker) -> None:
        self._workers.remove(worker)
        worker.process.kill()
        _bury(worker)
        self._start()

    def _hand_out(self) -> None:
        if self.over:
            for task in (*self._waiting, *self._away.values()):
                self._finished[task.ticket] = Stopped(CUT_BY_TIME)
            self._waiting.clear()
            self._forget_away()
        self._send_away()
        for worker in list(self._workers):
            if not self._waiting:
                return
            if worker.ready and worker.task is None:
                self._hand(worker, self._waiting.popleft())

    def _send_away(self) -> None:
        """Hand jobs of which nothing is known to others, as far as they take them."""
        if self.elsewhere is None:
            return
        for task in list(self._waiting):
            known = task.ticket in self._claims or self._known(task) is not None
            if known or task.ticket in self._distrusted:
                continue
            if self.elsewhere.takes(task.ticket, task.job):
                self._waiting.remove(task)
                self._away[task.ticket] = task

    def _known(self, task: _Task) -> Job | None:
        """What the keeper knows of a job, which is asked once."""
        if self.keeper is None or task.ticket in self._distrusted:
            return None
        if task.ticket not in self._recalled:
            self._recalled[task.ticket] = self.keeper.recalled(task.job)
        return self._recalled[task.ticket]

    def _take_back(self) -> None:
        """Check what others answered, and run here what they did not."""
        if self.elsewhere is None or not self._away:
            return
        idle = not self._waiting and any(w.ready and w.task is None for w in self._workers)
        for ticket, claim in self.elsewhere.came(idle):
            if ticket not in self._away:
                continue
            self._waiting.appendleft(self._away.pop(ticket))
            if claim is None:
                self._distrusted.add(ticket)
            else:
                self._claims[ticket] = claim

    def _hand(self, worker: _Worker, task: _Task) -> None:
        worker.task = task
        worker.recalled = self._claims.get(task.ticket) or self._known(task)
        worker.deadline = min(time.monotonic() + task.seconds, self._end)
        try:
            worker.connection.send_bytes(ForkingPickler.dumps(worker.recalled or task.job))
        except OSError:  # it has died idle: the job is another one's
            worker.task = None
            self._waiting.appendleft(task)
            self._failed_start()
            self._replace(worker)

    def _watch(self) -> None:
        """Wait for the next message, death or deadline, and see to it."""
        now = time.monotonic()
        busy = [w for w in self._workers if not w.ready or w.task is not None]
        nearest = min((worker.deadline for worker in busy), default=now)
        events: list[Connection | int] = [worker.connection for worker in busy]
        if self.elsewhere is not None and self._away:
            events.append(self.elsewhere.signal)
            nearest = nearest if busy else self._end
        events += [w.process.sentinel for w in busy]
        signalled = wait(events, max(0.0, min(nearest - now, _LOOK_SECONDS)))
        self.waits()
        self._take_back()
        for worker in busy:
            if worker.connection in signalled:
                self._listen(worker)
            elif worker.process.sentinel in signalled:
                self._died(worker)
            elif time.monotonic() >= worker.deadline:
                self._overdue(worker)

    def _listen(self, worker: _Worker) -> None:
        try:
            message = worker.connection.recv()
        except (EOFError, OSError):  # before a message, or in the middle of one
            self._died(worker)
            return
        if message == READY:
            worker.ready = True
            self._failed_starts = 0
            return
        if isinstance(message, Crash):
            raise WorkerError(f"a worker failed\n{message.text}")
        self._finish(worker, message)
        if getattr(message, "spent", False):
            self._replace(worker)

    def _finish(self, worker: _Worker, result: object) -> None:
        task, recalled = worker.task, worker.recalled
        worker.task = worker.recalled = None
        if task is None:
            return
        self._recalled.pop(task.ticket, None)
        claim = self._claims.pop(task.ticket, None)
        if recalled is not None and not self._holds(recalled, claim, result):
            self._distrusted.add(task.ticket)
            self._waiting.appendleft(task)
            return
        if self.keeper is not None and (recalled is None or claim is not None):
            self.keeper.keep(task.job, result)
        self._finished[task.ticket] = result

    def _holds(self, recalled: Job, claim: Job | None, result: object) -> bool:
        if claim is not None:
            return self.elsewhere is not None and self.elsewhere.holds(result)
        return self.keeper is None or self.keeper.holds(recalled, result)

    def _overdue(self, worker: _Worker) -> None:
        if not worker.ready:
            self._failed_start()
        self._finish(worker, Stopped(CUT_BY_TIME))
        self._replace(worker)

    def _died(self, worker: _Worker) -> None:
        worker.process.join(1.0)
        code = worker.process.exitcode
        if not worker.ready:
            self._failed_start()
        self._finish(worker, Stopped(death(code, self._memory)))
        self._replace(worker)

    def _failed_start(self) -> None:
        self._failed_starts += 1
        if self._failed_starts >= MOST_FAILED_STARTS:
            raise NoWorkersError("worker processes do not come up")


def _bury(worker: _Worker) -> None:
    worker.process.join()
    worker.connection.close()
    with suppress(ValueError):  # somebody else has already heard of its end
        worker.process.close()
