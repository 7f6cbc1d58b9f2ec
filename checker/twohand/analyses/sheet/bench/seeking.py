"""Sequences that show what the sheet's trials do not: finer than hands, for the program alone."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from random import Random

from twohand.analyses.sheet.bench.agreement import differs, judged_trial
from twohand.analyses.sheet.bench.applied import applied_inputs
from twohand.analyses.sheet.bench.parts import BenchTrial, TrialPart
from twohand.analyses.sheet.bench.parts import Sequence as BenchSequence
from twohand.analyses.sheet.bench.playing import Bench, Run
from twohand.analyses.sheet.rehearsal import PAUSES, SECOND
from twohand.program import Literal
from twohand.program.durations import Units
from twohand.program.types import Duration
from twohand.program.walks import nodes_below
from twohand.scenarios.inputs import contact_inputs
from twohand.scenarios.timing import Timing, timings
from twohand.specification.model.specification import Specification

SEED = 1
MOST_SEQUENCES = 1_000
"""That are tried beside the sheet's."""
MOST_IN_VAIN = 250
"""Of them, one after the other, with which nothing more is shown."""
MOST_PARTS = 7
_LONGEST = 10 * SECOND
"""Nanoseconds; times of the block beyond are not waited for."""
_VARIED, _AS_USUAL, _ALONE = 0.3, 0.6, 0.1
"""How often a sequence is one of the sheet with another time; begins as the first one of the sheet;
moves one contact of a hand alone."""
FINER = "finer than hands, number {}"


def shows(trial: BenchTrial, changed: Bench, timing: Timing) -> bool:
    """Whether a changed block differs from what is judged, under every reading."""
    runs = changed.runs(trial.sequence, timing)
    return all(run is None or differs(trial, run) for run in runs)


def one_timing(bench: Bench, seed: int = SEED) -> Timing:
    """Random scan times, or the only one."""
    return list(timings(bench.clocking, None, 1, seed))[-1]


def sought(
    bench: Bench,
    trials: Sequence[BenchTrial],
    changed: Sequence[Bench],
    tell: Callable[[str], None] = lambda _: None,
) -> tuple[BenchTrial, ...]:
    """Further trials, each of which shows a changed block that none before it does."""
    timing = one_timing(bench)
    left = [each for each in changed if not any(shows(t, each, timing) for t in trials)]
    found: list[BenchTrial] = []
    last = 0
    for number, sequence in enumerate(_sequences(bench, [t.sequence for t in trials]), 1):
        if not left or number > MOST_SEQUENCES or number - last > MOST_IN_VAIN:
            break
        tell(f"finer sequences, {number} of at most {MOST_SEQUENCES}")
        seen = _one_run(bench, sequence, timing)
        if seen is None or all(_one_run(each, sequence, timing) == seen for each in left):
            continue
        trial = judged_trial(bench, sequence)
        if trial is None:
            continue
        still = [each for each in left if not shows(trial, each, timing)]
        if len(still) < len(left):
            named = replace(sequence, title=FINER.format(len(found) + 1))
            found.append(replace(trial, sequence=named))
            left, last = still, number
    return tuple(found)


def durations(specification: Specification) -> tuple[Units, ...]:
    """The times that the block and the windows of its spec speak of."""
    program, unit = specification.program, specification.clocking.unit
    found = [
        int(node.value)
        for node in nodes_below(program.routine)
        if isinstance(node, Literal) and isinstance(node.type, Duration)
    ]
    found += [int(v.initial) for v in program.variables if isinstance(v.type, Duration)]
    for lag in specification.lags:
        limits = (lag.window, lag.true_lag)
        found += [int(limit) * unit for limit in limits if limit is not None]
    return tuple(Units(each // unit) for each in sorted(set(found)) if 0 < each <= _LONGEST)


def _one_run(bench: Bench, sequence: BenchSequence, timing: Timing) -> Run | None:
    """A cheap look before all others: with every open reading FALSE."""
    readings = replace(bench.readings, **dict.fromkeys(bench.readings.open, False))
    return bench.run(sequence, timing, readings)


def _sequences(bench: Bench, known: Sequence[BenchSequence]) -> Iterator[BenchSequence]:
    """At random: now one of the sheet with another time, now another one."""
    if not known:
        return
    longest = bench.clocking.longest
    second = Units(PAUSES[0] * SECOND // bench.clocking.unit)
    times = durations(bench.specification)
    near = [Units(t - 2 * longest) for t in times if t > 2 * longest]
    near += [each for t in times for each in (t, Units(t * 3 // 4), Units(t * 3 // 2))]
    random = Random(SEED)
    chance = _Chance(random, _moved_together(bench), [Units(1), longest, *near, second], second)
    while True:
        if near and random.random() < _VARIED:
            one = random.choice(known)
            at = random.randrange(len(one.parts))
            part = replace(one.parts[at], length=random.choice(near))
            yield replace(one, parts=(*one.parts[:at], part, *one.parts[at + 1 :]))
        else:
            one = known[0] if random.random() < _AS_USUAL else random.choice(known)
            yield chance.sequence(one.parts[0])


def _moved_together(bench: Bench) -> list[tuple[str, ...]]:
    """The inputs of each hand, and each other one alone."""
    spec = bench.specification
    hands = [tuple(v.name for v, _ in contact_inputs(hand)) for hand in spec.hands]
    of_hands = {name for hand in hands for name in hand}
    others = [(v.name,) for v in applied_inputs(spec) if v.name not in of_hands]
    return [*hands, *others]


@dataclass(frozen=True)
class _Chance:
    random: Random
    movable: Sequence[tuple[str, ...]]
    lengths: Sequence[Units]
    last: Units

    def sequence(self, first: TrialPart) -> BenchSequence:
        """One or two things move at each part, seldom an input of a hand alone."""
        random, now = self.random, dict(first.given)
        parts = [replace(first, length=random.choice(self.lengths))]
        for _ in range(random.randint(2, MOST_PARTS)):
            count = min(len(self.movable), random.choice((1, 1, 2)))
            turned = [name for few in random.sample(self.movable, count) for name in few]
            if random.random() < _ALONE:
                turned = turned[:1]
            now.update((name, not now[name]) for name in turned)
            given = {name: now[name] for name in turned}
            parts.append(TrialPart(given, random.choice(self.lengths)))
        parts[-1] = replace(parts[-1], length=self.last)
        return BenchSequence("", tuple(parts))
