"""The options of every command that checks."""

from __future__ import annotations

import math
import os
import sys
from collections.abc import Callable, Sequence
from functools import wraps
from pathlib import Path
from typing import Any

import click

from twohand.commands.shared.closed_pipe import OutputLost, ReaderLeft
from twohand.commands.shared.console import LEAST_WIDTH, terminal_for
from twohand.commands.shared.session import Progress, Session
from twohand.commands.shared.shortage import narrow_memory
from twohand.files.confinement import confined_to
from twohand.files.reading import noting
from twohand.gate.project.answer_caches import AnswerCaches
from twohand.report.exit_code import ExitCode
from twohand.text.diagnostic import InputError

DEFAULT_EFFORT = 60.0
DEFAULT_SECONDS = 600.0
MOST_SECONDS = 1_000_000
"""Eleven days."""


class WholeNumber(click.IntRange):
    name = "whole number"


class Seconds(click.FloatRange):
    name = "number"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> float:
        found: float = super().convert(value, param, ctx)
        if math.isnan(found):
            self.fail(f"{value!r} is not a valid number.", param, ctx)
        return found


POSITIVE = WholeNumber(min=1)
_LIMITS = ("effort", "seconds", "total", "processes", "start_method")
_NO_MISTAKES = (
    click.ClickException,
    click.Abort,
    click.exceptions.Exit,
    ReaderLeft,
    OutputLost,
)
"""How a command may end besides its exit code."""
DISPLAY = (
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
)


def _seconds(
    name: str, default: float | None, meaning: str
) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    return click.option(
        name,
        type=Seconds(min=0, min_open=True, max=MOST_SECONDS),
        metavar="NUMBER",
        default=default,
        show_default=default is not None,
        help=meaning,
    )


RECORD_ERROR = click.option(
    "--record-error",
    type=click.Path(dir_okay=False),
    metavar="FILE",
    help="Where to write the details of an internal error.",
)


def stated(
    _: click.Context, __: click.Parameter, value: str | tuple[str, ...]
) -> str | tuple[str, ...]:
    """A path as it was given; an empty one would name the working folder."""
    if not all(path.strip() for path in ([value] if isinstance(value, str) else value)):
        raise click.BadParameter("an empty path names no file")
    return value


def _stated_folder(
    context: click.Context, parameter: click.Parameter, value: str | None
) -> Path | None:
    if value is None:
        return None
    stated(context, parameter, value)
    return Path(value).absolute()


cache_option = click.option(
    "--cache",
    type=click.Path(file_okay=False),
    callback=_stated_folder,
    metavar="FOLDER",
    help="Keep answers here, each rechecked before it is used.  [default: .twohand in the "
    "folder of the project file, if there is one]",
)
OPTIONS = (
    _seconds(
        "--effort",
        DEFAULT_EFFORT,
        "Work for each requirement, counted: about seconds of an ordinary machine.",
    ),
    _seconds(
        "--seconds",
        DEFAULT_SECONDS,
        "Time after which a question is cut, whatever its effort.",
    ),
    _seconds(
        "--total",
        None,
        "Time after which all that is open is cut, and said to be.",
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
    cache_option,
    click.option(
        "--scheduler",
        metavar="ADDRESS",
        help="Ask the workers of this scheduler (extra 'cluster'), and recheck what they answer.",
    ),
    click.option("--no-cache", is_flag=True, help="Keep no answers, and look for none."),
    *DISPLAY,
    RECORD_ERROR,
)


CONFINED = click.option(
    "--confined",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    metavar="FOLDER",
    help="Read nothing outside of this folder, whatever a spec names.",
)


platform_option = click.option(
    "--platform",
    multiple=True,
    metavar="STATEMENT",
    help="READING, INTEGERS, LOOPS, UNIT or OUTSIDE, as in a spec.",
)
"""What the platform is, and who else writes, where no spec says it."""


def only_one(context: click.Context, parameter: click.Parameter, paths: tuple[str, ...]) -> str:
    """The one path that the command takes."""
    stated(context, parameter, paths)
    if len(paths) > 1:
        name = context.command_path
        lines = "; ".join(f"{name} {path}" for path in paths)
        raise click.UsageError(f"{name} takes one file at a time; type: {lines}")
    return paths[0]


def display_options(command: Callable[..., int]) -> Callable[..., int]:
    """The options of a command that only shows something; hands over a ``Terminal``."""

    @wraps(command)
    def wrapped(**given: Any) -> int:
        shown = {name: given.pop(name) for name in ("lines", "width", "color")}
        encoding = getattr(sys.stdout, "encoding", None)
        terminal = terminal_for(encoding, sys.stdout.isatty(), os.environ, **shown)
        return command(terminal, **given)

    for option in reversed(DISPLAY):
        wrapped = option(wrapped)
    return wrapped


def shared_options(command: Callable[..., int]) -> Callable[..., int]:
    """The options of every command that checks files of the user; hands over a ``Session``."""
    return CONFINED(options_to_check(command))


def _caches(folder: Path | None, off: bool) -> AnswerCaches:
    if off and folder is not None:
        raise click.UsageError("--cache and --no-cache exclude each other")
    return AnswerCaches(folder, off)


def options_to_check(command: Callable[..., int]) -> Callable[..., int]:
    """Those of every command that checks anything; hands over a ``Session``."""
    return _with_session(command, OPTIONS)


def options_to_play(command: Callable[..., int]) -> Callable[..., int]:
    """Those of a command that executes files of the user and asks no solver; hands over a
    ``Session``."""
    return CONFINED(_with_session(command, (*DISPLAY, RECORD_ERROR)))


def _with_session(
    command: Callable[..., int], options: Sequence[Callable[..., Any]]
) -> Callable[..., int]:
    @wraps(command)
    def wrapped(**given: Any) -> int:
        shown = {name: given.pop(name) for name in ("lines", "width", "color")}
        terminal, complaints = (
            terminal_for(getattr(stream, "encoding", None), stream.isatty(), os.environ, **shown)
            for stream in (sys.stdout, sys.stderr)
        )
        limits = {name: given.pop(name, None) for name in (*_LIMITS, "memory")}
        chosen = {name: value for name, value in limits.items() if value is not None}
        progress = Progress(terminal, sys.stderr.isatty())
        error_file = given.pop("record_error")
        folder = given.pop("confined", None)
        caches = _caches(given.pop("cache", None), given.pop("no_cache", True))
        session = Session(terminal, complaints, chosen, progress, error_file, caches=caches)
        address = given.pop("scheduler", None)
        try:
            lacking = narrow_memory("twohand")
            if lacking is not None:
                session.complain([lacking])
                return ExitCode.UNUSABLE
            with session.open, confined_to(folder), noting(session.read):
                if address is not None:
                    session.connect(address)
                return command(session, **given)
        except _NO_MISTAKES:
            raise
        except InputError as error:
            session.complain(error.diagnostics)
            return ExitCode.UNUSABLE
        except Exception as error:
            return session.broken(error, "the command line")

    for option in reversed(options):
        wrapped = option(wrapped)
    return wrapped
