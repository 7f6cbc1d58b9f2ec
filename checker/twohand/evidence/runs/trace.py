"""A run as the engine gives it, made ready for the executor: inputs, elapsed units, readings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from twohand.engine.system.contract import Violated
from twohand.program import Program
from twohand.program.durations import NO_SCANS, Scans, Ticks, Units, ticks_in_units
from twohand.program.types import Value
from twohand.scan.clocking import CLOCK_AT_FIRST, PARAMETER_PREFIX, Readings
from twohand.specification.logic.power_up import POWER_UP
from twohand.specification.model.specification import Specification


@dataclass(frozen=True)
class Scan:
    """Inputs by variable name (those left out do not matter) and the time that passes before."""

    inputs: Mapping[str, Value]
    elapsed: Units


@dataclass(frozen=True)
class Trace:
    """A run to execute. ``chosen`` are the readings that the spec leaves open and that the
    engine chose a value for. The first ``past`` of the scans are before power-up: there inputs are
    sampled and nothing runs."""

    scans: tuple[Scan, ...]
    readings: Readings
    chosen: Mapping[str, bool]
    past: Scans = NO_SCANS

    def cut(self, length: int) -> Trace:
        return replace(self, scans=self.scans[:length])

    def for_program(self, program: Program) -> Trace:
        """The same with the inputs that ``program`` has: another one may read no clock."""
        names = {each.name for each in program.inputs}
        scans = tuple(
            replace(scan, inputs={n: value for n, value in scan.inputs.items() if n in names})
            for scan in self.scans
        )
        return replace(self, scans=scans)


def trace_of(run: Violated, specification: Specification, tick: Units) -> Trace:
    """The engine's run; ``tick`` is the system's. Readings that it leaves open make no
    difference and are taken as FALSE."""
    program = specification.program
    powered = [bool(step.inputs.get(POWER_UP, True)) for step in run.steps]
    past = Scans(powered.index(True))
    sampled = [{v.name for v in inputs} for inputs in (program.older, program.inputs)]
    scans = tuple(
        Scan(
            {n: value for n, value in step.inputs.items() if n in sampled[number >= past]},
            ticks_in_units(step.elapsed, tick),
        )
        for number, step in enumerate(run.steps)
    )
    scans = (*scans[:past], *_with_clock(scans[past:], run, specification, tick))
    open_names = specification.readings.open
    chosen = {
        name: bool(run.initial[PARAMETER_PREFIX + name])
        for name in open_names
        if PARAMETER_PREFIX + name in run.initial
    }
    return Trace(scans, definite(specification.readings, chosen), chosen, past)


def _with_clock(
    scans: tuple[Scan, ...], run: Violated, specification: Specification, tick: Units
) -> tuple[Scan, ...]:
    """The scans of the run; what the clock shows in the first one is its input there. Without
    supply the clock begins anew in that very scan, as the input says already."""
    clock, first = specification.program.clock, run.initial.get(CLOCK_AT_FIRST)
    power = specification.power
    if clock is None or first is None:
        return scans
    if power is not None and not scans[0].inputs.get(power.name, False):
        return scans
    earlier = ticks_in_units(Ticks(int(first)), tick)
    shown = (earlier + scans[0].elapsed) % specification.clocking.clock_range
    inputs = {**scans[0].inputs, clock.name: shown}
    return (replace(scans[0], inputs=inputs), *scans[1:])


def definite(readings: Readings, chosen: Mapping[str, bool]) -> Readings:
    """The readings with every open one chosen, FALSE where ``chosen`` does not say."""
    return replace(readings, **{name: chosen.get(name, False) for name in readings.open})
