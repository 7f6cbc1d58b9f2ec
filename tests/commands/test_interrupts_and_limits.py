"""An interrupt, and a system that gives too little: an exit code, a sentence, and no traceback."""

from __future__ import annotations

import errno
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from twohand.commands.shared.interrupt import INTERRUPT
from twohand.commands.shared.session import Progress, Session
from twohand.commands.shared.shortage import shortage
from twohand.engine.workers.pool import NoWorkersError
from twohand.report.drawing.terminal import Terminal
from twohand.report.exit_code import ExitCode

INTERRUPTED_WHILE_LOADED = """
import os, signal, sys
signal.signal(signal.SIGINT, signal.default_int_handler)  # a shell's & ignores it
class Finder:
    def find_spec(self, name, *_):
        if name == "twohand.commands.main":
            try:
                os.kill(os.getpid(), signal.SIGINT)
                [None for _ in range(1000)]
            except BaseException:
                raise RuntimeError("made of the interrupt")
sys.meta_path.insert(0, Finder())
from twohand.__main__ import main
main()
"""
LITTLE_MEMORY = """
import resource, sys
resource.setrlimit(resource.RLIMIT_AS, (100 << 20, 100 << 20))
sys.argv = ["twohand", "check", "nothing.spec"]
from twohand.__main__ import main
main()
"""
UNIX = pytest.mark.skipif(sys.platform == "win32", reason="signals and limits are others there")


def session() -> Session:
    terminal = Terminal(80)
    return Session(terminal, terminal, {}, Progress(terminal, False), None)


def turned_into_another_error() -> ExitCode:
    INTERRUPT.came = True
    raise RuntimeError("Error calling __set_name__")


def swallowed() -> ExitCode:
    INTERRUPT.came = True
    return ExitCode.ALL_PROVED


@pytest.mark.parametrize("work", [turned_into_another_error, swallowed])
def test_an_interrupt_that_something_swallows_ends_the_run_all_the_same(
    work: Callable[[], ExitCode],
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr(INTERRUPT, "came", False)
    run = session()
    assert run.guard(work, "press.spec") is False
    assert run.codes[-1] is ExitCode.INTERRUPTED
    assert capsys.readouterr().err == "interrupted at press.spec\n"


@UNIX
def test_an_interrupt_while_the_program_is_loaded_is_quiet() -> None:
    done = subprocess.run(
        [sys.executable, "-c", INTERRUPTED_WHILE_LOADED], capture_output=True, check=False
    )
    assert (done.returncode, done.stdout, done.stderr) == (130, b"", b"")


@pytest.mark.parametrize(
    ("error", "lacking"),
    [
        (MemoryError(), "memory"),
        (OSError(errno.EMFILE, "Too many open files"), "open files"),
        (BlockingIOError(errno.EAGAIN, "Resource temporarily unavailable"), "processes"),
        (RuntimeError("can't start new thread"), "processes"),
        (NoWorkersError("worker processes do not come up"), "processes"),
        (ImportError("x.so: failed to map segment from shared object"), "memory"),
    ],
)
def test_what_the_system_lacks_is_no_mistake_of_the_program(
    error: Exception, lacking: str, capsys: pytest.CaptureFixture[str]
) -> None:
    def work() -> ExitCode:
        raise ValueError("it failed") from error

    run = session()
    assert run.guard(work, "press.spec") is False
    assert run.codes == [ExitCode.UNUSABLE]
    told = capsys.readouterr().err
    assert f"the system gives no more {lacking}" in told
    assert "[system-limit]" in told


@pytest.mark.parametrize("error", [ValueError("no"), OSError(errno.ENOENT, "no file")])
def test_other_errors_are_no_lack_of_anything(error: Exception) -> None:
    assert shortage(error, "press.spec") is None


@pytest.mark.long
@UNIX
def test_too_little_memory_for_a_solver_is_told_before_one_is_loaded(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", LITTLE_MEMORY],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == ExitCode.UNUSABLE
    assert "at least 192 are needed [system-limit]" in done.stderr
    assert "Traceback" not in done.stderr
