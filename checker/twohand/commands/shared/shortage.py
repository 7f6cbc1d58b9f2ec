"""What the system gives too little of: limits of memory, open files or processes are no mistake of
the program, and no verdict."""

from __future__ import annotations

import errno
import sys
from collections.abc import Iterator

from twohand.text.diagnostic import Diagnostic

LEAST_MEGABYTES = 192
"""Of address space, below which the solver ends the process as it is loaded."""
_MEMORY, _FILES, _PROCESSES = "memory", "open files", "processes"
_LESS = {
    _MEMORY: "raise the limit (ulimit -v, or that of the container), or ask for fewer --processes",
    _FILES: "raise the limit (ulimit -n), or ask for fewer --processes",
    _PROCESSES: "raise the limit of processes or of memory, or ask for fewer --processes",
}
_NUMBERS = {
    errno.ENOMEM: _MEMORY,
    errno.EMFILE: _FILES,
    errno.ENFILE: _FILES,
    errno.EAGAIN: _PROCESSES,
}


def shortage(error: BaseException, what: str) -> Diagnostic | None:
    """Why work on ``what`` came to no end, where something is lacking; else None."""
    for each in _chain(error):
        lacking = _lacking(each)
        if lacking:
            message = f"the system gives no more {lacking}; nothing of this is decided"
            return Diagnostic("system-limit", message, path=what, help=_LESS[lacking])
    return None


def narrow_memory(what: str) -> Diagnostic | None:
    """Why a process with so little address space had better not begin."""
    if sys.platform == "win32":
        return None
    import resource

    limit, _ = resource.getrlimit(resource.RLIMIT_AS)
    if limit == resource.RLIM_INFINITY or limit >= LEAST_MEGABYTES << 20:
        return None
    message = f"the system gives {limit >> 20} MB of memory; at least {LEAST_MEGABYTES} are needed"
    return Diagnostic("system-limit", message, path=what, help=_LESS[_MEMORY])


def _chain(error: BaseException | None) -> Iterator[BaseException]:
    """The error and what it came from."""
    while error is not None:
        yield error
        error = error.__cause__ or error.__context__


def _lacking(error: BaseException) -> str:
    """Solvers and threads say it in words alone; they are told by name, so that none is loaded."""
    if isinstance(error, MemoryError):
        return _MEMORY
    if isinstance(error, OSError):
        return _NUMBERS.get(error.errno or 0, "")
    name, text = type(error).__name__, str(error)
    if name == "NoWorkersError" or "can't start new thread" in text:
        return _PROCESSES
    solver = name == "Z3Exception" and ("memory" in text or "libz3" in text)
    library = isinstance(error, ImportError) and "failed to map" in text
    return _MEMORY if solver or library else ""
