"""``python -m tests.bench``: how long proofs and counterexamples take, as ratios inside one run.

Each question runs in a process of its own that is ended at a limit; only the engine's own time
counts (reading and modelling have tables of their own). Medians of seven; differences under 0.2 s
count as equal.
"""

from __future__ import annotations

import argparse
import multiprocessing
import platform
import statistics
import tempfile
import time
from collections.abc import Iterable
from dataclasses import dataclass, replace
from importlib.metadata import version
from pathlib import Path
from typing import Any

from twohand.specification.model.specification import Arrangement

from tests.bench.blocks import Case, random_variant, stations_case
from tests.bench.reading import reading_tables
from tests.bench.start import start_rows

LIMIT = 60.0
EQUAL = 0.2
WINDOWS = (500, 5_000, 50_000)
SCANS = ("T#20ms", "T#10ms", "T#1ms", "T#5ms..T#20ms")


@dataclass(frozen=True)
class Timed:
    """What a method answered and how long it took; the limit where it did not."""

    answer: str
    seconds: float

    def __str__(self) -> str:
        return f"{self.seconds:.2f}" if self.answer in ("Proved", "Violated") else "none"


def _solve(path: Path, requirement: str, method: str, answers: Any) -> None:
    """Child process: one question to one method."""
    from twohand.engine.portfolio import decide
    from twohand.engine.proof.chc import solve_clauses
    from twohand.engine.search.bounded import search_scans
    from twohand.engine.system.budget import Budget
    from twohand.engine.system.cone import cone
    from twohand.scan.symbolic.encode import encode
    from twohand.specification.load import load_specification
    from twohand.specification.logic.monitor import Monitors

    spec = load_specification(path)
    monitors = Monitors(encode(spec.program, spec.clocking, spec.readings, spec.loop_bound))
    asked = next(r for r in spec.requirements if r.identifier == requirement)
    bad = monitors.bad(asked.property)
    system = monitors.system
    began = time.perf_counter()
    answer: object
    if method == "twohand":
        answer = decide(system, bad, LIMIT)
    elif method == "bounded":
        engine = search_scans(cone(system, bad), bad, Budget(LIMIT))
        answer = None
        while answer is None:
            try:
                next(engine)
            except StopIteration as finished:
                answer = finished.value
    else:
        answer = solve_clauses(cone(system, bad), bad, Budget(LIMIT))
    # The CHC engine says None where it holds a violation possible.
    name = "Violated" if answer is None else type(answer).__name__
    answers.put((name, time.perf_counter() - began))


def timed(path: Path, requirement: str, method: str = "twohand") -> Timed:
    """One run in a process that is ended at the limit."""
    context = multiprocessing.get_context()
    answers = context.Queue()
    child = context.Process(target=_solve, args=(path, requirement, method, answers))
    child.start()
    try:
        name, seconds = answers.get(timeout=LIMIT + 5)
        return Timed(name, seconds)
    except Exception:
        return Timed("none", LIMIT)
    finally:
        child.kill()
        child.join()


def median(path: Path, requirement: str, runs: int) -> Timed:
    """The median of several runs; all must answer alike."""
    results = [timed(path, requirement) for _ in range(runs)]
    names = {result.answer for result in results}
    if len(names) != 1:
        raise SystemExit(f"{path.name}: different answers {sorted(names)}")
    return Timed(results[0].answer, statistics.median(r.seconds for r in results))


def ratio(seconds: float, first: float) -> str:
    """Against the first row; '=' where the difference is within what counts as equal."""
    return "=" if abs(seconds - first) < EQUAL else f"{seconds / first:.1f}"


def row(cells: Iterable[object]) -> None:
    print("| " + " | ".join(str(cell) for cell in cells) + " |", flush=True)


def header(titles: list[str]) -> None:
    row(titles)
    row("---" for _ in titles)


def windows_table(folder: Path, runs: int, baselines: bool) -> None:
    """Windows and scan times: ours against plain bounded search and z3's CHC engine."""
    print("\nOne station of type III, requirement start_window; seconds and ratio to row one.\n")
    titles = ["window", "scan", "proof s", "ratio", "counterexample s", "ratio"]
    header(titles + ["CHC proof s", "CHC refutes s", "bounded refutes s"] * baselines)
    first: tuple[float, float] | None = None
    for window in WINDOWS:
        for scan in SCANS:
            label = f"w{window}_{scan.replace('T#', '').replace('..', '_')}"
            good = stations_case(f"good_{label}", 1, window, scan).write(folder)
            bad = stations_case(f"bad_{label}", 1, window, scan, faulty=True).write(folder)
            proof = median(good, "start_window", runs)
            refuted = median(bad, "start_window", runs)
            expect(proof, "Proved", good)
            expect(refuted, "Violated", bad)
            first = first or (proof.seconds, refuted.seconds)
            cells: list[object] = [f"{window} ms", scan, proof, ratio(proof.seconds, first[0])]
            cells += [refuted, ratio(refuted.seconds, first[1])]
            if baselines:
                cells += [timed(good, "start_window", "chc"), timed(bad, "start_window", "chc")]
                cells += [timed(bad, "start_window", "bounded")]
            row(cells)


def expect(result: Timed, answer: str, path: Path) -> None:
    if result.answer != answer:
        raise SystemExit(f"{path.name}: {result.answer} instead of {answer}")


def stations_table(folder: Path, runs: int) -> None:
    """One to four stations in one block."""
    print("\nOne to four stations in one block (500 ms, 5..20 ms); seconds.\n")
    header(["stations", "both_hands", "release_both", "power_up", "window of the last station"])
    for count in range(1, 5):
        path = stations_case(f"stations{count}", count, 500, "T#5ms..T#20ms").write(folder)
        window = "start_window" if count == 1 else f"start_window_place{count}"
        names = ("both_hands", "release_both", "power_up", window)
        results = [median(path, name, runs) for name in names]
        for result in results:
            expect(result, "Proved", path)
        row([count, *results])


def variants_line(folder: Path, count: int) -> None:
    """Random variants of type III logic: the slowest."""
    cases: list[Case] = [random_variant(seed) for seed in range(count)]
    results = [(timed(case.write(folder), "start_window"), case.name) for case in cases]
    decided = [r for r, _ in results if r.answer in ("Proved", "Violated")]
    worst, name = max(results, key=lambda pair: pair[0].seconds)
    middle = statistics.median(result.seconds for result in decided)
    print(
        f"\n{count} random variants of type III logic, start_window: {len(decided)} decided, "
        f"median {middle:.2f} s, worst {worst.seconds:.2f} s ({name}, {worst.answer})."
    )


def faults_table(runs: int) -> None:
    """The fault table of the gallery's antivalent block against one check of the same spec, in
    the processes that the machine has; without second faults and with them (letter C)."""
    from twohand.analyses.check.check import check
    from twohand.analyses.faults.cases import load_fault_analyses
    from twohand.analyses.faults.check import check_faults
    from twohand.evidence.limits import Options, open_pool
    from twohand.text.resources import specs_folder

    (analysis,) = load_fault_analyses(specs_folder() / "gallery" / "lid_press_antivalent.spec")
    options = Options()
    lettered = replace(analysis, sound=replace(analysis.sound, arrangement=Arrangement.C))
    checks, singles, pairs = [], [], []
    with open_pool(options) as pool:
        for _ in range(runs):
            checks.append(check(analysis.sound, options, None, pool).seconds)
            table = check_faults(analysis, options, lambda *_: None, pool)
            singles.append(table.seconds)
        more = check_faults(lettered, options, lambda *_: None, pool)
        pairs.append(more.seconds)
    first = statistics.median(checks)
    print(
        f"\nAntivalent block of type III, {options.processes} processes; seconds, ratio to row 1\n"
    )
    header(["what", "s", "ratio"])
    row(["one check", f"{first:.2f}", "="])
    for what, found in (
        (f"{len(table.rows)} single faults", singles),
        (f"and {len(more.pairs)} pairs", pairs),
    ):
        seconds = statistics.median(found)
        row([what, f"{seconds:.2f}", ratio(seconds, first)])


def start_table(runs: int) -> None:
    """Differences are small here, so that ratios are told as they are."""
    print("\nProcessor time until the answer; seconds and ratio to row one.\n")
    header(["what", "s", "ratio"])
    for what, seconds, against in start_rows(runs):
        row([what, f"{seconds:.3f}", f"{against:.2f}"])


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--runs", type=int, default=7)
    options.add_argument("--variants", type=int, default=50)
    options.add_argument("--no-baselines", action="store_true")
    chosen = options.parse_args()
    print(
        f"{platform.system()} {platform.machine()}, {multiprocessing.cpu_count()} cores, "
        f"Python {platform.python_version()}, z3 {version('z3-solver')}"
    )
    start_table(3 * chosen.runs)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        windows_table(folder, chosen.runs, not chosen.no_baselines)
        stations_table(folder, chosen.runs)
        variants_line(folder, chosen.variants)
    reading_tables(chosen.runs)
    faults_table(chosen.runs)


if __name__ == "__main__":
    main()
