"""``python -m tests.bench.same_bytes``: whether the same command prints the same bytes but for
times, whatever else the machine does and however the work is spread.

Each command of a fixed sample is run again and again: with one, two and four processes, forked and
spawned, under three hash seeds, on a quiet machine and beside busy loops.
"""

from __future__ import annotations

import argparse
import difflib
import os
import subprocess
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import islice, product

from twohand.text.resources import specs_folder

from tests.reference.normal import stored

TIMES = 20
LIMIT = 600
"""Seconds for one command; nothing should ever come near."""
COMMANDS = {
    "proved": ("check", "lid_press_type3.spec", "--details"),
    "violated": ("check", "tied_down_ladder.spec", "--details"),
    "open, events": ("check", "long_table_two_stations.spec", "--details", "--effort", "0.2"),
    "open, proof": ("check", "lot_counter.spec", "--details", "--effort", "0.1"),
    "document": ("check", "lid_press_type3.spec", "tied_down_ladder.spec", "--json", "-"),
    "figures": ("measure", "lid_press_type3.spec", "--effort", "2"),
    "faults": ("faults", "lid_press_type2.spec", "--effort", "0.5"),
    "inspection": ("inspect", "beam_press.st", "--scan", "T#10ms", "--effort", "0.2"),
    "comparison": (
        *("compare", "latched_start.st", "latched_start.st", "--effort", "0.5"),
        *("--blocks", "LatchedStart", "HeldStart"),
    ),
}
"""The efforts are so small that something stays open: where a search ends shows what ends it."""
METHODS = ("fork", "spawn") if sys.platform == "linux" else ("spawn",)
_STRIDE = 7
"""Prime to the number of conditions: so few runs see much of each choice."""


@dataclass(frozen=True)
class Condition:
    processes: int
    method: str
    seed: int
    busy: int
    """Processes beside it that do nothing but work."""


def conditions() -> Iterator[Condition]:
    """Each of them, in an order in which neighbours differ in much."""
    every = [Condition(*each) for each in product((1, 2, 4), METHODS, (0, 1, 4711), (0, 4))]
    for number in range(len(every)):
        yield every[number * _STRIDE % len(every)]


def printed(arguments: Sequence[str], condition: Condition) -> str:
    """What a command prints, in a process of its own, without times."""
    with beside(condition.busy):
        done = subprocess.run(
            [
                *(sys.executable, "-m", "twohand", *arguments, "--width", "300"),
                *("--processes", str(condition.processes), "--start-method", condition.method),
            ],
            cwd=specs_folder() / "gallery",
            env=os.environ | {"PYTHONHASHSEED": str(condition.seed), "PYTHONIOENCODING": "utf-8"},
            stdin=subprocess.DEVNULL,
            capture_output=True,
            timeout=LIMIT,
            check=False,
        )
    assert done.returncode in (0, 1, 3), done.stderr.decode("utf-8", "replace")
    return f"exit code {done.returncode}\n{stored(done.stdout.decode('utf-8'))}"


@contextmanager
def beside(loops: int) -> Iterator[None]:
    """So many processes that do nothing but work."""
    busy = [subprocess.Popen([sys.executable, "-c", "while True: pass"]) for _ in range(loops)]
    try:
        yield
    finally:
        for each in busy:
            each.kill()
            each.wait()


def differences(arguments: Sequence[str], times: int) -> list[str]:
    """What each run that differs from the first one prints otherwise."""
    found: list[str] = []
    first = ""
    for condition in islice(conditions(), times):
        text = printed(arguments, condition)
        first = first or text
        if text != first:
            lines = difflib.unified_diff(first.splitlines(), text.splitlines(), lineterm="")
            found.append("\n".join([str(condition), *lines]))
    return found


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.bench.same_bytes", description=__doc__)
    parser.add_argument("--times", type=int, default=TIMES, help="runs of each command")
    asked = parser.parse_args()
    print("| command | runs | that differ |\n|---|---|---|")
    differing = []
    for command in COMMANDS.values():
        found = differences(command, asked.times)
        print(f"| {' '.join(command)} | {asked.times} | {len(found)} |", flush=True)
        differing += found
    print("".join(f"\n{each}\n" for each in differing), end="")
    return 1 if differing else 0


if __name__ == "__main__":
    sys.exit(main())
