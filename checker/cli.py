"""The command line; the only place that prints or exits."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, field
from difflib import get_close_matches
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from checker import __version__, fault, gallery
from checker.closed_pipe import ReaderLeft, discard_output, written
from checker.console import LEAST_WIDTH, encodable, terminal_for
from checker.report.cautions import caution_lines
from checker.report.concise import concise_lines
from checker.report.diagnostics import diagnostic_lines, one_line
from checker.report.exit_code import ExitCode, report_code, worst
from checker.report.gallery import (
    showcase_lines,
    table_heading,
    table_row,
    unexpected,
    unusable_row,
)
from checker.report.numbers import count
from checker.report.summary import report_lines, total_line
from checker.report.terminal import Terminal
from checker.source.diagnostic import Diagnostic, InputError
from checker.spec_files import SUFFIX, find_spec_files

if TYPE_CHECKING:
    from checker.engine.worker import Pool
    from checker.evidence.verdict import Report

DEFAULT_SECONDS = 60.0

EXAMPLES = """\b
Examples:
  twohand check press.spec
  twohand check press.spec stations --seconds 300
  twohand check press.spec --details --ascii > press.txt
  twohand check --format concise specs
  twohand gallery
"""
EXIT_CODES = """\b
Exit codes, the first that applies:
  4  internal error
  2  an input cannot be used, or there was nothing to check
  1  something is violated, vacuous, unreachable, never on, or a finding
  3  something is undecided
  0  everything is proved
Also: 130 after an interrupt, 141 where the reader of the output left (| head).
"""


def say(lines: Iterable[str] | str, terminal: Terminal, err: bool = False) -> None:
    """Print; what the stream cannot encode is replaced, so that no report is lost to it."""
    stream = sys.stderr if err else sys.stdout
    text = lines if isinstance(lines, str) else "\n".join(lines)
    shown = encodable(text, getattr(stream, "encoding", None))
    with written():
        click.echo(shown, err=err, color=terminal.color)


@dataclass
class Progress:
    """One line on the terminal's error stream that is written over; nothing elsewhere."""

    terminal: Terminal
    enabled: bool
    prefix: str = ""
    written: int = field(default=0, init=False)

    def __call__(self, text: str, done: int = 0, total: int = 0) -> None:
        if self.enabled:
            count = f"{done} of {total}, " if total else ""
            line = self.terminal.clip(self.terminal.shown(self.prefix + count + text), 78)
            self._write(f"\r{line.ljust(self.written)}")
            self.written = len(line)

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
    began: float = field(default_factory=time.monotonic)
    open: ExitStack = field(default_factory=ExitStack)
    """Closes the workers, which serve one spec after the other."""
    pool: Pool | None = None

    def check(self, path: Path, shown: str) -> Iterator[Report]:
        """Check the specs of one file, one after the other; InputError where it is unusable."""
        from checker.temporal.specification import load_specifications

        try:
            self.progress("reading")
            specifications = load_specifications(path, shown)
            from checker.evidence.check import Options, check, open_pool  # loads the solver

            options = Options(**self.limits)
            if self.pool is None:
                self.pool = self.open.enter_context(open_pool(options))
            for specification in specifications:
                yield check(specification, options, self.progress, self.pool)
        finally:
            self.progress.clear()

    def complain(self, diagnostics: Sequence[Diagnostic]) -> None:
        """Show why an input cannot be used and remember that; an editor that asked for concise
        lines reads them where it reads the verdicts."""
        self.codes.append(ExitCode.UNUSABLE)
        for diagnostic in diagnostics:
            if self.concise:
                say(self.terminal.shown(one_line(diagnostic)), self.terminal)
            else:
                say([*diagnostic_lines(diagnostic, self.complaints), ""], self.complaints, err=True)

    def guard(self, work: Callable[[], ExitCode], what: str) -> bool:
        """Do ``work`` and note its code; False where the run has to end."""
        try:
            self.codes.append(work())
        except InputError as error:
            self.complain(error.diagnostics)
        except (KeyboardInterrupt, click.Abort):
            say(f"interrupted at {what}", self.terminal, err=True)
            self.codes.append(ExitCode.INTERRUPTED)
            return False
        except ReaderLeft:
            raise
        except Exception as error:
            say(fault.paragraph(error, what, self.error_file, self.terminal), self.terminal, True)
            self.codes.append(ExitCode.INTERNAL)
            return False
        return True

    def cautions(self, err: bool = False) -> None:
        if self.reports:
            specifications = [report.specification for report in self.reports]
            say(caution_lines(specifications, self.terminal), self.terminal, err)

    def total(self) -> None:
        unusable = sum(code is ExitCode.UNUSABLE for code in self.codes)
        text = total_line(self.reports, unusable, time.monotonic() - self.began)
        space = [""] if self.reports else []
        say([*space, *self.terminal.wrap(text, 0, 2)], self.terminal)


class Commands(click.Group):
    """Commands by name; a near miss is named."""

    def make_context(self, *args: Any, **extra: Any) -> click.Context:
        with written():  # --help and --version
            return super().make_context(*args, **extra)

    def invoke(self, ctx: click.Context) -> Any:
        with written():
            return super().invoke(ctx)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        name = args[0]
        if not name.startswith("-") and self.get_command(ctx, name) is None:
            near = get_close_matches(name.lower(), self.list_commands(ctx), 1, 0.5)
            hint = f"did you mean '{near[0]}'?" if near else "see 'twohand --help'"
            if name.lower().endswith(SUFFIX) or Path(name).exists():
                hint = f"to check a spec: twohand check {name}"
            ctx.fail(f"there is no command '{name}'; {hint}")
        return super().resolve_command(ctx, args)


def shared_options(command: Callable[..., int]) -> Callable[..., int]:
    """The options of every command that checks; hands over a ``Session``."""

    @wraps(command)
    def wrapped(**given: Any) -> int:
        wishes = {name: given.pop(name) for name in ("lines", "width", "color")}
        terminal, complaints = (
            terminal_for(getattr(stream, "encoding", None), stream.isatty(), os.environ, **wishes)
            for stream in (sys.stdout, sys.stderr)
        )
        limits = {name: given.pop(name) for name in ("seconds", "processes", "start_method")}
        limits["memory"] = given.pop("memory")
        chosen = {name: value for name, value in limits.items() if value is not None}
        progress = Progress(terminal, sys.stderr.isatty())
        error_file = given.pop("record_error")
        session = Session(terminal, complaints, chosen, progress, error_file)
        with session.open:
            return command(session, **given)

    for option in reversed(OPTIONS):
        wrapped = option(wrapped)
    return wrapped


class WholeNumber(click.IntRange):
    name = "whole number"


class Number(click.FloatRange):
    name = "number"


POSITIVE = WholeNumber(min=1)
OPTIONS = (
    click.option(
        "--seconds",
        type=Number(min=0, min_open=True),
        metavar="NUMBER",
        default=DEFAULT_SECONDS,
        show_default=True,
        help="Time for each requirement.",
    ),
    click.option(
        "--processes",
        type=POSITIVE,
        metavar="NUMBER",
        help="Checks at the same time.  [default: cores]",
    ),
    click.option(
        "--start-method",
        type=click.Choice(["fork", "spawn"]),
        help="How checking processes begin.  [default: what the system does best]",
    ),
    click.option("--memory", type=POSITIVE, metavar="MB", help="Memory for each process."),
    click.option("--unicode/--ascii", "lines", default=None, help="Characters to draw with."),
    click.option(
        "--width", type=WholeNumber(min=LEAST_WIDTH), metavar="NUMBER", help="Columns to fit."
    ),
    click.option(
        "--color",
        type=click.Choice(["auto", "always", "never"]),
        default="auto",
        help="Colours; auto honours NO_COLOR.  [default: auto]",
    ),
    click.option(
        "--record-error",
        type=click.Path(dir_okay=False),
        metavar="FILE",
        help="Where to write the details of an internal error.",
    ),
)


@click.group(cls=Commands, epilog=EXAMPLES, context_settings={"max_content_width": 100})
@click.version_option(__version__, prog_name="twohand")
def commands() -> None:
    """Check the PLC logic behind two-hand controls: structured text against what is asked of it.

    Every requirement comes out PROVED (for all time, with a rechecked invariant), VIOLATED (with
    a replayed run) or UNDECIDED.
    """


@commands.command(epilog=f"{EXAMPLES}\n{EXIT_CODES}")
@click.argument("paths", nargs=-1, required=True, metavar="PATH...")
@click.option("--brief", is_flag=True, help="Verdict lines only.")
@click.option("--details", is_flag=True, help="Invariants of proofs, and every scan of a run.")
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "concise"]),
    default="text",
    help="concise: file:line:column: verdict: message, for editors.  [default: text]",
)
@shared_options
def check(session: Session, paths: tuple[str, ...], brief: bool, details: bool, form: str) -> int:
    """Check spec files, or all spec files below folders."""
    session.concise = form == "concise"
    terminal = session.terminal
    files, problems = find_spec_files(paths)
    for problem in problems:
        session.complain([problem])

    def one(path: Path) -> ExitCode:
        codes = []
        for report in session.check(path, str(path)):
            session.reports.append(report)
            codes.append(report_code(report))
            session.progress.clear()
            if session.concise:
                say(concise_lines(report, terminal), terminal)
            else:
                say([*report_lines(report, terminal, brief, details), ""], terminal)
        return worst(codes)

    for number, path in enumerate(files, 1):
        place = f" ({number} of {len(files)})" if len(files) > 1 else ""
        session.progress.prefix = f"{path.name}{place}: "
        if not session.guard(lambda path=path: one(path), str(path)):  # type: ignore[misc]
            left_over(len(files) - number, terminal)
            break
    session.cautions(err=session.concise)
    if not session.concise:
        session.total()
    return worst(session.codes)


def left_over(number: int, terminal: Terminal) -> None:
    """Say what a run that had to end has not checked."""
    if number:
        say(f"{count(number, 'further spec')} not checked", terminal, err=True)


@commands.command("gallery", epilog="Exit code 0 only where every verdict is the expected one.")
@shared_options
def run_gallery(session: Session) -> int:
    """Check the gallery of example blocks, right ones and wrong ones."""
    terminal = session.terminal
    specs: list[Path] = []

    def find() -> ExitCode:
        specs.extend(gallery.gallery_specs())
        return ExitCode.ALL_PROVED

    def one(path: Path) -> ExitCode:
        codes = []
        try:
            for report in session.check(path, path.name):
                session.reports.append(report)
                session.progress.clear()
                say(table_row(path.stem, report, gallery.opening(path), terminal), terminal)
                codes.append(ExitCode.VIOLATED if unexpected(report) else ExitCode.ALL_PROVED)
        except InputError:
            say(unusable_row(path.stem, terminal), terminal)
            raise
        return worst(codes)

    if session.guard(find, "the gallery"):
        say(table_heading(terminal), terminal)
    for number, path in enumerate(specs, 1):
        session.progress.prefix = f"{path.stem} ({number} of {len(specs)}): "
        if not session.guard(lambda path=path: one(path), path.name):  # type: ignore[misc]
            left_over(len(specs) - number, terminal)
            break
    if session.reports:
        say([*showcase_lines(session.reports, terminal), ""], terminal)
        session.cautions()
        session.total()
    return worst(session.codes)


def run(arguments: Sequence[str] | None = None) -> int:
    """Run a command line (None: the process's own) and give its exit code."""
    try:
        code = commands.main(
            args=None if arguments is None else list(arguments),
            prog_name="twohand",
            standalone_mode=False,
        )
    except click.ClickException as error:
        error.show()
        return ExitCode.UNUSABLE
    except ReaderLeft:
        return ExitCode.UNREAD
    except (click.Abort, KeyboardInterrupt):
        return ExitCode.INTERRUPTED
    return int(code or 0)


def main() -> None:
    """Entry point of ``twohand``."""
    code = run()
    if code == ExitCode.UNREAD:
        discard_output()
    sys.exit(code)
