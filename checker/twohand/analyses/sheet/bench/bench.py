"""The program of a sheet's trials: derived, written, read back, and tried on changed blocks."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from twohand.analyses.audit.changes.change import BlockChange, ChangeKind
from twohand.analyses.audit.changes.subject import ChangeableSpec
from twohand.analyses.sheet.bench.agreement import judged_trial
from twohand.analyses.sheet.bench.applied import sequence_of
from twohand.analyses.sheet.bench.copied_block import CopiedBlock, copied_block
from twohand.analyses.sheet.bench.parts import BenchTrial
from twohand.analyses.sheet.bench.playing import Bench
from twohand.analyses.sheet.bench.reading_back import ReadBack
from twohand.analyses.sheet.bench.seeking import one_timing, shows, sought
from twohand.analyses.sheet.bench.writing import BenchText, bench_text
from twohand.analyses.sheet.derive import Derived, derive
from twohand.record.sources import read_files
from twohand.scenarios.timing import timings
from twohand.specification.model.specification import Specification

Tell = Callable[[str], None]
READ_BACK_SEED = 2
"""Of the random scan times under which a program is read back: other ones than it was made with."""


@dataclass(frozen=True)
class BenchProgram:
    """``of_sheet`` and ``finer`` trials, read back without a difference in ``runs``; ``left_out``
    are the titles of those that differed there. ``reported`` are the changes of the block with
    which the program reports a difference, ``unreported`` the others."""

    written: BenchText
    block: CopiedBlock
    of_sheet: int
    finer: int
    left_out: tuple[str, ...]
    runs: int
    reported: tuple[BlockChange, ...]
    unreported: tuple[BlockChange, ...]


def bench_program(subject: ChangeableSpec, tell: Tell = lambda _: None) -> BenchProgram | None:
    """None where no sequence is judged anywhere. ``why_none`` of the spec is '', and it has no
    ``refusals``. No requirement is asked: what the block does is tried, whatever it is to do."""
    spec = subject.specification
    bench = Bench(spec)
    changed = [(change, Bench(each)) for change, each in _changed(subject)]
    derived = derive(spec, spec.requirements, tell)
    own = list(_judged(bench, derived))
    finer = list(sought(bench, own, [each for _, each in changed], tell))
    block = copied_block(spec)
    tell("the program is read back")
    trials, written, left_out, runs = _read_back(spec, block, [*own, *finer])
    if not trials:
        return None
    reported: list[BlockChange] = []
    unreported: list[BlockChange] = []
    for number, (change, each) in enumerate(changed, 1):
        tell(f"changed blocks, {number} of {len(changed)}")
        (reported if reports(each, trials) else unreported).append(change)
    remaining = [each for each in own if each in trials]
    return BenchProgram(
        written, block, len(remaining), len(trials) - len(remaining), left_out, runs,
        tuple(reported), tuple(unreported),
    )  # fmt: skip


def reports(bench: Bench, trials: Sequence[BenchTrial]) -> bool:
    """Whether a trial shows a changed block under every reading, and the program around it, begun
    with that trial, reports a difference: with every open reading FALSE, and TRUE."""
    changed, timing = bench.specification, one_timing(bench)
    first = next((n for n, each in enumerate(trials, 1) if shows(each, bench, timing)), None)
    if first is None:
        return False
    program = ReadBack(bench_text(changed, copied_block(changed), trials, (), first), changed)
    readings = changed.readings
    for choice in (False, True):
        definite = replace(readings, **dict.fromkeys(readings.open, choice))
        found = program.report(timing, definite, at_once=True)
        if found.completes and not found.differences:
            return False
    return True


def _changed(subject: ChangeableSpec) -> Iterator[tuple[BlockChange, Specification]]:
    """Nothing loses its supply in a trial, so that RETAIN is no change there."""
    for change in subject.changes:
        if change.kind is not ChangeKind.RETAIN:
            changed = subject.changed([change])
            if changed is not None:
                yield change, changed


def _judged(bench: Bench, derived: Derived) -> Iterator[BenchTrial]:
    for trial in (*derived.trials, *derived.contacts):
        judged = judged_trial(bench, sequence_of(trial, bench.specification))
        if judged is not None:
            yield judged


def _read_back(
    spec: Specification, block: CopiedBlock, trials: list[BenchTrial]
) -> tuple[list[BenchTrial], BenchText, tuple[str, ...], int]:
    """A trial in which the block as it is differs from what is judged hangs on scan times that were
    not played: it is left out, and all is read back again."""
    left_out: list[str] = []
    files = read_files(spec)
    while True:
        written = bench_text(spec, block, trials, files)
        program = ReadBack(written, spec)
        runs, wrong = 0, 0
        for timing in timings(program.clocking, None, 1, READ_BACK_SEED):
            for found in program.reports(timing):
                runs += 1
                wrong = wrong or found.first_difference_in or found.first_not_judged
                if not (found.completes or wrong):
                    raise AssertionError("the program of trials does not end")
        if not wrong or not trials:
            return trials, written, tuple(left_out), runs
        left_out.append(trials.pop(wrong - 1).sequence.title)
