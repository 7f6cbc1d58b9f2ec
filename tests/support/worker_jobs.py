"""Jobs for the tests of the pool; workers import this by name."""

from __future__ import annotations

import inspect
import os
import signal
import struct
import sys
import time
import weakref
from dataclasses import dataclass
from multiprocessing.connection import Connection


@dataclass(frozen=True)
class Give:
    value: object

    def __call__(self) -> object:
        return self.value


@dataclass(frozen=True)
class Sleep:
    seconds: float

    def __call__(self) -> str:
        time.sleep(self.seconds)
        return "slept"


def process_number() -> int:
    return os.getpid()


def die() -> None:
    os.kill(os.getpid(), signal.SIGKILL)


def die_in_the_middle_of_an_answer() -> None:
    """Announces a message of 1000 bytes (as pipes do where there is POSIX) and sends four."""
    frame = inspect.currentframe()
    while frame is not None and "inherited" not in frame.f_locals:
        frame = frame.f_back
    assert frame is not None, "the worker's loop is around its job"
    connection: Connection = frame.f_locals["connection"]
    os.write(connection.fileno(), struct.pack("!i", 1000) + b"half")
    os._exit(9)


def leave() -> None:
    os._exit(3)


def fail() -> None:
    raise RuntimeError("a fault of the program")


def hoard() -> int:
    """More memory than any limit of the tests, in the interpreter."""
    hoards = [bytearray(64 * 1024 * 1024) for _ in range(64)]
    return len(hoards)


def hoard_terms() -> str:
    """More memory than any limit of the tests, in the solver."""
    import z3

    terms = [z3.BitVec(f"x{number}", 64) for number in range(40)]
    solver = z3.Solver()
    product = terms[0]
    for term in terms[1:]:
        product = product * term
        solver.add(z3.URem(product, term + 3) == 5)
    solver.check()
    return str(solver.reason_unknown())


def loaded_modules() -> list[str]:
    return sorted(sys.modules)


def interruptible() -> bool:
    return signal.getsignal(signal.SIGINT) is not signal.SIG_IGN


class Unpicklable:
    def __reduce__(self) -> str:
        raise TypeError("this stays here")


def give_unpicklable() -> Unpicklable:
    return Unpicklable()


class _Circle:
    """Refers to itself, so that only a collection frees it."""

    def __init__(self) -> None:
        self.self = self


_left: list[weakref.ref[_Circle]] = []


def leave_garbage() -> bool:
    """Whether what refers to itself is there after work that has some of it collected."""
    _left[:] = [weakref.ref(_Circle())]
    work = [[number] for number in range(200_000)]
    return len(work) > 0 and _left[0]() is not None


def garbage_is_gone() -> bool:
    """Whether what the job before left behind is collected."""
    return _left[0]() is None
