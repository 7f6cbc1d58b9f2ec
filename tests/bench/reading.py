"""``python -m tests.bench.reading [RUNS]``: how long reading, typing, modelling and checks take.

Times are CPU seconds, each in a process of its own; a folder's whole checks are also given by the
wall clock.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.bench.blocks import long_block, stations_case
from tests.bench.long_blocks import SHAPES
from tests.bench.project_files import write_project

SPECIFICATION = "SPEC S SOURCE '{}'; BLOCK Line; SCAN T#10ms; REACHABLE q; END_SPEC"
LIMIT = 120.0
BESIDE = 499
"""Further blocks in the folder of a block that is checked."""

ONE_READING = """
import gc, sys, time
from pathlib import Path
from twohand.scan.symbolic.encode import encode
from twohand.specification.load import load_specification
gc.set_threshold(100_000, 20, 100)
first = time.process_time()
loaded = load_specification(Path(sys.argv[1]))
second = time.process_time()
encode(loaded.program, loaded.clocking, loaded.readings, loaded.loop_bound)
print(second - first, time.process_time() - second)
"""


def read_and_model(path: Path) -> tuple[float, float]:
    """CPU seconds of reading and typing a spec and its block, and of modelling it."""
    command = [sys.executable, "-c", ONE_READING, str(path)]
    run = subprocess.run(command, capture_output=True, text=True, timeout=LIMIT, check=True)
    reading, modelling = map(float, run.stdout.split())
    return reading, modelling


def medians(path: Path, runs: int) -> tuple[float, float]:
    times = [read_and_model(path) for _ in range(runs)]
    return statistics.median(t[0] for t in times), statistics.median(t[1] for t in times)


def shapes_table(folder: Path, runs: int) -> None:
    """Blocks of 2,000 lines in many shapes."""
    print("\nBlocks of about 2,000 lines: CPU seconds, ratio of their sum to row one.\n")
    print("| shape | lines | read and typed | modelled | ratio |\n|---|---|---|---|---|")
    first: float | None = None
    for shape in SHAPES:
        text = shape()
        (folder / "shape.st").write_text(text, encoding="utf-8")
        path = folder / "shape.spec"
        path.write_text(SPECIFICATION.format("shape.st"), encoding="utf-8")
        reading, modelling = medians(path, runs)
        first = first or reading + modelling
        ratio = (reading + modelling) / first
        name, lines = shape.__name__.replace("_", " "), text.count("\n")
        print(f"| {name} | {lines} | {reading:.2f} | {modelling:.2f} | {ratio:.1f} |", flush=True)


def whole_check(path: Path) -> tuple[float, float]:
    """Wall and CPU seconds (no CPU on Windows) of ``twohand check``, all its processes together."""
    began, before = time.perf_counter(), os.times()
    command = [sys.executable, "-m", "twohand", "check", "--format", "concise", str(path)]
    run = subprocess.run(command, capture_output=True, text=True, timeout=LIMIT)
    wall, after = time.perf_counter() - began, os.times()
    if run.returncode not in (0, 1):
        raise SystemExit(f"{path.name}: {run.stdout}{run.stderr}")
    return wall, sum(after[2:4]) - sum(before[2:4])


def press(lines: int) -> tuple[str, str]:
    """A block of type III with a row of timers and counters beside it, and its spec."""
    case = stations_case("press", 2, 500, "T#5ms..T#20ms")
    row = (
        long_block(lines, "Row")
        .replace("VAR_INPUT a, b", "VAR_INPUT a, b, run")
        .replace(" + 1;", " MOD 100 + 1;")
    )
    call = "row(a := left1, b := right2, run := stroke);\nEND_FUNCTION_BLOCK"
    before, _, own = case.block.rpartition("FUNCTION_BLOCK Press")
    own = own.replace("VAR station1", "VAR row : Row; station1").replace("END_FUNCTION_BLOCK", call)
    return f"{before}{row}FUNCTION_BLOCK Press{own}", case.specification


def folder_table(folder: Path, runs: int) -> None:
    """Whole checks of a block alone and of the same block in a folder of 500."""
    print(f"\nWhole checks alone and among {BESIDE} others: s, ratio, CPU s, ratio.\n")
    print("| lines | alone | in the folder | ratio | CPU alone | CPU there | ratio |")
    print("|---|---|---|---|---|---|---|")
    for lines in (60, 300):
        block, specification = press(lines)
        times = {}
        for place, others in (("alone", 0), ("among", BESIDE)):
            blocks = folder / f"{place}{lines}"
            blocks.mkdir()
            (blocks / "press.st").write_text(block, encoding="utf-8")
            for number in range(others):
                text = long_block(100, f"B{number}")
                (blocks / f"b{number:03}.st").write_text(text, encoding="utf-8")
            path = folder / f"{place}{lines}.spec"
            path.write_text(specification.replace("press.st", blocks.name), encoding="utf-8")
            found = [whole_check(path) for _ in range(runs)]
            times[place] = [statistics.median(column) for column in zip(*found, strict=True)]
        (wall, cpu), (there, cpu_there) = times["alone"], times["among"]
        cells = [f"{wall:.2f}", f"{there:.2f}", f"{there / wall:.2f}"]
        cells += [f"{cpu:.2f}", f"{cpu_there:.2f}", f"{cpu_there / cpu:.2f}" if cpu else ""]
        print("| " + " | ".join([str(block.count(chr(10))), *cells]) + " |", flush=True)


def project_table(folder: Path, runs: int) -> None:
    """The reading of a block alone and among the files of large projects."""
    print("\nA block read alone and in projects: CPU seconds, and the difference.\n")
    print("| files | read | more than alone |\n|---|---|---|")
    alone: float | None = None
    for files in (1, 200, 2_000):
        place = folder / f"project{files}"
        write_project(place, files)
        path = folder / f"project{files}.spec"
        question = SPECIFICATION.format(place.name).replace("BLOCK Line", "BLOCK Press")
        path.write_text(question, encoding="utf-8")
        reading, _ = medians(path, runs)
        alone = reading if alone is None else alone
        print(f"| {files} | {reading:.2f} | {reading - alone:.2f} |", flush=True)


def reading_tables(runs: int) -> None:
    """All tables, in a temporary folder."""
    with tempfile.TemporaryDirectory() as name:
        shapes_table(Path(name), runs)
        folder_table(Path(name), runs)
        project_table(Path(name), runs)


if __name__ == "__main__":
    reading_tables(int(sys.argv[1]) if len(sys.argv) > 1 else 3)
