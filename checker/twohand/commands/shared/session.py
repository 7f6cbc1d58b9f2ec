"""What the commands share; with ``twohand.commands.main`` the only place that prints."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from twohand.commands.shared import internal_error as fault
from twohand.commands.shared.closed_pipe import OutputLost, ReaderLeft, written
from twohand.commands.shared.console import encodable
from twohand.commands.shared.interrupt import INTERRUPT
from twohand.commands.shared.shortage import shortage
from twohand.gate.project.answer_caches import AnswerCaches
from twohand.report.cautions import brief_caution, caution_lines
from twohand.report.drawing.diagnostics import diagnostic_lines, one_line
from twohand.report.drawing.terminal import Terminal
from twohand.report.exit_code import ExitCode
from twohand.report.summary import total_line
from twohand.specification.phrases import count, wall_time
from twohand.text.diagnostic import Diagnostic, InputError

if TYPE_CHECKING:
    from twohand.engine.workers.pool import Pool
    from twohand.evidence.cache.cluster import Cluster
    from twohand.evidence.limits import Options
    from twohand.evidence.verdict import Report
    from twohand.record.parts.part import PartOfFiles
    from twohand.specification.model.specification import Specification


def say(lines: Iterable[str] | str, terminal: Terminal, err: bool = False) -> None:
    """Print; what the stream cannot encode is replaced, so that no report is lost to it."""
    stream = sys.stderr if err else sys.stdout
    text = lines if isinstance(lines, str) else "\n".join(lines)
    SILENCE.broken()
    shown = encodable(text, getattr(stream, "encoding", None))
    with written():
        click.echo(shown, err=err, color=terminal.color)


@dataclass
class Silence:
    """How long nothing was printed."""

    since: float = field(default_factory=time.monotonic)

    def broken(self) -> None:
        self.since = time.monotonic()

    @property
    def seconds(self) -> float:
        return time.monotonic() - self.since


SILENCE = Silence()
LONG_SILENCE = 30.0
"""Seconds after which a command says that it is at work."""


@dataclass
class Progress:
    """One line on the terminal's error stream that is written over; elsewhere a line where nothing
    was printed for long."""

    terminal: Terminal
    enabled: bool
    prefix: str = ""
    written: int = field(default=0, init=False)
    latest: str = field(default="", init=False)
    began: float = field(default_factory=time.monotonic, init=False)

    def __call__(self, text: str, done: int = 0, total: int = 0) -> None:
        count = f"{done} of {total}, " if total else ""
        self.latest = self.terminal.shown(self.prefix + count + text)
        if self.enabled:
            line = self.terminal.clip(self.latest, 78)
            self._write(f"\r{line.ljust(self.written)}")
            self.written = len(line)
        else:
            self.at_work()

    def at_work(self) -> None:
        """To be called now and then: a line of its own after a long silence."""
        spent = time.monotonic() - self.began
        if not self.enabled and min(SILENCE.seconds, spent) >= LONG_SILENCE:
            said = f"at work for {wall_time(spent)}: {self.latest}"
            say(said, self.terminal, err=True)

    def clear(self) -> None:
        if self.enabled and self.written:
            self._write(f"\r{' ' * self.written}\r")
            self.written = 0

    def _write(self, text: str) -> None:
        with written():
            click.echo(encodable(text, sys.stderr.encoding), nl=False, err=True)


@dataclass
class Session:
    """What the commands share: where to show, how to check, and what has come out so far."""

    terminal: Terminal
    complaints: Terminal
    """The error stream's own, which may go elsewhere."""
    limits: dict[str, Any]
    progress: Progress
    error_file: str | None
    concise: bool = False
    reports: list[Report] = field(default_factory=list)
    codes: list[ExitCode] = field(default_factory=list)
    problems: list[Diagnostic] = field(default_factory=list)
    """Why something has no answer, for the document."""
    read: list[tuple[str, str]] = field(default_factory=list)
    """The path and the SHA-256 of every file that was read, for the document."""
    began: float = field(default_factory=time.monotonic)
    open: ExitStack = field(default_factory=ExitStack)
    """Closes the workers, which serve one spec after the other."""
    pool: Pool | None = None
    caches: AnswerCaches = field(default_factory=lambda: AnswerCaches(off=True))
    subject: Path | None = None
    """What is asked about: its project keeps the answers."""
    cluster: Cluster | None = None
    """Where else questions are asked."""
    part: PartOfFiles | None = None
    """Which of all spec files are answered here, where others answer the others."""
    marks: list[tuple[str, int, int, int]] = field(default_factory=list)
    """A path ('' before the first) and how much was read, was a problem and was reported then."""

    def check(self, path: Path, shown: str) -> Iterator[Report]:
        """Check the specs of one file, one after the other; InputError where it is unusable."""
        try:
            specifications = self.specifications(path, shown)
            from twohand.analyses.check.check import check  # loads the solver

            for specification in specifications:
                yield check(specification, self.check_options(), self.progress, self.workers())
        finally:
            self.progress.clear()

    def specifications(self, path: Path, shown: str) -> tuple[Specification, ...]:
        """The specs of one file; InputError where it is unusable."""
        from twohand.specification.load import load_specifications

        self.progress("reading")
        return load_specifications(path, shown)

    def connect(self, address: str) -> None:
        """Have questions asked by the workers of a scheduler; InputError where there are none."""
        from twohand.evidence.cache.cluster import connected

        self.cluster = connected(address)
        self.open.callback(self.cluster.close)

    def check_options(self) -> Options:
        """The limits that the command line asks for."""
        from twohand.evidence.limits import Options

        return Options(**self.limits)

    def workers(self) -> Pool:
        """The worker processes of this run, started at the first call, with the answers that are
        kept of the ``subject``."""
        if self.pool is None:
            from twohand.evidence.limits import open_pool

            self.open.callback(self.caches.close)
            self.pool = self.open.enter_context(open_pool(self.check_options()))
            self.pool.waits = self.progress.at_work
            self.pool.elsewhere = self.cluster
        self.pool.keeper = None if self.subject is None else self.caches.of(self.subject)
        return self.pool

    def complain(self, diagnostics: Sequence[Diagnostic]) -> None:
        """Show why an input cannot be used and remember that; an editor that asked for concise
        lines reads them where it reads the verdicts."""
        self.codes.append(ExitCode.UNUSABLE)
        self.show(diagnostics)

    def show(self, diagnostics: Sequence[Diagnostic]) -> None:
        """The same, where the exit code is the caller's."""
        self.problems.extend(diagnostics)
        for diagnostic in diagnostics:
            if self.concise:
                say(self.terminal.shown(one_line(diagnostic)), self.terminal)
            else:
                say([*diagnostic_lines(diagnostic, self.complaints), ""], self.complaints, err=True)

    def guard(self, work: Callable[[], ExitCode], what: str) -> bool:
        """Do ``work`` and note its code; False where the run has to end."""
        before = INTERRUPT.came
        try:
            self.codes.append(work())
            self.tell_of_caches()
        except InputError as error:
            self.complain(error.diagnostics)
        except (ReaderLeft, OutputLost):
            raise
        except (KeyboardInterrupt, click.Abort, Exception) as error:
            self.broken(error, what)
            return False
        if INTERRUPT.came and not before:
            self.interrupted(what)
            return False
        return True

    def tell_of_caches(self) -> None:
        """Say what was wrong with answers of others, on the error stream: no answer hangs on it."""
        others = [] if self.cluster is None else self.cluster.told()
        for line in (*self.caches.told(), *others):
            self.progress.clear()
            say(self.complaints.shown(line), self.complaints, err=True)

    def interrupted(self, what: str) -> ExitCode:
        say(f"interrupted at {what}", self.terminal, err=True)
        self.codes.append(ExitCode.INTERRUPTED)
        self.problems.append(Diagnostic("interrupted", "the run was interrupted", path=what))
        return ExitCode.INTERRUPTED

    def broken(self, error: BaseException, what: str) -> ExitCode:
        """Say why the run has to end: an interrupt, a limit of the system, or a mistake of our
        own; there is no verdict."""
        if INTERRUPT.came or isinstance(error, KeyboardInterrupt | click.Abort):
            return self.interrupted(what)
        lacking = shortage(error, what)
        if lacking is not None:
            self.complain([lacking])
            return ExitCode.UNUSABLE
        say(fault.paragraph(error, what, self.error_file, self.terminal), self.terminal, True)
        self.codes.append(ExitCode.INTERNAL)
        message = "a mistake in twohand; nothing of this is decided"
        self.problems.append(Diagnostic("internal-error", message, path=what))
        return ExitCode.INTERNAL

    def each(
        self,
        paths: Sequence[Path],
        one: Callable[[Path], ExitCode],
        shown: Callable[[Path], str] = str,
    ) -> None:
        """Do ``one`` for each path and note its code, until the run has to end; ``shown`` is how
        the path is reported where something went wrong."""
        self.mark("")
        for number, path in enumerate(paths, 1):
            place = f" ({number} of {len(paths)})" if len(paths) > 1 else ""
            self.progress.prefix = f"{path.name}{place}: "
            self.subject = path
            goes_on = self.guard(lambda path=path: one(path), shown(path))  # type: ignore[misc]
            self.mark(str(path))
            if not goes_on:
                left_over(len(paths) - number, self.terminal)
                break

    def mark(self, path: str) -> None:
        self.marks.append((path, len(self.read), len(self.problems), len(self.reports)))

    def cautions(self, err: bool = False, brief: bool = False) -> None:
        if self.reports:
            specifications = [report.specification for report in self.reports]
            lines = caution_lines(specifications, self.terminal)
            if brief:
                lines = self.terminal.wrap(brief_caution(specifications), 0, 2)
            say(lines, self.terminal, err)

    def total(self) -> None:
        unusable = sum(code is ExitCode.UNUSABLE for code in self.codes)
        text = total_line(self.reports, unusable, time.monotonic() - self.began)
        space = [""] if self.reports else []
        say([*space, *self.terminal.wrap(text, 0, 2)], self.terminal)


def left_over(number: int, terminal: Terminal) -> None:
    """Say what a run that had to end has not checked."""
    if number:
        say(f"{count(number, 'further spec')} not checked", terminal, err=True)
