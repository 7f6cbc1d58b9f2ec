"""The concrete executor: a typed program runs with Python values, scan by scan.

It shares no meaning with the transition system (nothing here knows of solvers), so that replaying
a counterexample is a second opinion.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence

from twohand.program import CallFunction, Program, StandardInstance, Variable
from twohand.program.durations import NO_SCANS, Scans, Units
from twohand.program.types import BitString, Boolean, Duration, Enumeration, Integer, Value
from twohand.scan.arithmetic import Arithmetic, FindingRaised
from twohand.scan.clocking import Clocking, Readings
from twohand.scan.concrete.blocks import TIMERS, InstanceMemory, first_memory, frozen
from twohand.scan.concrete.clock import Clock
from twohand.scan.concrete.expressions import Evaluator
from twohand.scan.concrete.routine import Executor
from twohand.scan.concrete.timer_ages import age_limits
from twohand.scan.finding import Finding
from twohand.scan.scan_record import ScanRecord

__all__ = ["FindingRaised", "Machine", "formula_evaluator", "run"]

DEFAULT_LOOP_BOUND = 100


class Machine:
    """A program between scans.

    ValueError where a reading is open or a duration of the program is not a whole number of
    units.
    """

    def __init__(
        self,
        program: Program,
        clocking: Clocking,
        readings: Readings,
        loop_bound: int = DEFAULT_LOOP_BOUND,
    ) -> None:
        if readings.open:
            raise ValueError(f"open readings: {', '.join(readings.open)}")
        self.program = program
        self.clocking = clocking
        self.readings = readings
        arithmetic = Arithmetic(
            clocking,
            readings.integers_wrap,
            clock_is_signed=bool(readings.clock_is_signed),
            durations_are_signed=lambda: bool(readings.durations_are_signed),
        )
        self._clock = Clock(program, arithmetic)
        self._initial = {v.name: arithmetic.given(v.initial, v.type) for v in program.variables}
        self._values = dict(self._initial)
        self._memories = {i: first_memory(i, readings) for i in program.instances}
        self._age_limits = age_limits(program, clocking)
        self._executor = Executor(arithmetic, readings, loop_bound, self._values, self._memories)
        anew = {*program.inputs, *program.routine.initialise, *program.stamps}
        self._kept = tuple(v.name for v in program.variables if v not in anew)
        self._shown_as_sampled = tuple(v.name for v in program.sampled)
        self._older = frozenset(v.name for v in program.older)
        self._time: Units | None = None
        self._finding: Finding | None = None

    def run(
        self, steps: Sequence[tuple[Mapping[str, Value], Units]], past: Scans = NO_SCANS
    ) -> Iterator[ScanRecord]:
        """The records of a run from the start, as it is executed, whatever the machine did before:
        one for each step (inputs, elapsed time); the run ends with the scan that has a finding. The
        first ``past`` steps are before power-up, some other follows them. Errors are those of
        ``scan``."""
        self._begin()
        if past:
            yield from self.before(steps[:past], steps[past][1])
        for inputs, elapsed in steps[past:]:
            record = self.scan(inputs, elapsed)
            yield record
            if record.finding is not None:
                return

    def _begin(self) -> None:
        """Everything as it was made."""
        self._values.clear()
        self._values.update(self._initial)
        for instance in self._memories:
            self._memories[instance] = first_memory(instance, self.readings)
        self._clock.begin()
        self._time = None
        self._finding = None

    def scan(self, inputs: Mapping[str, Value], elapsed: Units) -> ScanRecord:
        """One scan: ``elapsed`` units pass, ``inputs`` (by variable name) are read, the body runs.

        An input that is not given is FALSE or 0, or its type's nearest value to 0. The first scan
        is at time 0 whatever ``elapsed``, which then only is what an edge call may count.
        ValueError where an input is unknown or no value of its type, or ``elapsed`` is no scan
        time of the clocking; RuntimeError after a finding.
        """
        if self._finding is not None:
            raise RuntimeError("the machine stopped at a finding")
        self._check(elapsed)
        sampled = self._sampled(inputs)
        self._time = Units(0 if self._time is None else self._time + elapsed)
        self._pass(elapsed)
        self._values.update(sampled)
        self._clock.sampled(self._values, elapsed)
        self._executor.unset.clear()
        running = [memory for i, memory in self._memories.items() if i.block in TIMERS]
        self._executor.writers = {}
        self._executor.elapsed = elapsed
        self._executor.restarted_clock = self._clock.anew
        try:
            self._executor.run(self.program.routine)
        except FindingRaised as raised:
            self._finding = raised.finding
        self._clock.ended(self._values)
        for memory in running:
            memory.begun = True  # where a restart put another memory, that one has not begun
        kept = {name: sampled[name] for name in self._shown_as_sampled}
        return ScanRecord(
            self._time,
            elapsed,
            {**self._values, **kept},
            dict(self._executor.writers),
            self._finding,
            self._older,
        )

    def before(
        self, steps: Sequence[tuple[Mapping[str, Value], Units]], elapsed: Units
    ) -> list[ScanRecord]:
        """Samples before the first scan, which is ``elapsed`` units after the last of them.

        Nothing runs in them. Parameters and errors are those of ``scan``.
        """
        times = [-elapsed]
        for _, passed in reversed(steps[1:]):
            times.append(times[-1] - passed)
        records: list[ScanRecord] = []
        for (inputs, passed), time in zip(steps, reversed(times[: len(steps)]), strict=True):
            self._check(passed)
            sampled = self._sampled(inputs)
            values = {v.name: sampled[v.name] for v in self.program.older}
            records.append(ScanRecord(Units(time), passed, values, older=self._older))
        return records

    def _check(self, elapsed: Units) -> None:
        if not self.clocking.shortest <= elapsed <= self.clocking.longest:
            raise ValueError(f"a scan does not take {elapsed} units")

    def _sampled(self, inputs: Mapping[str, Value]) -> dict[str, Value]:
        sampled = {v.name: input_value(v, inputs.get(v.name)) for v in self.program.inputs}
        unknown = [name for name in inputs if name not in sampled]
        if unknown:
            raise ValueError(f"not an input: {', '.join(unknown)}")
        return sampled

    def _pass(self, elapsed: Units) -> None:
        """Time goes on for every timer that has an age, called or not."""
        for instance, memory in self._memories.items():
            if instance.block in TIMERS and memory.running:
                memory.age = Units(memory.age + elapsed)

    @property
    def memories(self) -> Mapping[StandardInstance, InstanceMemory]:
        """What each instance remembers between scans."""
        return self._memories

    def put(
        self, values: Mapping[str, Value], memories: Mapping[StandardInstance, InstanceMemory]
    ) -> None:
        """Goes to a state, whether a run gets there or not; what is not given stays as it is."""
        self._values.update(values)
        self._memories.update(memories)
        self._clock.ended(values)
        self._finding = None

    def snapshot(self) -> Hashable:
        """Everything that the next scan depends on, apart from its inputs and the absolute time.

        An age beyond each preset that its timer can ever have counts as just beyond, so that
        programs with constant presets have finitely many snapshots. RuntimeError after a finding.
        """
        if self._finding is not None:
            raise RuntimeError("the machine stopped at a finding")
        for instance, limit in self._age_limits.items():
            memory = self._memories[instance]
            memory.age = min(memory.age, limit)
        return (
            tuple(self._values[name] for name in self._kept),
            tuple(frozen(memory) for memory in self._memories.values()),
            self._clock.snapshot(self._values),
        )

    def restore(self, snapshot: Hashable) -> None:
        """Goes back to a snapshot of this machine, or of one of the same program and readings."""
        match snapshot:
            case (tuple() as values, tuple() as memories, tuple() as clock):
                self._values.update(zip(self._kept, values, strict=True))
                self._clock.restore(clock, self._values)
                for instance, memory in zip(self._memories, memories, strict=True):
                    self._memories[instance] = InstanceMemory(*memory)
                self._finding = None
            case _:
                raise ValueError("not a snapshot of a machine")


def input_value(variable: Variable, value: Value | None) -> Value:
    """``value`` as an input of the variable's type, a default for None; ValueError outside it."""
    low: float
    high: float
    match variable.type:
        case Boolean():
            low, high = 0, 1
        case Integer() as kind:
            low, high = kind.lowest, kind.highest
        case BitString() as kind:
            low, high = 0, kind.highest
        case Enumeration(values=values) if values:
            numbers = [number for _, number in values]
            low, high = min(numbers), max(numbers)
        case Duration() | Enumeration():
            low, high = float("-inf"), float("inf")
    if value is None:
        value = int(min(max(0, low), high))
    if not low <= value <= high:
        raise ValueError(f"{variable.name} cannot be {value}")
    return bool(value) if isinstance(variable.type, Boolean) else int(value)


def run(
    program: Program,
    clocking: Clocking,
    readings: Readings,
    loop_bound: int,
    steps: Sequence[tuple[Mapping[str, Value], Units]],
    past: Scans = NO_SCANS,
) -> list[ScanRecord]:
    """The records of one run, as in ``Machine``."""
    return list(Machine(program, clocking, readings, loop_bound).run(steps, past))


def formula_evaluator(clocking: Clocking) -> Evaluator:
    """For expressions over recorded values.

    Integers have no range in it: requirements are mathematical, whatever the program's own
    arithmetic does. FindingRaised where an expression has no value (a division by 0, an index out
    of range).
    """
    arithmetic = Arithmetic(clocking, unbounded=True)
    return Evaluator(arithmetic, _no_function, _no_choice)


def _no_choice(reading: str) -> bool:
    raise TypeError(f"a formula depends on the reading '{reading}'")


def _no_function(call: CallFunction) -> Value:
    raise TypeError(f"a formula calls the function '{call.name}'")
