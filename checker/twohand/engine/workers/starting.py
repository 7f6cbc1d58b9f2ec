"""How worker processes begin: by the start method, deaf to the interrupt, without the parent's main
module."""

from __future__ import annotations

import multiprocessing
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from multiprocessing.process import BaseProcess
from types import ModuleType
from typing import Literal, TypeAlias

from twohand.engine.workers.process import serve

StartMethod: TypeAlias = Literal["fork", "spawn"]


def death(code: int | None, megabytes: int) -> str:
    limit = f"its limit of memory is {megabytes} MB"
    if code is not None and code < 0:
        try:
            name = signal.Signals(-code).name
        except ValueError:
            name = str(-code)
        return f"its process was ended by signal {name} ({limit})"
    return f"its process ended with code {code} ({limit})"


def worker_process(method: StartMethod, arguments: tuple[object, ...]) -> BaseProcess:
    if method == "spawn":
        spawn = multiprocessing.get_context("spawn")
        return spawn.Process(target=serve, args=arguments, daemon=True)
    fork = multiprocessing.get_context("fork")
    return fork.Process(target=serve, args=arguments, daemon=True)


def has_threads() -> bool:
    """Whether this process has a thread besides the main one; forking it would be unsafe."""
    threading = sys.modules.get("threading")
    return threading is not None and threading.active_count() > 1


@contextmanager
def uninterrupted() -> Iterator[None]:
    """No interrupt between the start of a process and the note that it is ours; the child begins
    deaf to it."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, [signal.SIGINT])
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


@contextmanager
def bare_main(method: str) -> Iterator[None]:
    """A spawned child imports its parent's main module; ours would load the command line."""
    if method != "spawn":
        yield
        return
    main = sys.modules["__main__"]
    sys.modules["__main__"] = ModuleType("__main__")
    try:
        yield
    finally:
        sys.modules["__main__"] = main
