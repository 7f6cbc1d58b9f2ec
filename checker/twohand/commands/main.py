"""The command line: its commands, their names, and how a run ends."""

from __future__ import annotations

import gc
import sys
import traceback
from collections.abc import Sequence
from contextlib import suppress
from difflib import get_close_matches
from pathlib import Path
from typing import Any

import click

from twohand import __version__
from twohand.commands.check import EXAMPLES, check
from twohand.commands.compare import compare
from twohand.commands.explain import explain
from twohand.commands.faults import faults
from twohand.commands.gallery import run_gallery
from twohand.commands.inspect import inspect_command
from twohand.commands.measure import measure
from twohand.commands.read import read
from twohand.commands.requirements import requirements
from twohand.commands.shared.closed_pipe import (
    OutputLost,
    ReaderLeft,
    discard_output,
    is_flushed,
    open_closed_streams,
    written,
)
from twohand.commands.shared.spec_files import SUFFIX
from twohand.files.suffixes import MARKUP, STRUCTURED_TEXT
from twohand.report.exit_code import ExitCode


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
            if name.lower().endswith((*STRUCTURED_TEXT, MARKUP)):
                hint = f"to inspect a block: twohand inspect {name}"
            elif name.lower().endswith(SUFFIX) or Path(name).exists():
                hint = f"to check a spec: twohand check {name}"
            ctx.fail(f"there is no command '{name}'; {hint}")
        return super().resolve_command(ctx, args)


@click.group(cls=Commands, epilog=EXAMPLES, context_settings={"max_content_width": 100})
@click.version_option(__version__, prog_name="twohand")
def commands() -> None:
    """Check the PLC logic behind two-hand controls: structured text against what is asked of it.

    Every requirement comes out PROVED (for all time, with a rechecked invariant), VIOLATED (with
    a replayed run) or UNDECIDED.
    """


for command in (
    check,
    compare,
    explain,
    faults,
    inspect_command,
    measure,
    read,
    requirements,
    run_gallery,
):
    commands.add_command(command)


def run(arguments: Sequence[str] | None = None) -> int:
    """Run a command line (None: the process's own) and give its exit code."""
    try:
        return answered(arguments)
    except ReaderLeft:
        return ExitCode.UNREAD
    except OutputLost as error:
        return lost(error)


def answered(arguments: Sequence[str] | None) -> int:
    """The same, where the output can be written."""
    try:
        code = commands.main(
            args=None if arguments is None else list(arguments),
            prog_name="twohand",
            standalone_mode=False,
        )
    except click.ClickException as error:
        with written():
            error.show()
        return ExitCode.UNUSABLE
    except (click.Abort, KeyboardInterrupt):
        return ExitCode.INTERRUPTED
    return int(code or 0)


def lost(error: OutputLost) -> ExitCode:
    """What cannot be shown is no verdict; nothing is left to do where it is the error stream."""
    with suppress(OSError, ReaderLeft, OutputLost):
        click.echo(f"error: the output cannot be written: {error} [not-written]", err=True)
    return ExitCode.UNUSABLE


def main() -> None:
    """Entry point of ``twohand``."""
    open_closed_streams()
    gc.set_threshold(100_000, 20, 100)  # what a check builds lives as long as the check
    try:
        code = run()
    except Exception:  # Python would answer 1, which is a violation
        traceback.print_exc()
        code = ExitCode.INTERNAL
    if not is_flushed():
        discard_output()
    sys.exit(code)
