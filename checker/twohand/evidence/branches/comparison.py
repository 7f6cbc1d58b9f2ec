"""One scan from any state: what executing the text gives, held against what its model gives."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import z3

from twohand.engine.system.compiled_terms import compiled
from twohand.engine.system.terms import name
from twohand.evidence.branches.ways import Way
from twohand.evidence.runs.trace import definite
from twohand.program import Program, StandardBlock, StandardInstance, Variable
from twohand.program.durations import NO_TIME, Units
from twohand.program.types import Value
from twohand.scan.arithmetic import Arithmetic
from twohand.scan.clocking import PARAMETER_PREFIX, Readings
from twohand.scan.concrete.blocks import TIMERS, InstanceMemory
from twohand.scan.concrete.execute import Machine
from twohand.scan.scan_record import ScanRecord
from twohand.scan.symbolic.beginnings import beginnings
from twohand.scan.symbolic.encode import EncodedProgram
from twohand.scan.symbolic.timers import CLOCK_SLOT

State = Mapping[str, Value]


class ScanComparison:
    """``encoded`` is the model that is asked everything, ``marked`` the same program with marks for
    its branches; ``conditions`` are the model's of each of ``ways``."""

    def __init__(
        self,
        encoded: EncodedProgram,
        marked: Program,
        ways: Sequence[Way],
        conditions: Sequence[z3.BoolRef],
    ) -> None:
        self._ways = ways
        self._encoded = encoded
        self._marked = marked
        system = encoded.system
        self._findings = [finding for finding, _ in system.findings]
        symbols = [*(s.symbol for s in system.states), *system.inputs, system.elapsed, system.scans]
        self._names = [name(symbol) for symbol in symbols]
        self._states = [state.name for state in system.states]
        terms = [*system.signals.values(), *(state.update for state in system.states)]
        findings = [term for _, term in system.findings]
        self._scan = compiled(symbols, [*conditions, *terms, *findings])
        self._variables = {variable.name for variable in encoded.program.variables}
        self._machines: dict[Readings, Machine] = {}
        self._slots = {
            instance: beginning.slot
            for beginning in beginnings(encoded.program, encoded.readings)
            for instance in beginning.instances
        }

    def went(self, state: State) -> tuple[frozenset[Way], str]:
        """The branches that the text goes from this state, and in what it differs from its model;
        '' where in nothing."""
        machine = self._machine(state)
        elapsed = Units(state[name(self._encoded.system.elapsed)] * self._encoded.system.tick)
        inputs = {variable.name: state[variable.name] for variable in self._encoded.program.inputs}
        record = machine.scan(inputs, elapsed)
        gone = frozenset(way for way in self._ways if _goes(way, record, state))
        return gone, next(self._differences(state, record, machine, gone), "")

    def _machine(self, state: State) -> Machine:
        encoded = self._encoded
        readings = self._readings(state)
        machine = self._machines.get(readings)
        if machine is None:
            machine = Machine(self._marked, encoded.clocking, readings, encoded.loop_bound)
            self._machines[readings] = machine
        machine.put(
            {
                **{name: value for name, value in state.items() if name in self._variables},
                **self._stamped(state, state.get(CLOCK_SLOT, 0)),
            },
            {i: self._memory(i, state, readings) for i in encoded.program.instances},
        )
        return machine

    def _stamped(self, state: State, shown: int) -> dict[str, Value]:
        """What the clock ``shows`` and its readings are, whose ages the model has."""
        program = self._encoded.program
        if program.clock is None:
            return {}
        arithmetic = Arithmetic(
            self._encoded.clocking, clock_is_signed=bool(self._readings(state).clock_is_signed)
        )
        values = {v.name: arithmetic.clocked(shown - state[_age(v)]) for v in program.stamps}
        return {program.clock.name: arithmetic.clocked(shown), **values}

    def _readings(self, state: State) -> Readings:
        fixed = self._encoded.readings
        chosen = {n: bool(state.get(PARAMETER_PREFIX + n, False)) for n in fixed.open}
        return definite(fixed, chosen)

    def _memory(
        self, instance: StandardInstance, state: State, readings: Readings
    ) -> InstanceMemory:
        """What the executor calls what the model remembers."""

        def slot(word: str) -> Value:
            return state.get(f"{instance.name}#{word}", False)

        match instance.block:
            case StandardBlock.TON:
                return self._timer(instance, state, bool(slot("last")), readings)
            case StandardBlock.TOF:
                return self._timer(instance, state, bool(slot("running")), readings)
            case StandardBlock.TP:
                return self._timer(instance, state, bool(slot("pulsing")), readings)
            case StandardBlock.F_TRIG:
                first = not readings.falling_edge_at_first_call
                return InstanceMemory(last=bool(slot("last")) is not first)
            case StandardBlock.CTU:
                return InstanceMemory(last=bool(slot("last_up")))
            case StandardBlock.CTD:
                return InstanceMemory(last=bool(slot("last_down")))
            case StandardBlock.CTUD:
                down = bool(slot("last_down"))
                return InstanceMemory(last=bool(slot("last_up")), last_down=down)
        return InstanceMemory(last=bool(slot("last")))

    def _timer(
        self, instance: StandardInstance, state: State, running: bool, readings: Readings
    ) -> InstanceMemory:
        """Age and preset of a timer that does not run are nothing to anybody."""
        begun = bool(state.get(self._slots.get(instance, ""), True))
        memory = InstanceMemory(bool(state[f"{instance.name}#last"]), running=running, begun=begun)
        if running:
            memory.age = Units(state[f"{instance.name}#age"] * self._encoded.system.tick)
        if running and readings.preset_latched:
            known = self._encoded.presets.get(instance.name, NO_TIME)
            memory.preset = Units(state.get(f"{instance.name}#preset", known))
        return memory

    # --- afterwards ---------------------------------------------------------------------------

    def _differences(
        self, state: State, record: ScanRecord, machine: Machine, gone: frozenset[Way]
    ) -> Iterator[str]:
        system = self._encoded.system
        values = iter(self._scan([state[each] for each in self._names]))
        there = [way for way, goes in zip(self._ways, values, strict=False) if goes]
        signals = dict(zip(system.signals, values, strict=False))
        after = dict(zip(self._states, values, strict=False))
        found = [each for each, holds in zip(self._findings, values, strict=True) if holds]
        if found or record.finding is not None:
            if found != [record.finding]:
                yield f"the text ends in {_named(record.finding)}, the model in {_named(*found)}"
            return
        for way in gone.symmetric_difference(there):
            yield f"only one of them goes '{way.words}' in line {way.span.line}"
        for variable, value in signals.items():
            here = record.values[variable]
            if here != value:
                yield f"'{variable}' is {_shown(here)} in the text and {_shown(value)} in the model"
        for variable, value in self._stamped(after, after.get(CLOCK_SLOT, 0)).items():
            if record.values[variable] != value:
                yield f"'{variable}' keeps one reading in the text and another in the model"
        readings = self._readings(state)
        for instance, memory in machine.memories.items():
            expected = self._memory(instance, after, readings)
            if self._slots.get(instance, "") not in after:
                expected.begun = memory.begun
            if self._kept(memory, instance) != self._kept(expected, instance):
                yield f"'{instance.name}' remembers something else in the text than in the model"

    def _kept(self, memory: InstanceMemory, instance: StandardInstance) -> InstanceMemory:
        """What of it anybody ever looks at."""
        if instance.block in TIMERS and not memory.running:
            return InstanceMemory(memory.last, begun=memory.begun)
        return memory


def _age(stamp: Variable) -> str:
    return f"{stamp.name}#since"


def _named(*findings: object) -> str:
    return ", ".join(str(getattr(each, "kind", each)) for each in findings) or "none"


def _shown(value: Value) -> str:
    return str(value).upper() if isinstance(value, bool) else str(value)


def _goes(way: Way, record: ScanRecord, state: State) -> bool:
    return record.values[way.mark.name] is True and all(state[n] is v for n, v in way.memory)
