"""Runs of a block with random inputs, the same ones each time, and what its outputs do in them.

What is seen here is no proof of anything: it is what guesses are made of. A question about a start
or a stop is asked where one was seen, by changing one input there.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from random import Random

from twohand.evidence.runs.random_inputs import RandomInputs
from twohand.program import Variable
from twohand.program.durations import Units
from twohand.program.types import Boolean, Enumeration, Value
from twohand.program.walks import nodes_below
from twohand.scan.concrete.execute import Machine
from twohand.scan.scan_record import ScanRecord
from twohand.specification.model.specification import Specification

MOST_SCANS = 2500
"""Scans of the first walk."""
FURTHER_SCANS = 5000
"""Scans after these while some output has not been on."""
PROBES = 20_000
"""Scans that all questions together may take."""
_USUAL_SIZE = 1000
"""Parts of a program from which on it gets less scans, so that a large one takes no longer."""
_WEIGHT_OF_VARIABLE = 10
_STRETCHES = (2, 4, 8, 15, 40, 120)
_HOLD = (0.0, 0.5, 0.9, 0.97)
"""How often the inputs stay as they are, in one stretch and another."""
_LONGEST = 400
"""Scans of a run that is gone on with."""
_KEPT = 10
"""Starts that are kept of each output."""
_KEPT_ON = 24
"""Scans with the output on that are kept: some are followed by its end, whatever comes."""
_SETTLED = 3
"""Scans within which an output has to answer: logic may see a signal one scan later."""

Step = tuple[Mapping[str, Value], Units]
Vector = tuple[bool, ...]
"""The values of the Boolean inputs, in their order."""


_Entry = tuple[Hashable, tuple[Step, ...], Mapping[str, Value]]
"""A state that was reached, the run to it, and the values that are left there."""


@dataclass(frozen=True)
class Moment:
    """The state before a scan, that scan, and the run that leads there."""

    snapshot: Hashable
    inputs: Mapping[str, Value]
    elapsed: Units
    run: tuple[Step, ...]


class Again(Enum):
    """What an output did that went off while an input was kept as it was."""

    WENT_ON = "it went on again"
    STAYED_OFF = "it never went on again"
    NEVER_OFF = "it never went off"


class Walk:
    """``inputs`` are the Boolean inputs, ``outputs`` the Boolean outputs of the block."""

    def __init__(self, specification: Specification, outputs: Sequence[Variable]) -> None:
        program = specification.program
        self.program = program
        self._specification = specification
        self._machine = self._new()
        self._random_inputs = RandomInputs(program, specification.clocking)
        self._shortest = specification.clocking.shortest
        sampled = (v for v in program.sampled if not v.uncomputed)
        self.inputs = tuple(v for v in sampled if isinstance(v.type, Boolean))
        self.outputs = tuple(outputs)
        given = set(program.inputs)
        self.state_names = tuple(
            v.name
            for v in program.variables
            if v not in given and isinstance(v.type, Boolean | Enumeration)
        )
        self.starts: dict[Variable, list[Moment]] = {each: [] for each in self.outputs}
        self.on: dict[Variable, list[Moment]] = {each: [] for each in self.outputs}
        """Moments before a scan at the end of which the output is on, as it was before."""
        self.vectors: dict[Variable, set[Vector]] = {each: set() for each in self.outputs}
        """The inputs of every start that was seen."""
        self.with_output: dict[Variable, set[Vector]] = {each: set() for each in self.outputs}
        """The inputs of every scan with the output on."""
        self.always_on_with: dict[Variable, set[str]] = {
            each: set(self.state_names) for each in self.outputs
        }
        """The state variables that were TRUE in every scan with the output on."""
        self.probed: set[Variable] = set()
        """The outputs of which a start at least was tried with each input changed."""
        self._useful: list[Mapping[str, Value]] = []
        """Inputs with which something new was reached."""
        size = sum(1 for _ in nodes_below(program.routine))
        size += len(program.variables) * _WEIGHT_OF_VARIABLE
        share = min(1.0, _USUAL_SIZE / size)
        self._further = int(FURTHER_SCANS * share)
        self._left = int(MOST_SCANS * share) + self._further
        self._explore()
        self._left = int(PROBES * share)
        self._probe_starts()

    def _new(self) -> Machine:
        """The block before its first scan."""
        of = self._specification
        return Machine(of.program, of.clocking, of.readings.choices()[0], of.loop_bound)

    # --- the first walk ---------------------------------------------------------------------

    def _explore(self) -> None:
        """Goes on from wherever a new state, or an output that is on, was reached."""
        random = Random("draft")
        initial = {each.name: each.initial for each in self.outputs}
        entries: list[_Entry] = [(self._machine.snapshot(), (), initial)]
        seen: set[tuple[Value, ...]] = set()
        while self._left > (0 if self._some_never_on() else self._further):
            pool = random.choice((entries, entries[-4:], entries[:1]))
            snapshot, run, was = random.choice(pool)
            self._machine.restore(snapshot)
            steps = list(run)
            for inputs, elapsed in self._stretch(random, random.choice(_STRETCHES)):
                before = self._machine.snapshot()
                record = self._scan(inputs, elapsed)
                if record is None:
                    break
                moment = Moment(before, inputs, elapsed, tuple(steps))
                self._note(record, was, moment)
                was = record.values
                steps.append((inputs, elapsed))
                state = tuple(record.values[name] for name in self.state_names)
                if state not in seen and len(steps) < _LONGEST:
                    seen.add(state)
                    self._useful.append(inputs)
                    entries.append((self._machine.snapshot(), tuple(steps), was))
                if self._left <= 0:
                    break

    def _some_never_on(self) -> bool:
        return not all(self.starts[each] or self.on[each] for each in self.outputs)

    def _stretch(self, random: Random, scans: int) -> Iterator[Step]:
        """Random inputs, and such as were useful before, with changes."""
        hold, now = random.choice(_HOLD), None
        for inputs, elapsed in self._random_inputs.run(random, scans):
            if now is None or random.random() >= hold:
                now = dict(inputs)
                if self._useful and random.random() < 0.6:
                    now = dict(random.choice(self._useful))
                    if self.inputs and random.random() < 0.5:
                        now = _with(now, random.choice(self.inputs))
            yield dict(now), elapsed

    def _note(self, record: ScanRecord, was: Mapping[str, Value], moment: Moment) -> None:
        for output in self.outputs:
            if not record.values[output.name]:
                continue
            vector = self.vector(moment.inputs)
            self.with_output[output].add(vector)
            self.always_on_with[output] &= {n for n in self.state_names if record.values[n] is True}
            starts = not was[output.name]
            kept = self.starts[output] if starts else self.on[output]
            most = _KEPT if starts else _KEPT_ON
            if starts:
                self.vectors[output].add(vector)
            known = {self.vector(each.inputs) for each in kept}
            if len(kept) < most and (vector not in known or len(kept) < most // 2):
                kept.append(moment)

    def _scan(self, inputs: Mapping[str, Value], elapsed: Units) -> ScanRecord | None:
        """One scan; None where a finding ends the run."""
        self._left -= 1
        record = self._machine.scan(inputs, elapsed)
        return record if record.finding is None else None

    def vector(self, inputs: Mapping[str, Value]) -> Vector:
        return tuple(bool(inputs[each.name]) for each in self.inputs)

    # --- questions --------------------------------------------------------------------------

    def _probe_starts(self) -> None:
        """Whether each start that is kept comes with one input changed as well."""
        least = self._left // 2
        for number in range(_KEPT):
            for output in self.outputs:
                moments = self.starts[output][number : number + 1]
                if moments and self._left - len(self.inputs) > least:
                    self._probe(output, *moments)
                    self.probed.add(output)

    def _probe(self, output: Variable, moment: Moment) -> None:
        for each in self.inputs:
            changed = _with(moment.inputs, each)
            if self._is_on(output, moment, [changed]):
                self.vectors[output].add(self.vector(changed))
                self.with_output[output].add(self.vector(changed))

    def _is_on(
        self, output: Variable, moment: Moment, steps: Sequence[Mapping[str, Value]]
    ) -> bool:
        """Whether the output is on after these scans, instead of the one of that moment."""
        self._machine.restore(moment.snapshot)
        record = None
        for inputs in steps:
            record = self._scan(inputs, moment.elapsed)
            if record is None:
                return False
        return record is not None and bool(record.values[output.name])

    def stays(self, output: Variable, moment: Moment, changed: Variable) -> bool | None:
        """Whether an output that is on stays so for some scans with an input changed; None where
        it does not stay on without that."""
        same = [moment.inputs] * (_SETTLED + 1)
        if self._left <= 0 or not self._is_on(output, moment, same):
            return None
        after = _with(moment.inputs, changed)
        return self._is_on(output, moment, [moment.inputs, *[after] * _SETTLED])

    def again(
        self, output: Variable, kept: Variable, where: Mapping[Variable, bool] | None = None
    ) -> Again:
        """What an output does while an input keeps the value that it has now: the others change at
        random, or as they did before the output went on."""
        fixed = where or {}
        went_off = False
        moments = self._moments(output, fixed)
        shortest = sorted(moments, key=lambda each: len(each.run))[:2]
        for number, moment in enumerate(moments[:3]):
            held = {each.name: bool(moment.inputs[each.name]) for each in (kept, *fixed)}
            random = Random(f"again {self.inputs.index(kept)} {number}")
            tries = [[*each.run[-40:], (each.inputs, each.elapsed)] for each in shortest]
            tries += [[*self._stretch(random, 40)] for _ in range(2)]
            for steps in tries:
                answer = self._after(output, moment, [{**inputs, **held} for inputs, _ in steps])
                if answer is Again.WENT_ON:
                    return answer
                went_off = went_off or answer is Again.STAYED_OFF
        return Again.STAYED_OFF if went_off and self._left > 0 else Again.NEVER_OFF

    def _after(
        self, output: Variable, moment: Moment, steps: Sequence[Mapping[str, Value]]
    ) -> Again:
        """What an output that goes on, or is on, in a scan does in further ones."""
        self._machine.restore(moment.snapshot)
        self._scan(moment.inputs, moment.elapsed)
        off = False
        for inputs in steps:
            record = self._scan(inputs, self._shortest) if self._left > 0 else None
            if record is None:
                break
            on = bool(record.values[output.name])
            if off and on:
                return Again.WENT_ON
            off = off or not on
        return Again.STAYED_OFF if off else Again.NEVER_OFF

    def _moments(self, output: Variable, fixed: Mapping[Variable, bool]) -> list[Moment]:
        every = [*self.on[output], *self.starts[output]]
        return [m for m in every if all(bool(m.inputs[v.name]) == b for v, b in fixed.items())]

    def alike(self, output: Variable, pairs: Sequence[tuple[Variable, Variable]]) -> bool:
        """Whether the output does the same in the runs that were seen with these inputs
        exchanged."""
        moments = sorted(self.starts[output], key=lambda each: len(each.run))[:3]
        for moment in moments:
            steps = [*moment.run, *[(moment.inputs, moment.elapsed)] * 2]
            steps += self._random_inputs.run(Random("alike"), 40)
            if self._left <= 0 or self._shown(output, steps) != self._shown(
                output, [(_exchanged(inputs, pairs), elapsed) for inputs, elapsed in steps]
            ):
                return False
        return bool(moments)

    def starts_with(self, output: Variable, fixed: Variable, value: bool) -> bool:
        """Whether the output ever goes on in the runs that were seen with an input fixed from
        power-up on."""
        return self.ever_on_with(output, output, fixed, value)

    def ever_on_with(self, shown: Variable, output: Variable, fixed: Variable, value: bool) -> bool:
        """Whether another variable ever comes on in the runs that start an output, with an input
        fixed from power-up on."""
        for moment in self.starts[output]:
            if self._left <= 0:
                return True  # not known
            steps = [*moment.run, (moment.inputs, moment.elapsed)]
            forced = [({**inputs, fixed.name: value}, elapsed) for inputs, elapsed in steps]
            if any(self._shown(shown, forced)):
                return True
        return False

    def _shown(self, output: Variable, steps: Sequence[Step]) -> list[bool]:
        """The output in each scan from power-up on, until a finding."""
        self._machine = self._new()
        shown = []
        for inputs, elapsed in steps:
            record = self._scan(inputs, elapsed)
            if record is None:
                break
            shown.append(bool(record.values[output.name]))
        return shown


def _with(inputs: Mapping[str, Value], changed: Variable) -> dict[str, Value]:
    return {**inputs, changed.name: not inputs[changed.name]}


def _exchanged(
    inputs: Mapping[str, Value], pairs: Sequence[tuple[Variable, Variable]]
) -> dict[str, Value]:
    changed = dict(inputs)
    for one, other in pairs:
        changed[one.name], changed[other.name] = inputs[other.name], inputs[one.name]
    return changed
