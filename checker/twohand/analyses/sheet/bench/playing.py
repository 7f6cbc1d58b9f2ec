"""A sequence on the executor: what the outputs of a block are in each scan of each part."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from twohand.analyses.sheet.bench.parts import Sequence
from twohand.program.durations import Units
from twohand.program.types import BOOL, Value
from twohand.scan.clocking import Clocking, Readings
from twohand.scan.concrete.execute import Machine
from twohand.scenarios.inputs import Inputs
from twohand.scenarios.noted_readings import under_every_choice
from twohand.scenarios.timing import Timing
from twohand.specification.model.specification import Specification

ONE_TICK = 1_000_000
"""Nanoseconds by which a controller's clock may show a scan as longer or shorter than it was."""
UNASKED = frozenset(["clock_is_signed"])
"""No block with TIME() has a sheet."""


@dataclass(frozen=True)
class SeenScan:
    """``since`` is the time since the first scan of the part; ``on`` has the outputs by name."""

    since: Units
    on: Mapping[str, bool]


Run = tuple[tuple[SeenScan, ...], ...]
"""The scans of each part."""


def bench_clocking(clocking: Clocking) -> Clocking:
    """The scan times of the spec, and what they may be shown as: one tick of 1 ms more or less."""
    tick = -(-ONE_TICK // clocking.unit)
    shortest = Units(max(1, clocking.shortest - tick))
    return replace(clocking, shortest=shortest, longest=Units(clocking.longest + tick))


class Bench:
    """The block of one spec, played as the program plays it: no instance is called in the first
    scan of the controller, so that the time of a trial's first scan is there."""

    def __init__(self, specification: Specification) -> None:
        self.specification = specification
        self.program = specification.program
        self.clocking = bench_clocking(specification.clocking)
        self.readings = replace(specification.readings, first_scan_has_time=True)
        self.outputs = tuple(v.name for v in self.program.outputs if v.type == BOOL)
        self._at_first = Inputs(specification).at_first()

    def runs(self, sequence: Sequence, timing: Timing) -> Iterator[Run | None]:
        """One under each choice of readings that it tells apart; None where a scan does not
        complete."""
        for _, run in under_every_choice(
            self.readings, UNASKED, lambda readings: self.run(sequence, timing, readings)
        ):
            yield run

    def run(self, sequence: Sequence, timing: Timing, readings: Readings) -> Run | None:
        """ValueError where a reading is open."""
        machine = Machine(self.program, self.clocking, readings, self.specification.loop_bound)
        now: dict[str, Value] = dict(self._at_first)
        times = timing.elapsed()
        elapsed = next(times)
        found = []
        for part in sequence.parts:
            now.update(part.given)
            scans: list[SeenScan] = []
            since = Units(0)
            while not scans or since < part.length:
                record = machine.scan(now, elapsed)
                if record.finding is not None:
                    return None
                on = {name: record.values[name] is True for name in self.outputs}
                scans.append(SeenScan(since, on))
                elapsed = next(times)
                since = Units(since + elapsed)
            found.append(tuple(scans))
        return tuple(found)
