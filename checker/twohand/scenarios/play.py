"""A scenario under every choice of what is open, and under several scan times."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from twohand.scenarios.judging import Failure, Judgement, Outside, judged
from twohand.scenarios.model import Scenario
from twohand.scenarios.noted_readings import under_every_choice
from twohand.scenarios.playing import Execution, executed
from twohand.scenarios.timing import DEFAULT_SEED, DEFAULT_TIMES, Timing, timings

MOST_RUNS = 1_000
MOST_PLAYED_SCANS = 500_000
"""Of all runs of a scenario; what is left is said."""


@dataclass(frozen=True)
class PlayedRun:
    """``readings`` are the choices of open readings that the run asked for."""

    timing: Timing
    readings: Mapping[str, bool]
    execution: Execution
    judgement: Judgement


@dataclass(frozen=True)
class SeenFailure:
    """What fails in ``runs`` of the runs, and the first of them with its failure."""

    failure: Failure
    run: PlayedRun
    runs: int


@dataclass(frozen=True)
class PlayedScenario:
    """``runs`` were played, ``first`` is the first of them. ``all_played``: under every choice of
    readings and all scan times that were asked for. ``outside`` are the first runs that break each
    assumption; ``judged`` is FALSE where every run broke one and the scenario expects nothing."""

    scenario: Scenario
    times: tuple[Timing, ...]
    seed: int
    runs: int
    first: PlayedRun
    failures: tuple[SeenFailure, ...]
    outside: tuple[tuple[Outside, PlayedRun], ...]
    runs_outside: int
    all_played: bool
    readings: tuple[str, ...] = field(default=())
    """The open readings that some run asked for."""

    @property
    def judged(self) -> bool:
        return bool(self.scenario.expected) or self.runs_outside < self.runs


def play(
    scenario: Scenario, times: int = DEFAULT_TIMES, seed: int = DEFAULT_SEED
) -> PlayedScenario:
    """Every run: ``times`` of them with random scan times, of this ``seed``."""
    spec = scenario.specification
    asked = tuple(timings(spec.clocking, scenario.scan_times, times, seed))
    collected = _Collected()
    complete = [collected.add_all(runs_of(scenario, timing)) for timing in asked]
    first = collected.first
    assert first is not None
    return PlayedScenario(
        scenario,
        asked,
        seed,
        collected.runs,
        first,
        tuple(sorted(collected.faults.values(), key=lambda fault: fault.failure.position)),
        tuple(collected.outside.values()),
        collected.runs_outside,
        all(complete),
        tuple(name for name in scenario.readings.open if name in collected.readings),
    )


def runs_of(scenario: Scenario, timing: Timing) -> Iterator[PlayedRun]:
    """One under each choice of the open readings that it tells apart."""
    clock = scenario.specification.program.clock
    unasked = frozenset(["clock_is_signed"]) if clock is None else frozenset()
    for chosen, execution in under_every_choice(
        scenario.readings, unasked, lambda readings: executed(scenario, timing, readings)
    ):
        yield PlayedRun(timing, chosen, execution, judged(scenario, execution.records))


class _Collected:
    """What was seen so far; of runs only those that show something for the first time are kept."""

    def __init__(self) -> None:
        self.runs = 0
        self.scans = 0
        self.first: PlayedRun | None = None
        self.faults: dict[object, SeenFailure] = {}
        self.outside: dict[object, tuple[Outside, PlayedRun]] = {}
        self.runs_outside = 0
        self.readings: set[str] = set()

    def add_all(self, runs: Iterator[PlayedRun]) -> bool:
        """Whether all of them could be played."""
        for number, run in enumerate(runs):
            if number and (self.runs >= MOST_RUNS or self.scans >= MOST_PLAYED_SCANS):
                return False
            self._add(run)
        return True

    def _add(self, run: PlayedRun) -> None:
        self.runs += 1
        self.scans += len(run.execution.records)
        self.first = self.first or run
        self.readings |= run.readings.keys()
        outside = run.judgement.outside
        if outside is not None:
            self.runs_outside += 1
            self.outside.setdefault(outside.assumption, (outside, run))
        for failure in run.judgement.failures:
            known = self.faults.get(failure.about)
            first, where = (failure, run) if known is None else (known.failure, known.run)
            self.faults[failure.about] = SeenFailure(first, where, 1 + (known.runs if known else 0))
