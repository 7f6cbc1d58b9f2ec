"""How long a check may take, and the workers that it has."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from twohand.engine.workers.pool import DEFAULT_MEGABYTES, DEFAULT_SECONDS, Pool
from twohand.engine.workers.starting import StartMethod

SOON = 5.0
"""The effort that decides most questions: before one gets more, some runs are just executed."""
PRELOADED = ("cvc5", "twohand.evidence.proofs.query")


_MOST_PROCESSES = 8


Progress = Callable[[str, int, int], None]
"""Called with what was done last, how many requirements are decided, and how many there are."""


def _processors() -> int:
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


@dataclass(frozen=True)
class Options:
    """Limits. ``effort`` is what each question may take, counted and never timed: about seconds of
    an ordinary machine. ``seconds`` is the wall time after which a question is cut, which is to
    happen to none, and ``total`` that of all questions together (None: no limit); ``memory`` is
    megabytes for each process;
    ``start_method`` None is what the system does best. ``needless``: whether to look for
    assumptions that no requirement needs (of a spec that is asked as a whole). ``causes``: whether
    to look for calls whose absence is the cause of a violation. ``another``: whether to look for a
    run of another kind for what is violated. ``beyond``: whether
    to ask, where an overflow may happen, everything as if it wrapped around."""

    effort: float = 60.0
    seconds: float = DEFAULT_SECONDS
    total: float | None = None
    processes: int = field(default_factory=lambda: min(_processors(), _MOST_PROCESSES))
    start_method: StartMethod | None = None
    memory: int = DEFAULT_MEGABYTES
    needless: bool = True
    causes: bool = True
    another: bool = False
    beyond: bool = False


def open_pool(options: Options, most: int | None = None) -> Pool:
    """Workers for ``check``, to be closed by the caller; ``most`` limits their number."""
    processes = min(options.processes, most or options.processes)
    return Pool(processes, options.start_method, options.memory, PRELOADED, options.total)


@contextmanager
def workers(options: Options, pool: Pool | None, most: int | None = None) -> Iterator[Pool]:
    """``pool``, which stays open and loses what it was asked where that fails; without one, a
    pool that is closed at the end."""
    if pool is None:
        with open_pool(options, most) as own:
            yield own
        return
    try:
        yield pool
    except BaseException:
        pool.drop()
        raise
