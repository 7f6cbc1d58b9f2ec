"""Runs with random inputs, the same ones each time, that go on from wherever something new was
reached: what they reach need not be searched for."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from random import Random

from twohand.analyses.inspect.points import Question
from twohand.evidence.runs.known_runs import usual_runs
from twohand.evidence.runs.random_inputs import RandomInputs
from twohand.evidence.runs.replay import Replayer
from twohand.evidence.runs.trace import Scan, Trace
from twohand.program import Operation, Operator, Read
from twohand.program.durations import NO_TIME, Units
from twohand.program.types import Value
from twohand.scan.clocking import Readings
from twohand.scan.concrete.execute import Machine, formula_evaluator
from twohand.scan.scan_record import ScanRecord
from twohand.specification.model.specification import Specification

MOST_SCANS = 4000
"""Scans that are executed, those of the usual runs aside."""
_IN_VAIN = 1000
"""Scans without anything new after which nothing more is tried."""
_STRETCHES = (8, 30, 120)
"""Scans of one try."""
_PLATFORMS = 4
"""Choices of the open readings that are tried."""
_LONGEST = 1000
"""Scans of a run that is gone on with."""


@dataclass(frozen=True)
class _Entry:
    """A state that a run has reached, with that run."""

    machine: int
    snapshot: Hashable
    scans: tuple[Scan, ...]
    records: tuple[ScanRecord, ...]
    """Kept only where assumptions have to be judged by them."""


class Explorer:
    """``runs`` are those that reach a question, for each question that was reached."""

    def __init__(self, specification: Specification, questions: Iterable[Question]) -> None:
        self._specification = specification
        self._replayer = Replayer(specification)
        self._left = {question: _marks_of(question) for question in questions}
        self._random = Random("inspection")
        self._evaluator = formula_evaluator(specification.clocking)
        self._inputs = RandomInputs(specification.program, specification.clocking)
        self.runs: dict[Question, Trace] = {}

    def explore(self) -> Mapping[Question, Trace]:
        spec = self._specification
        for trace in usual_runs(spec) if spec.hands else ():
            self._usual(trace)
        choices = spec.readings.choices()
        step = max(1, len(choices) // _PLATFORMS)
        readings = [*choices[::step][: _PLATFORMS - 1], choices[-1]]
        machines = [
            Machine(spec.program, spec.clocking, each, spec.loop_bound) for each in readings
        ]
        entries = [_Entry(n, each.snapshot(), (), ()) for n, each in enumerate(machines)]
        begins = len(entries)
        scans = in_vain = 0
        while self._left and scans < MOST_SCANS and in_vain < _IN_VAIN:
            newest = entries[max(begins, len(entries) - 4) :] or entries
            pool = self._random.choice((entries, newest, entries[:begins]))
            entry = self._random.choice(pool)
            length = self._random.choice(_STRETCHES)
            found, spent = self._go_on(entry, machines[entry.machine], readings, length)
            entries += found
            scans += spent
            in_vain = 0 if found else in_vain + spent
        return self.runs

    def _go_on(
        self, entry: _Entry, machine: Machine, readings: list[Readings], length: int
    ) -> tuple[list[_Entry], int]:
        """New entries, and how many scans were executed."""
        machine.restore(entry.snapshot)
        scans, records = list(entry.scans), list(entry.records)
        time = records[-1].time if records else NO_TIME
        found: list[_Entry] = []
        steps = self._inputs.run(self._random, length)
        for number, (inputs, elapsed) in enumerate(steps, 1):
            record = machine.scan(inputs, elapsed)
            if record.finding is not None:
                return found, number
            time = Units(time + elapsed if scans else 0)
            scans.append(Scan(inputs, elapsed))
            if self._specification.assumptions:
                records.append(replace(record, time=time))
                if not self._replayer.allowed(records):
                    return found, number
            news = self._note(record.values, scans, readings[entry.machine])
            if news and len(scans) < _LONGEST:
                after = machine.snapshot()
                found.append(_Entry(entry.machine, after, tuple(scans), tuple(records)))
        return found, length

    def _usual(self, trace: Trace) -> None:
        for position, record in enumerate(self._replayer.sound_records(trace), 1):
            self._note(record.values, trace.scans[:position], trace.readings)

    def _note(self, values: Mapping[str, Value], scans: Sequence[Scan], readings: Readings) -> bool:
        """Whether a scan with these values reaches anything that no scan before has."""
        reached = [
            question
            for question, marks in self._left.items()
            if (
                any(values[name] for name in marks)
                if marks
                else self._evaluator.value(question.reached, values)
            )
        ]
        names = {n: bool(getattr(readings, n)) for n in self._specification.readings.open}
        for question in reached:
            del self._left[question]
            self.runs[question] = Trace(tuple(scans), readings, names)
        return bool(reached)


def _marks_of(question: Question) -> tuple[str, ...]:
    """The names of the marks one of which the question asks for; () where it asks otherwise."""
    match question.reached:
        case Read(variable=variable):
            return (variable.name,)
        case Operation(operator=Operator.OR, operands=operands):
            reads = [each.variable.name for each in operands if isinstance(each, Read)]
            return tuple(reads) if len(reads) == len(operands) else ()
    return ()
