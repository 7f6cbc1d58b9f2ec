"""What runs in a worker process: one job after the other, under its limits.

Loads nothing that its jobs do not need: with the spawn method its start is waited for.
"""

from __future__ import annotations

import contextlib
import gc
import importlib
import os
import pickle
import signal
import sys
import threading
import traceback
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from multiprocessing import parent_process
from multiprocessing.connection import Connection, wait
from pickle import PicklingError

READY = "ready"
_SPARE_MEGABYTES = 512
"""For the interpreter and for solvers that do not count their memory."""


CUT_BY_TIME = "it was cut by time and may be answered another time"
"""The reason of an answer that depends on the machine and its load."""


@dataclass(frozen=True)
class Stopped:
    """A job that came to no result; ``reason`` is a plain sentence without a full stop.

    ``spent`` says that the process is of no use any more (its memory is not given back)."""

    reason: str
    spent: bool = False


_OUT_OF_MEMORY = Stopped("the memory limit was reached", spent=True)


@dataclass(frozen=True)
class Crash:
    """A job that failed by a fault of the program; ``text`` is its traceback."""

    text: str


def serve(
    connection: Connection,
    memory_megabytes: int,
    preload: Sequence[str],
    inherited: Sequence[Connection],
) -> None:
    """Answer jobs until the parent is gone. ``inherited`` are the parent's ends of pipes, which a
    forked child closes."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    for other in inherited:
        other.close()
    try:
        threading.Thread(target=_end_with_parent, daemon=True).start()
    except (MemoryError, RuntimeError):  # the system gives none; the parent notices the end
        os._exit(1)
    try:
        load(preload)
        _limit_memory(memory_megabytes)
        _collect_between_jobs()
        _answer(connection)
    except MemoryError:
        os._exit(1)


def load(modules: Sequence[str]) -> None:
    """Imports what jobs will need."""
    for module in modules:
        with contextlib.suppress(ImportError):  # a job that needs it will say so
            importlib.import_module(module)


def _answer(connection: Connection) -> None:
    with contextlib.suppress(EOFError, ConnectionError):
        connection.send(READY)
        while True:
            result = _result(connection.recv_bytes())
            try:
                connection.send(result)
            except (TypeError, AttributeError, PicklingError):
                connection.send(Crash(traceback.format_exc()))
            del result
            gc.collect()


def _collect_between_jobs() -> None:
    """No objects that refer to each other are freed while a job works: when that happens depends
    on all that the process did before, and z3 gives the numbers of freed terms to new ones, by
    which it orders them and finds other models."""
    gc.disable()
    gc.freeze()


def _end_with_parent() -> None:
    """A parent that was killed cannot end its children."""
    parent = parent_process()
    if parent is not None:
        wait([parent.sentinel])
        os._exit(1)


def _limit_memory(megabytes: int) -> None:
    z3 = sys.modules.get("z3")
    if z3 is not None:
        z3.set_param("memory_max_size", megabytes)
    try:
        import resource
    except ImportError:  # Windows: z3's own limit, and the deadline
        return
    most = (megabytes + _SPARE_MEGABYTES) * 1024 * 1024
    with contextlib.suppress(ValueError, OSError):
        _, hard = resource.getrlimit(resource.RLIMIT_DATA)
        limit = most if hard == resource.RLIM_INFINITY else min(most, hard)
        resource.setrlimit(resource.RLIMIT_DATA, (limit, hard))


def _result(pickled: bytes) -> object:
    try:
        job: Callable[[], object] = pickle.loads(pickled)
        return job()
    except MemoryError:
        return _OUT_OF_MEMORY
    except Exception as error:
        if type(error).__name__ == "Z3Exception":
            return _solver_stopped(str(error))
        return Crash(traceback.format_exc())


def _solver_stopped(text: str) -> Stopped:
    if "memory" in text or "bad_alloc" in text:
        return _OUT_OF_MEMORY
    return Stopped(f"the solver gave up ({text})")
