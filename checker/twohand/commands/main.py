"""The command line: its commands, their names, and how a run ends."""

from __future__ import annotations

import gc
import sys
from collections.abc import Sequence
from contextlib import suppress
from importlib import import_module
from typing import Any

import click

from twohand import __version__
from twohand.commands.shared.closed_pipe import (
    OutputLost,
    ReaderLeft,
    discard_output,
    is_flushed,
    open_closed_streams,
    written,
)
from twohand.commands.shared.examples import EXAMPLES
from twohand.commands.shared.interrupt import INTERRUPT
from twohand.report.exit_code import ExitCode

COMMANDS = {
    "audit": "Change the block of a spec in small ways: does the spec notice?",
    "cache": "Show how large the kept answers are, clear them, or say why a spec is asked anew.",
    "check": "Check spec files, or all spec files below folders.",
    "compare": "Compare two versions of a block: do they show the same in every scan?",
    "draft": "Write a first spec for a block, with every guess marked as one.",
    "explain": "Explain the CODE of a message, the word in its brackets; without CODE, list all "
    "codes.",
    "export": "Check a spec file, and write its proofs for other solvers.",
    "faults": "Check spec files under every fault of contacts, feedback inputs and supplies.",
    "gallery": "Check the gallery of example blocks, right ones and wrong ones.",
    "init": "Write a project file, twohand.toml, for the specs below FOLDER.",
    "inspect": "Look for what is wrong in a block whatever it is for: no spec is needed.",
    "keep": "Check one requirement, and keep its violation as a scenario.",
    "lesson": "Learn with small blocks of one fault each: list the lessons, or go on with one.",
    "manual": "Show the manual's page of a TOPIC; without TOPIC, list the topics.",
    "measure": "Measure a spec: lags, reactions, on-times, and the safety distance.",
    "mend": "Look for small changes of a block after which a violated spec is proved.",
    "merge": "Put the documents of all parts of an answer together (--part), with its exit code.",
    "play": "Play scenarios: what a block does, and what fails, in one sequence of inputs.",
    "probe": "Find out which readings of the standard a controller on the bench has.",
    "read": "Print the structured text as which FILE is read.",
    "requirements": "List the catalogue of requirements, or explain one (or one page of it).",
    "review": "Ask all that a project asks of its specs, and pass what is proved or waived.",
    "schema": "Print the JSON Schema of the documents of a kind; without NAME, list the kinds.",
    "sheet": "Write a sheet to print: what to try by hand at the machine.",
    "waive": "Write a waiver into the repository: what is not proved passes a review until a day.",
}
"""What each command is for, as its own help begins. A module has the command of its name, and is
loaded for this command only: the list of them has to come at once."""
FOLDERS = {
    "lookup": frozenset(["explain", "manual", "read", "requirements", "schema"]),
    "gate": frozenset(["cache", "init", "merge", "review", "waive"]),
    "learning": frozenset(["gallery", "lesson"]),
    "machine": frozenset(["keep", "play", "probe", "sheet"]),
}
"""Those that check nothing, those for a repository, those to learn with and those that lead to the
machine; the others are in 'checking'."""


def module_of(name: str) -> str:
    folder = next((each for each, names in FOLDERS.items() if name in names), "checking")
    return f"twohand.commands.{folder}.{name}"


class Commands(click.Group):
    """Commands by name, each loaded when it is wanted; a near miss is named."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        module = import_module(module_of(cmd_name))
        command: click.Command = getattr(module, cmd_name)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        width = formatter.width - 6 - max(map(len, COMMANDS))
        listed = (click.Command(name, help=text) for name, text in COMMANDS.items())
        rows = [(str(each.name), each.get_short_help_str(width)) for each in listed]
        with formatter.section("Commands"):
            formatter.write_dl(rows)

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
        if name not in COMMANDS and not name.startswith("-"):
            from twohand.commands.shared.wrong_command import hint

            ctx.fail(f"there is no command '{name}'; {hint(name, COMMANDS)}")
        return super().resolve_command(ctx, args)


@click.group(cls=Commands, epilog=EXAMPLES, context_settings={"max_content_width": 100})
@click.version_option(__version__, prog_name="twohand")
def commands() -> None:
    """Check the PLC logic behind two-hand controls: structured text against what is asked of it.

    Every requirement comes out PROVED (for all time, with a rechecked invariant), VIOLATED (with
    a replayed run) or UNDECIDED.
    """


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


def unanswered(error: BaseException) -> ExitCode:
    """The code of a run that ended outside of any command's work."""
    if INTERRUPT.came:
        return ExitCode.INTERRUPTED
    from twohand.commands.shared.shortage import shortage

    lacking = shortage(error, "twohand")
    if lacking is not None:
        click.echo(f"error: {lacking.message} [{lacking.code}]", err=True)
        return ExitCode.UNUSABLE
    import traceback

    traceback.print_exception(error)
    return ExitCode.INTERNAL


def main() -> None:
    """Run the process's own command line, and end the process."""
    INTERRUPT.listen()
    open_closed_streams()
    gc.set_threshold(100_000, 20, 100)  # what a check builds lives as long as the check
    try:
        code = run()
    except (KeyboardInterrupt, Exception) as error:  # Python would answer 1, a violation
        code = unanswered(error)
    if not is_flushed():
        discard_output()
    sys.exit(code)
