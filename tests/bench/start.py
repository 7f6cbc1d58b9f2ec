"""How much processor time the command line takes until it has answered, against a program of the
same library for command lines that does nothing."""

from __future__ import annotations

import statistics
import subprocess
import sys

NOTHING = """
import click

@click.command()
def main():
    "Does nothing."
"""
TWOHAND = "from twohand.commands.main import main"
RUN = """
try:
    main()
finally:
    import time
    print(time.process_time(), file=sys.stderr)
"""
"""User and system time of the process since its start."""
ASKED = (
    ("a program that does nothing, --help", NOTHING, ["--help"]),
    ("twohand --version", TWOHAND, ["--version"]),
    ("twohand --help", TWOHAND, ["--help"]),
    ("twohand check --help", TWOHAND, ["check", "--help"]),
)


def processor_seconds(program: str, arguments: list[str]) -> float:
    """Of one process, from its start to its answer."""
    done = subprocess.run(
        [sys.executable, "-c", f"import sys\n{program}\n{RUN}", *arguments],
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=True,
    )
    return float(done.stderr)


def start_rows(runs: int) -> list[tuple[str, float, float]]:
    """What was asked, the median of its seconds, and their ratio to the first row; the rows take
    turns, so that what else the machine does concerns all alike."""
    seconds: list[list[float]] = [[] for _ in ASKED]
    for _ in range(runs):
        for row, (_, program, arguments) in zip(seconds, ASKED, strict=True):
            row.append(processor_seconds(program, arguments))
    medians = [statistics.median(row) for row in seconds]
    return [
        (what, median, median / medians[0])
        for (what, _, _), median in zip(ASKED, medians, strict=True)
    ]
