"""Where every run of a sequence has the same outputs, so that a controller is judged there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from twohand.analyses.sheet.bench.parts import BenchTrial, JudgedStretch
from twohand.analyses.sheet.bench.parts import Sequence as BenchSequence
from twohand.analyses.sheet.bench.playing import Bench, Run, SeenScan
from twohand.program.durations import Units
from twohand.scenarios.timing import timings

SEED = 1
RANDOM_TIMES = 2
"""Runs with random scan times, beside the shortest and the longest."""


def judged_trial(bench: Bench, sequence: BenchSequence) -> BenchTrial | None:
    """None where a scan does not complete in some run, or nothing is the same in all of them."""
    runs: list[Run] = []
    for timing in timings(bench.clocking, None, RANDOM_TIMES, SEED):
        for run in bench.runs(sequence, timing):
            if run is None:
                return None
            runs.append(run)
    judged = []
    for number in range(len(sequence.parts)):
        margin = Units(bench.clocking.longest * (2 + number))
        scans = [run[number] for run in runs]
        judged.append(tuple(j for name in bench.outputs for j in agreed(name, scans, margin)))
    return BenchTrial(sequence, tuple(judged)) if any(judged) else None


def agreed(
    output: str, runs: Sequence[Sequence[SeenScan]], margin: Units
) -> Iterator[JudgedStretch]:
    """The stretches of one part in which an output is the same in all runs. From what changes
    behind the part's first scan they keep a ``margin``: it comes with the time, in the first scan
    that is late enough, and each part before may have been longer by a scan."""
    changes = sorted({time for run in runs for time in _changes(output, run)} - {0})
    begins, ends = [0, *changes], [*changes, None]
    stretches: list[tuple[int, int | None, bool]] = []
    for begin, end in zip(begins, ends, strict=True):
        seen = {_at(output, run, begin) for run in runs}
        if len(seen) > 1:
            continue
        (on,) = seen
        if stretches and stretches[-1][1:] == (begin, on):
            begin = stretches.pop()[0]
        stretches.append((begin, end, on))
    for begin, end, on in stretches:
        first = Units(begin + margin if begin else 0)
        last = None if end is None else Units(end - margin)
        if last is None or last >= first:
            yield JudgedStretch(output, on, first, last)


def _changes(output: str, run: Sequence[SeenScan]) -> Iterator[int]:
    before: bool | None = None
    for scan in run:
        if scan.on[output] is not before:
            yield scan.since
            before = scan.on[output]


def _at(output: str, run: Sequence[SeenScan], time: int) -> bool:
    """What the last scan that is not later shows."""
    return next(scan.on[output] for scan in reversed(run) if scan.since <= time)


def differs(trial: BenchTrial, run: Run) -> bool:
    """Whether a run is not as it is judged."""
    for scans, judged in zip(run, trial.judged, strict=True):
        for each in judged:
            for scan in scans:
                inside = each.first <= scan.since and (each.last is None or scan.since <= each.last)
                if inside and scan.on[each.output] is not each.on:
                    return True
    return False
