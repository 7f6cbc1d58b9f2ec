"""``twohand probe``: which readings of the standard a controller on the bench has."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from twohand.commands.shared.document import not_written, write_file
from twohand.commands.shared.options import shared_options
from twohand.commands.shared.session import Session, say
from twohand.probe.number import (
    ASKED_NUMBERS,
    NOT_LOOKED_AT,
    Conclusion,
    Observation,
    conclusion,
    observation,
    probe_program,
    reading_lines,
)
from twohand.report.drawing.terminal import Terminal
from twohand.report.exit_code import ExitCode, worst
from twohand.specification.phrases import listing
from twohand.text.diagnostic import InputError

EPILOG = """\b
Examples:
  twohand probe --to probe.st
  twohand probe --read 108185362 --read 108185362 --read 108185362

\b
Exit codes, the first that applies:
  4  internal error
  2  the program cannot be written, or this is no number of it
  3  the numbers leave every reading open
  0  the program is written, or readings are shown
"""
BENCH_ONLY = (
    "It is for a controller on the bench, without outputs wired. Never run it on a machine, nor in "
    "a controller that drives one. Save that controller's project before, and remove the program "
    "afterwards."
)
HOW = (
    "Run it in one cyclic task of 1 ms to 100 ms. Start the controller cold, wait until 'finished' "
    "is TRUE (some 1,000 scans) and write 'result' down; do so three times. Then type: twohand "
    "probe --read NUMBER --read NUMBER --read NUMBER"
)
NOT_PROVED = (
    "This is what one controller showed, with one firmware, task and set of compiler options. It "
    "proves nothing, and another one may differ. A proof with open readings is the better one: fix "
    "a reading only where a verdict depends on it, and fill in what is between the quotes (with a "
    "question mark in it the spec is not accepted); every report repeats it."
)
NOTHING_FIXED = "Leave every reading open."
MOVING_CLOCK = (
    "The verdicts take the clock not to move within a scan: at this controller times may differ "
    "from them by the time that a scan takes."
)


@click.command(epilog=EPILOG)
@click.option("--to", metavar="FILE", help="Write the program there; nothing is replaced.")
@click.option(
    "--read", "numbers", multiple=True, type=int, metavar="NUMBER", help="What it ended with."
)
@shared_options
def probe(session: Session, to: str | None, numbers: tuple[int, ...]) -> int:
    """Find out which readings of the standard a controller on the bench has.

    --to writes a program for it; with --read, once for each start of the controller, the numbers
    that it ended with become READING lines for a spec.
    """
    if (to is None) == (not numbers):
        raise click.UsageError("write the program with --to FILE, or read numbers with --read")
    if to is not None:
        session.guard(lambda: _written(session, to), to)
        return worst(session.codes)
    seen = [_observation(number) for number in numbers]
    concluded = conclusion(seen)
    say(answer_lines(seen, concluded, session.terminal), session.terminal)
    return ExitCode.ALL_PROVED if concluded.fixed else ExitCode.UNDECIDED


def _written(session: Session, shown: str) -> ExitCode:
    path = Path(shown)
    if path.exists():
        raise InputError(not_written(shown, "there is a file already", "name a new file"))
    write_file(path, probe_program())
    terminal = session.terminal
    said = [terminal.shown(f"{shown} is written."), BENCH_ONLY, HOW]
    say(terminal.paragraphs(said, 0), terminal)
    return ExitCode.ALL_PROVED


def _observation(number: int) -> Observation:
    try:
        return observation(number)
    except ValueError as error:
        message = f"{number} is no number of the program: {error}"
        raise click.BadParameter(message, param_hint="'--read'") from None


def answer_lines(
    seen: Sequence[Observation], concluded: Conclusion, terminal: Terminal
) -> list[str]:
    """What several numbers say."""
    lines: list[str] = []
    for names, said in (
        (concluded.not_modelled, "None of the modelled readings"),
        (concluded.not_clear, "Not clear"),
    ):
        if names:
            lines += terminal.wrap(f"{said}: {listing(names)}.", 0)
    if not concluded.fixed:
        lines += terminal.wrap(_nothing_fixed(seen, concluded), 0)
        return lines
    lines += ["For the spec:", ""]
    for statement in reading_lines(concluded.fixed):
        lines.append(f"    {statement}")
    lines.append("")
    for name in concluded.without_effect:
        lines += terminal.wrap(f"{name} stays open: beside the others it changes nothing.", 0)
    for name, reason in NOT_LOOKED_AT.items():
        lines += terminal.wrap(f"{name} stays open, it is not looked at: {reason}.", 0)
    return [*lines, "", *terminal.wrap(NOT_PROVED, 0)]


def _nothing_fixed(seen: Sequence[Observation], concluded: Conclusion) -> str:
    said = [NOTHING_FIXED]
    if concluded.clock_moves:
        said.append(MOVING_CLOCK)
    if len(seen) < ASKED_NUMBERS:
        said.append("Start the controller again, and give the numbers of all starts.")
    elif not concluded.not_modelled:
        said.append("Start it again, in a task with a longer cycle if it is short.")
    return " ".join(said)
