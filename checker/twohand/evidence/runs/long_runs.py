"""Long runs: what a search had no time for may only come after tens of thousands of scans.

A short cycle of inputs is repeated and executed; that is as good a witness as any, and proves
nothing. For a finding a number has to leave its type: a cycle is gone on with where some number
moves on and on, one way, and can get there in time.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import cycle as repeated
from itertools import islice, pairwise

from twohand.engine.system.budget import Budget
from twohand.evidence.runs.input_cycles import Cycle, cycles, stroke_cycles
from twohand.evidence.runs.replay import Replayer
from twohand.evidence.runs.trace import Trace, definite
from twohand.program.types import Integer, Value
from twohand.scan.clocking import Readings
from twohand.scan.concrete.execute import Machine
from twohand.scan.finding import Finding
from twohand.specification.logic.formula import Property
from twohand.specification.model.specification import Specification

_STRETCH_SCANS = 200
"""Scans of each of the stretches over which a number has to move on."""
_STRETCHES = 4
_LONGEST = 140_000
"""Scans of one run: an unsigned number of 16 bits at one step in two scans."""
_MOST_SCANS = 400_000
"""Scans that are executed for findings."""
_MOST_VALUES = 6_000_000
"""Values (scans by variables) of a run that is kept whole."""
_JUDGED_SCANS = 1500
"""Scans of a run that is judged by formulas, which look back from each scan."""
_MANY_STROKES = 12_000
"""The same, where the run repeats strokes."""
_SHARE, _LEAST_EFFORT = 0.25, 2.0
"""The part of a question's effort that looking for findings may take, and the effort that it always
may."""
_SHARE_OF_PROPERTY, _LEAST_OF_PROPERTY = 0.05, 0.3
"""The same for one property, a third of it for each kind of run."""
_EXECUTED = 0.00001
_VALUE = 0.0000005
"""The effort of executing one scan, and for each variable beside it."""
_JUDGED = 0.00005
"""The effort of judging one scan (measured: 2 to 180 ms for a run of 1500)."""
_TRIES = 2
"""Runs in which the same number moves on."""


@dataclass(frozen=True)
class _RepeatedCycle:
    """A cycle to repeat, under one choice of the readings."""

    cycle: Cycle
    readings: Readings


class LongRuns:
    """Runs of one specification; ``choices`` are the open readings that its program depends on,
    ``effort`` is what a question may take."""

    def __init__(self, replayer: Replayer, choices: Sequence[str], effort: float) -> None:
        self._replayer = replayer
        self._chosen_names = choices
        self._specification = replayer.specification
        self._scan = _EXECUTED + _VALUE * len(replayer.specification.program.variables)
        self._seeking = Budget(max(_LEAST_EFFORT, effort * _SHARE))
        self._judging = max(_LEAST_OF_PROPERTY, effort * _SHARE_OF_PROPERTY)

    # --- findings -----------------------------------------------------------------------------

    @cached_property
    def findings(self) -> Mapping[Finding, Trace]:
        """The findings that end such a run, each with the shortest run that was met."""
        found: dict[Finding, Trace] = {}
        tried: Counter[str] = Counter()
        left = _MOST_SCANS
        for scans, name, repeating in sorted(self._repeated(), key=lambda each: each[0]):
            if scans > min(self._longest, left) or (name and tried[name] == _TRIES):
                continue
            tried[name] += 1
            left -= scans
            ended = self._until_a_finding(repeating, scans)
            if ended is None:
                continue
            finding, position = ended
            trace = self._trace(repeating, position)
            known = found.get(finding)
            if (known is None or len(known.scans) > position) and self._allowed(trace):
                found[finding] = trace
        return found

    @property
    def _longest(self) -> int:
        if self._specification.assumptions:
            return _JUDGED_SCANS
        return min(_LONGEST, self._kept)

    @property
    def _kept(self) -> int:
        """The scans of a run that is kept whole."""
        return _MOST_VALUES // max(1, len(self._specification.program.variables))

    def _repeated(self) -> Iterator[tuple[int, str, _RepeatedCycle]]:
        """For each cycle and each number that moves on in it: the scans until it has left its type,
        and its name ('' where a finding comes sooner than that can be said)."""
        if self._specification.program.uncomputed:
            return
        for readings in self._choices():
            for cycle in cycles(self._specification):
                if self._seeking.over:
                    return
                repeating = _RepeatedCycle(cycle, readings)
                for name, scans in self._moving(cycle, readings).items():
                    yield scans, name, repeating

    def _moving(self, cycle: Cycle, readings: Readings) -> Mapping[str, int]:
        """The numbers that move on and on, each with the scans until it leaves its type, guessed
        from how far it gets in a few stretches; one without a name where a finding comes first."""
        machine = self._machine(readings)
        times = -(-_STRETCH_SCANS // len(cycle))
        self._seeking.spend(self._scan * _STRETCHES * times * len(cycle))
        states: list[Mapping[str, Value]] = []
        for stretch in range(_STRETCHES):
            for position, scan in enumerate(cycle * times, 1):
                record = machine.scan(scan.inputs, scan.elapsed)
                if record.finding is not None:
                    return {"": stretch * times * len(cycle) + position}
            states.append(record.values)
        moving = {}
        for variable in self._specification.program.variables:
            if isinstance(variable.type, Integer):
                values = [int(state[variable.name]) for state in states]
                stretches = _stretches(values, variable.type)
                if stretches is not None:
                    moving[variable.name] = (_STRETCHES + stretches + 1) * times * len(cycle)
        return moving

    def _until_a_finding(self, repeating: _RepeatedCycle, scans: int) -> tuple[Finding, int] | None:
        """The finding that ends the repeated cycle, and the number of its scans."""
        machine = self._machine(repeating.readings)
        for position, scan in enumerate(islice(repeated(repeating.cycle), scans), 1):
            record = machine.scan(scan.inputs, scan.elapsed)
            if record.finding is not None:
                return record.finding, position
            self._seeking.spend(self._scan)
            if self._seeking.over:
                break
        return None

    # --- properties ---------------------------------------------------------------------------

    def refuting(self, property: Property) -> Trace | None:
        """A run that refutes it, cut there; None where none of those that can be judged does."""
        if self._specification.program.uncomputed:  # on which such a run might hang
            return None
        many = min(_MANY_STROKES, self._kept)
        kinds = ((stroke_cycles, _JUDGED_SCANS), (cycles, _JUDGED_SCANS), (stroke_cycles, many))
        for kind, length in kinds:
            budget, cost = Budget(self._judging / len(kinds)), (self._scan + _JUDGED) * length
            for trace in self._runs(kind, length):
                if budget.remaining < cost:
                    break
                budget.spend(cost)
                records = self._replayer.sound_records(trace)
                position = self._replayer.refuted_at(property, records)
                if position is not None:
                    return trace.cut(position + 1)
        return None

    def _runs(
        self, kind: Callable[[Specification], Iterator[Cycle]], length: int
    ) -> Iterator[Trace]:
        for readings in self._choices():
            for cycle in kind(self._specification):
                yield self._trace(_RepeatedCycle(cycle, readings), length)

    # --- both ---------------------------------------------------------------------------------

    def _choices(self) -> list[Readings]:
        """Two choices of the open readings, as far apart as there are."""
        readings = self._specification.readings
        values = (False, True) if self._chosen_names else (False,)
        return [definite(readings, dict.fromkeys(self._chosen_names, value)) for value in values]

    def _trace(self, repeating: _RepeatedCycle, length: int) -> Trace:
        times = -(-length // len(repeating.cycle))
        chosen = {name: bool(getattr(repeating.readings, name)) for name in self._chosen_names}
        return Trace((repeating.cycle * times)[:length], repeating.readings, chosen)

    def _machine(self, readings: Readings) -> Machine:
        spec = self._specification
        return Machine(spec.program, spec.clocking, readings, spec.loop_bound)

    def _allowed(self, trace: Trace) -> bool:
        if not self._specification.assumptions:
            return True
        return self._replayer.allowed(self._replayer.records(trace))


def _stretches(values: list[int], kind: Integer) -> int | None:
    """How many stretches more until the number leaves its type; None where it does not move on."""
    steps = [after - before for before, after in pairwise(values)]
    if all(step > 0 for step in steps):
        return (kind.highest - values[-1]) // min(steps) + 1
    if all(step < 0 for step in steps):
        return (values[-1] - kind.lowest) // -max(steps) + 1
    return None
