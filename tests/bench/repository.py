"""``python -m tests.bench.repository``: a review of a repository, first and again.

So many generated specs over so many blocks. Processor time is that of the command with its workers;
the wall time of two processes against one says something on a machine that does nothing else.
"""

from __future__ import annotations

import argparse
import resource
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

WINDOW = """FUNCTION_BLOCK Press{number}
VAR_INPUT leftPalm, rightPalm, guardShut : BOOL; END_VAR
VAR_OUTPUT stroke : BOOL; END_VAR
VAR window : TON; armed : BOOL; END_VAR
window(IN := leftPalm OR rightPalm, PT := T#{time}ms);
IF NOT leftPalm AND NOT rightPalm THEN
    armed := TRUE; stroke := FALSE;
ELSIF leftPalm AND rightPalm THEN
    IF armed AND NOT window.Q AND guardShut THEN stroke := TRUE; END_IF;
    armed := FALSE;
ELSE
    stroke := FALSE;
END_IF;
IF NOT guardShut THEN stroke := FALSE; END_IF;
END_FUNCTION_BLOCK
"""
RELEASE = """FUNCTION_BLOCK Press{number}
VAR_INPUT leftPalm, rightPalm, guardShut : BOOL; END_VAR
VAR_OUTPUT stroke : BOOL; END_VAR
VAR armed : BOOL; turns : INT; END_VAR
IF NOT leftPalm AND NOT rightPalm THEN armed := TRUE; END_IF;
IF armed AND leftPalm AND rightPalm AND guardShut AND NOT stroke THEN
    stroke := TRUE; armed := FALSE;
    IF turns < {time} THEN turns := turns + 1; END_IF;
END_IF;
IF NOT (leftPalm AND rightPalm AND guardShut) THEN stroke := FALSE; END_IF;
END_FUNCTION_BLOCK
"""
KINDS = (
    (WINDOW, "REQUIRE TWO_HAND LOGIC TYPE III, TRUE_LAG T#500ms;"),
    (RELEASE, "REQUIRE TWO_HAND LOGIC TYPE II;"),
)
SPEC = """SPEC Press{number}Line{line}
    SOURCE 'press{number}.st';
    SCAN T#5ms..T#{scan}ms;
    HAND left = leftPalm;
    HAND right = rightPalm;
    OUTPUT stroke;
    {required}
    PROPERTY guard_stops : NOT guardShut -> NOT stroke;
    PROPERTY on_by_both : stroke -> leftPalm AND rightPalm;
END_SPEC
"""


def write_repository(folder: Path, specs: int, blocks: int) -> None:
    """The specs are spread over the blocks; all of them hold."""
    (folder / "twohand.toml").write_text('specs = ["."]\n', encoding="utf-8")
    for number in range(blocks):
        text, _ = KINDS[number % len(KINDS)]
        content = text.format(number=number, time=400 + number)
        (folder / f"press{number}.st").write_text(content, encoding="utf-8")
    for line in range(specs):
        number = line % blocks
        _, required = KINDS[number % len(KINDS)]
        scan = 10 + line // blocks
        content = SPEC.format(number=number, line=line, scan=scan, required=required)
        (folder / f"press{number}_{line}.spec").write_text(content, encoding="utf-8")


@dataclass(frozen=True)
class Reviewed:
    """Seconds of processor and of wall time."""

    processor: float
    wall: float


def reviewed(folder: Path, *options: str) -> Reviewed:
    """One review in processes of its own, which has to pass."""
    before, began = resource.getrusage(resource.RUSAGE_CHILDREN), time.monotonic()
    command = [sys.executable, "-m", "twohand", "review", "--brief", *options]
    subprocess.run(command, cwd=folder, check=True, capture_output=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    spent = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return Reviewed(spent, time.monotonic() - began)


def main() -> None:
    options = argparse.ArgumentParser(prog="python -m tests.bench.repository", description=__doc__)
    options.add_argument("--specs", type=int, default=200)
    options.add_argument("--blocks", type=int, default=60)
    chosen = options.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        write_repository(folder, chosen.specs, chosen.blocks)
        print(f"{chosen.specs} specs over {chosen.blocks} blocks", flush=True)
        one = reviewed(folder, "--processes", "1", "--no-cache")
        told("first, one process, nothing kept", one, one)
        told("first, two processes", reviewed(folder, "--processes", "2"), one)
        told("again", reviewed(folder, "--processes", "2"), one)
        block = folder / "press1.st"
        text = block.read_text(encoding="utf-8").replace("armed := TRUE;", "armed := NOT leftPalm;")
        block.write_text(text, encoding="utf-8")
        told("one block changed", reviewed(folder, "--processes", "2"), one)
        told("again", reviewed(folder, "--processes", "2"), one)


def told(what: str, found: Reviewed, first: Reviewed) -> None:
    share = found.processor / first.processor
    print(
        f"{what}: {found.processor:.1f} s of processor ({share:.0%}), {found.wall:.1f} s",
        flush=True,
    )


if __name__ == "__main__":
    main()
