"""One run of a scenario, executed scan by scan."""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping
from dataclasses import dataclass

from twohand.program import Variable
from twohand.program.durations import NO_TIME, Nanoseconds, Units
from twohand.program.types import Duration, Value
from twohand.scan.clocking import Readings
from twohand.scan.concrete.execute import Machine
from twohand.scan.scan_record import ScanRecord
from twohand.scenarios.inputs import writes_in_turn, written_outside
from twohand.scenarios.model import InputChange, Scenario
from twohand.scenarios.timing import Timing


@dataclass(frozen=True)
class Execution:
    """``records`` begin with those before power-up; the last one may have a finding. ``unseen``
    are changes that no scan saw, as another one of the same input came before it."""

    records: tuple[ScanRecord, ...]
    unseen: tuple[InputChange, ...]


def executed(scenario: Scenario, timing: Timing, readings: Readings) -> Execution:
    """The run, up to its end or to a finding. ValueError where a reading is open."""
    return _Player(scenario, timing, readings).execution()


class _Player:
    def __init__(self, scenario: Scenario, timing: Timing, readings: Readings) -> None:
        self.scenario = scenario
        self.timing = timing
        spec = scenario.specification
        self.machine = Machine(spec.program, spec.clocking, readings, spec.loop_bound)
        self.now: dict[str, Value] = dict(scenario.at_first)
        self.waiting = deque(scenario.changes)
        self.unseen: list[InputChange] = []
        self.shared = {v for v in spec.program.inputs if writes_in_turn(v, spec)}
        self.records: list[ScanRecord] = []

    def execution(self) -> Execution:
        times = self.timing.elapsed()
        first = next(times)
        self._before(first)
        self._scan(NO_TIME, first)
        for elapsed in times:
            if self._is_over():
                break
            self._scan(Units(self.records[-1].time + elapsed), elapsed)
        return Execution(tuple(self.records), tuple(self.unseen))

    def _is_over(self) -> bool:
        last = self.records[-1]
        stated = self.timing.stated is not None
        return last.finding is not None or (not stated and last.time >= self.scenario.end)

    def _before(self, first: Units) -> None:
        """The samples before the first scan."""
        earliest = min([NO_TIME, *(change.time for change in self.waiting)])
        elapsed = self.timing.before(earliest, first)
        times = [Units(-first)]
        for each in reversed(elapsed[1:]):
            times.insert(0, Units(times[0] - each))
        steps = []
        for time, passed in zip(times, elapsed, strict=False):
            self._see(time)
            steps.append((dict(self.now), passed))
        if steps:
            self.records += self.machine.before(steps, first)

    def _scan(self, time: Units, elapsed: Units) -> None:
        fresh = self._see(time)
        if time == 0:
            fresh |= {name: self.now[name] for name in self.scenario.at_first}
        for variable in self.shared:
            if variable.name not in fresh:
                self.now[variable.name] = self._left(variable)
        self.records.append(self.machine.scan(self.now, elapsed))

    def _see(self, time: Units) -> dict[str, Value]:
        """The changes that this scan is the first to see."""
        fresh: dict[str, InputChange] = {}
        while self.waiting and self.waiting[0].time <= time:
            change = self.waiting.popleft()
            earlier = fresh.get(change.input.name)
            if earlier is not None and earlier.value != change.value:
                self.unseen.append(earlier)
            fresh[change.input.name] = change
        seen = {name: change.value for name, change in fresh.items()}
        self.now.update(seen)
        return seen

    def _left(self, variable: Variable) -> Value:
        """What the program left in a variable that it writes as well."""
        spec = self.scenario.specification
        itself = written_outside(variable, spec) or variable
        values: Mapping[str, Value] = self.records[-1].values if self.records else {}
        if itself.name in values and self.records[-1].time >= 0:
            return values[itself.name]
        if isinstance(itself.type, Duration):
            return spec.clocking.units(Nanoseconds(int(itself.initial)))
        return itself.initial
