"""Questions to the workers of a scheduler (dask.distributed), for ``twohand.engine.workers.pool``.

No worker is believed: what comes back is text, which is checked here like a kept answer. What the
transport would have to unpickle is refused.
"""

from __future__ import annotations

import logging
import multiprocessing
import re
import time
from collections.abc import Callable
from contextlib import suppress
from functools import partial
from importlib import import_module
from importlib.util import find_spec
from queue import Empty, SimpleQueue
from typing import Any

from twohand.engine.workers.process import Stopped
from twohand.evidence.cache.answers import Dropped
from twohand.evidence.cache.question import Recheckable, versions
from twohand.evidence.cache.tasks import Claimed, answer_text, task_of
from twohand.text.diagnostic import Diagnostic, InputError

Job = Callable[[], object]
ANSWERS_WITHIN = 10.0
"""Seconds within which a scheduler and its workers have to answer."""
PATIENCE = 30.0
"""Seconds after which an idle process here asks what a worker has not answered."""
_FOR_EACH_THREAD = 2
"""Questions that are handed to the workers at once: the others are asked here meanwhile."""
_TRANSPORT = ["dask", "msgpack"]
_HOST = r"(?:[\w.-]+|\[[0-9a-fA-F:]+\])"
_ADDRESS = re.compile(rf"(?:(?:tcp|tls|wss?)://)?{_HOST}:[0-9]{{1,5}}", re.ASCII)
NO_SCHEDULER = "no-scheduler"


def connected(address: str) -> Cluster:
    """InputError where no worker answers, or one is of another version."""
    if find_spec("distributed") is None:
        message = "the package distributed is not installed"
        raise _no_scheduler(address, message, "python -m pip install 'twohand[cluster]'")
    if _ADDRESS.fullmatch(address) is None:
        raise _no_scheduler(address, "this is no address of a scheduler")
    client_of: Callable[..., Any] = import_module("distributed").Client
    logging.getLogger("distributed").setLevel(logging.CRITICAL + 1)
    ends = time.monotonic() + ANSWERS_WITHIN
    try:
        client = client_of(
            address, timeout=ANSWERS_WITHIN, set_as_default=False, deserializers=_TRANSPORT
        )
    except (OSError, ValueError, TypeError, ImportError) as error:
        said = str(error) or type(error).__name__
        message = f"no scheduler answers here within {ANSWERS_WITHIN:.0f} s: {said}"
        raise _no_scheduler(address, message) from None
    try:
        threads = _threads_of_alike(client, address, ends)
    except BaseException:
        _close(client)
        raise
    return Cluster(client, address, threads)


def _threads_of_alike(client: Any, address: str, ends: float) -> int:
    """How many threads the workers have, all of this version."""
    left = max(0.1, ends - time.monotonic())
    try:
        client.wait_for_workers(1, timeout=left)
        found = client.run(versions_text, on_error="return")
    except Exception as error:  # whatever the transport raises
        message = f"no worker of this scheduler answers: {str(error) or type(error).__name__}"
        raise _no_scheduler(address, message) from None
    own = versions_text()
    others = [worker for worker, said in sorted(found.items()) if said != own]
    if others:
        message = f"the worker {others[0]} has another version of twohand or of a solver, or none"
        way = "install the same versions there"
        raise InputError(Diagnostic("other-version", message, path=address, help=way))
    return sum(client.nthreads().values())


def versions_text() -> str:
    """What has to be the same on both sides."""
    return repr(sorted(versions().items()))


def _no_scheduler(address: str, message: str, way: str = "") -> InputError:
    way = way or "name one with workers, as tcp://host:8786, or leave --scheduler out"
    return InputError(Diagnostic(NO_SCHEDULER, message, path=address, help=way))


def _close(client: Any) -> None:
    with suppress(Exception):
        client.close(timeout=2)


class Cluster:
    """Where else questions are asked (``twohand.engine.workers.pool.Elsewhere``)."""

    def __init__(self, client: Any, address: str, threads: int) -> None:
        self._client = client
        self._address = address
        self._most = max(1, threads) * _FOR_EACH_THREAD
        self._away: dict[int, tuple[Recheckable, Any, float]] = {}
        self._came: SimpleQueue[tuple[int, object]] = SimpleQueue()
        self.signal, self._raised = multiprocessing.Pipe(duplex=False)
        self.confirmed = 0
        self._unbelieved = 0
        self._told = 0
        self._said: list[str] = []

    def takes(self, ticket: int, job: Job) -> bool:
        """Whether it was handed to a worker."""
        if len(self._away) >= self._most or not isinstance(job, Recheckable):
            return False
        try:
            future = self._client.submit(answer_text, task_of(job), pure=False)
        except Exception:  # the scheduler has gone: all is asked here
            self._most = 0
            return False
        self._away[ticket] = (job, future, time.monotonic())
        future.add_done_callback(partial(self._done, ticket))
        return True

    def _done(self, ticket: int, future: Any) -> None:
        """In a thread of the transport."""
        try:
            answer = future.result(timeout=ANSWERS_WITHIN)
        except BaseException:  # a worker that died too often, or answers no text
            answer = None
        self._came.put((ticket, answer))
        with suppress(OSError, ValueError):
            self._raised.send_bytes(b".")

    def came(self, idle: bool) -> list[tuple[int, Job | None]]:
        """What has come back since: jobs that check it, None where the job is to be run here. What
        takes long is given back where a process here is ``idle``, and all of it where the scheduler
        is gone: nothing hangs on others alone."""
        while self.signal.poll():
            self.signal.recv_bytes()
        found: list[tuple[int, Job | None]] = []
        with suppress(Empty):
            while True:
                ticket, answer = self._came.get_nowait()
                if ticket not in self._away:
                    continue
                question, _, _ = self._away.pop(ticket)
                told = isinstance(answer, str) and answer != "null"
                found.append((ticket, Claimed(question, str(answer)) if told else None))
        found += [(ticket, None) for ticket in self._given_up(idle)]
        return found

    def _given_up(self, idle: bool) -> list[int]:
        gone = self._client.status != "running"
        if gone and self._most:
            self._most = 0
            self._said.append(f"the scheduler at {self._address} is gone: all is asked here")
        now = time.monotonic()
        late = [ticket for ticket, (_, _, begun) in self._away.items() if now >= begun + PATIENCE]
        tickets = list(self._away) if gone else late[:1] if idle else []
        for ticket in tickets:
            _, future, _ = self._away.pop(ticket)
            _cancel(future)
        return tickets

    def holds(self, result: object) -> bool:
        """Whether what a worker claimed has been confirmed, by the result of its check."""
        if isinstance(result, Dropped | Stopped):
            self._unbelieved += isinstance(result, Dropped)
            return False
        self.confirmed += 1
        return True

    def drop(self) -> None:
        for _, future, _ in self._away.values():
            _cancel(future)
        self._away.clear()

    def told(self) -> list[str]:
        """What has to be said since it was asked last."""
        lines, self._said = self._said, []
        new, self._told = self._unbelieved - self._told, self._unbelieved
        if new:
            what = "an answer" if new == 1 else f"{new} answers"
            where = f"workers at {self._address}"
            lines.append(f"{what} of {where} did not hold when rechecked: asked anew")
        return lines

    def close(self) -> None:
        self.drop()
        _close(self._client)


def _cancel(future: Any) -> None:
    with suppress(Exception):
        future.cancel()
