"""A typed program as a transition system: one scan run symbolically.

A step is a function of state, inputs and elapsed time. What an operation with a finding gives is
of no meaning; the findings say under which condition that comes to pass.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace

import z3

from twohand.program import Expression, Program, Variable
from twohand.program.durations import Units, whole_ticks
from twohand.program.types import Duration, Enumeration, Integer
from twohand.scan.clocking import PARAMETER_PREFIX, Clocking, Readings
from twohand.scan.sorts import integer
from twohand.scan.symbolic.beginnings import Beginning, beginnings
from twohand.scan.symbolic.blocks import hidden_slots
from twohand.scan.symbolic.expressions import evaluate
from twohand.scan.symbolic.frames import Slot, SymbolicScan, never, set_slot
from twohand.scan.symbolic.integers import total
from twohand.scan.symbolic.nodes import symbol
from twohand.scan.symbolic.statements import run_routine
from twohand.scan.symbolic.terms import Term, any_of, either, equal, lifted, number_of, sort_of
from twohand.scan.symbolic.timers import CLOCK_SLOT, TIMERS, age_symbol, clock_states, older
from twohand.scan.symbolic.writes import written_variables
from twohand.scan.transition_system import StateKind, StateVariable, TransitionSystem

NO_OVERLAY: Mapping[Variable, z3.ExprRef] = {}


@dataclass(frozen=True)
class EncodedProgram:
    """A program's transition system, and its variables' terms for formulas."""

    program: Program
    clocking: Clocking
    readings: Readings
    system: TransitionSystem
    loop_bound: int
    terms: Mapping[Variable, z3.ExprRef] = field(repr=False)
    """Every variable's value at the end of the scan (an input's, in-outs apart, as sampled); of a
    reading of the clock its age."""
    presets: Mapping[str, int] = field(default_factory=dict, repr=False)
    """For each timer (by name) whose calls all have one preset, that preset in units."""
    noted: Mapping[Variable, z3.BoolRef] = field(default_factory=dict, repr=False)
    """When each of the variables to note is assigned TRUE in a scan."""

    def expression(
        self, expression: Expression, overlay: Mapping[Variable, z3.ExprRef] = NO_OVERLAY
    ) -> z3.ExprRef:
        """An expression over the end-of-scan values; ``overlay`` gives further variables' terms.

        Integers have no range in it, as in ``execute.formula_evaluator``. Raises InputError for
        a duration that is not a whole number of units."""
        readings = replace(self.readings, integers_wrap=False)
        scan = SymbolicScan(self.clocking, readings, self.loop_bound, run_routine)
        for variable, term in (*self.terms.items(), *overlay.items()):
            scan.write(variable, term)
        return lifted(evaluate(scan, expression), sort_of(expression.type))


def encode(
    program: Program,
    clocking: Clocking,
    readings: Readings,
    loop_bound: int = 100,
    note: Collection[Variable] = (),
) -> EncodedProgram:
    """The transition system of a program.

    Of the variables to ``note``, which nothing in the program reads, only that is in it when they
    are assigned TRUE: far less than their values.

    Booleans are Bool, bit strings bit-vectors, all else Int; durations are in units. ``loop_bound``
    is the number of iterations after which a loop is a finding. Raises InputError for a duration
    finer than the unit, a conversion without meaning, or a scan too long to be written out.
    """
    return _settle(program, clocking, readings, loop_bound, note).encoding()


def encode_any(
    program: Program, clocking: Clocking, readings: Readings, loop_bound: int = 100
) -> EncodedProgram:
    """The transition system of whatever has the variables of a program: at the end of each scan
    they have any values of their types. Nothing is remembered, and there is no finding."""
    scan = SymbolicScan(clocking, readings, loop_bound, run_routine)
    terms = {v: symbol(v.name, sort_of(v.type)) for v in program.variables}
    system = replace(
        _surrounded(scan),
        inputs=tuple(terms.values()),
        ranges=tuple(term for v in program.variables for term in type_ranges(v)),
        signals={v.name: term for v, term in terms.items()},
    )
    return EncodedProgram(program, clocking, readings, system, loop_bound, terms)


def _surrounded(scan: SymbolicScan) -> TransitionSystem:
    """A system of nothing yet, in the scan's time."""
    return TransitionSystem(
        states=(),
        inputs=(),
        elapsed=scan.elapsed,
        scans=scan.scans,
        shortest=whole_ticks(scan.clocking.shortest, scan.tick),
        longest=whole_ticks(scan.clocking.longest, scan.tick),
        tick=scan.tick,
    )


def _settle(
    program: Program,
    clocking: Clocking,
    readings: Readings,
    loop_bound: int,
    note: Collection[Variable],
) -> _Scan:
    """Runs the scan, and again if some timer sees more than one preset (only those latch it) or
    if no timer can start in a first scan."""

    def run(latching: frozenset[str], begins: Sequence[Beginning]) -> _Scan:
        scan = _Scan(program, SymbolicScan(clocking, readings, loop_bound, run_routine))
        scan.scan.noted = {variable: [] for variable in note}
        scan.run(latching, begins)
        return scan

    begins = beginnings(program, readings)
    scan = run(frozenset(), begins)
    varying: frozenset[str] = frozenset()
    if readings.preset_latched is not False:
        varying = scan.varying_presets()
    if varying:
        scan = run(varying, begins)
    starting = [each for each in begins if scan.can_start(each)]
    return scan if len(starting) == len(begins) else run(varying, starting)


class _Scan:
    def __init__(self, program: Program, scan: SymbolicScan) -> None:
        self.program = program
        self.scan = scan
        moving = written_variables(program) | set(program.inputs) | set(program.stamps)
        self.clock, self.stamps = program.clock, program.stamps
        if self.clock is not None:
            scan.clock, scan.tick = self.clock, Units(1)
        self.constants = frozenset(v for v in program.variables if v not in moving)
        self.hidden: dict[str, bool | int] = {}
        self.begin: dict[Slot, Term] = {}

    def run(self, latching: frozenset[str], begins: Sequence[Beginning]) -> None:
        """One scan from arbitrary state."""
        scan = self.scan
        scan.latching = latching
        for variable in self.program.variables:
            value: Term = symbol(variable.name, sort_of(variable.type))
            if variable in self.constants:
                value = self._initial(variable)
            elif variable.keeps_clock:
                value = 0 if variable is self.clock else age_symbol(variable)
            self.begin[variable] = value
        for instance in self.program.instances:
            self.hidden.update(hidden_slots(instance, instance.name in latching))
        scan.begun = {i: beginning.slot for beginning in begins for i in beginning.instances}
        self.hidden.update(dict.fromkeys(scan.begun.values(), False))
        if self.clock is not None:
            scan.sorts[CLOCK_SLOT] = z3.IntSort()
            self.begin[CLOCK_SLOT] = symbol(CLOCK_SLOT, z3.IntSort())
        for name, initial in self.hidden.items():
            scan.sorts[name] = z3.BoolSort() if isinstance(initial, bool) else z3.IntSort()
            self.begin[name] = symbol(name, scan.sorts[name])
        for variable in self.program.variables:
            if variable.unset_at_call:
                scan.sorts[set_slot(variable)] = z3.BoolSort()
                scan.write(set_slot(variable), True)
        for slot, first in self.begin.items():
            scan.write(slot, first)
        for slot in dict.fromkeys(scan.begun.values()):
            scan.write(slot, True)
        for instance in self.program.instances:
            if instance.block in TIMERS:
                age = f"{instance.name}#age"
                scan.write(age, total(scan.number(age), scan.elapsed))
        for stamp in self._aging:
            scan.write(stamp, older(scan, scan.number(stamp)))
        run_routine(scan, self.program.routine, {})

    @property
    def _aging(self) -> tuple[Slot, ...]:
        return () if self.clock is None else (*self.stamps, CLOCK_SLOT)

    def varying_presets(self) -> frozenset[str]:
        return frozenset(
            name
            for name, seen in self.scan.presets.items()
            if not all(isinstance(preset, int) and preset == seen[0] for preset in seen)
        )

    def can_start(self, beginning: Beginning) -> bool:
        """Whether one of its timers may start in a first scan, as far as z3 sees."""
        starts = any_of(self.scan.starts.get(beginning.slot, ()))
        if isinstance(starts, bool):
            return starts
        moving = [
            v for v in self.program.variables if v not in self.constants and not v.keeps_clock
        ]
        kept = set(self.program.inputs)
        first: dict[Slot, Term] = {beginning.slot: False}
        first.update((v, self._initial(v)) for v in beginning.known(moving) - kept)
        for instance in beginning.known_instances(self.program.instances):
            first.update(hidden_slots(instance, instance.name in self.scan.latching))
        pairs = [
            (lifted(self.begin[slot], self.scan.sort(slot)), lifted(value, self.scan.sort(slot)))
            for slot, value in first.items()
        ]
        return not never(z3.substitute(starts, *pairs), z3.Solver())

    def _initial(self, variable: Variable) -> Term:
        return self.scan.converted(variable.initial, variable.type, variable.span)

    # --- the result

    def encoding(self) -> EncodedProgram:
        scan, program = self.scan, self.program
        end = scan.end()
        terms = self._terms(end)
        states = [*self._variables(terms), *self._memories(end), *self._parameters()]
        if self.clock is not None:
            states += clock_states(scan, {v: number_of(end[v]) for v in self.stamps})
        system = replace(
            _surrounded(scan),
            states=tuple(states),
            inputs=tuple(symbol(v.name, sort_of(v.type)) for v in program.inputs),
            ranges=tuple(term for v in program.inputs for term in self._ranges(v)),
            signals={v.name: term for v, term in terms.items() if not v.keeps_clock},
            findings=tuple(scan.findings()),
        )
        return EncodedProgram(
            program,
            scan.clocking,
            scan.readings,
            system,
            scan.loop_bound,
            terms,
            {name: seen[0] for name, seen in scan.presets.items() if isinstance(seen[0], int)},
            {v: lifted(any_of(seen), z3.BoolSort()) for v, seen in scan.noted.items()},
        )

    def _ranges(self, variable: Variable) -> list[z3.BoolRef]:
        if isinstance(variable.type, Duration) and not variable.keeps_clock:
            return self._from_zero_on(variable)
        if not variable.keeps_clock:
            return type_ranges(variable)
        value = integer(symbol(variable.name, z3.IntSort()))
        return [value >= 0, value < self.scan.clocking.clock_range]

    def _from_zero_on(self, variable: Variable) -> list[z3.BoolRef]:
        """What an unsigned duration is, where something in the program depends on that."""
        name, scan = "durations_are_signed", self.scan
        if name not in scan.parameters and scan.readings.durations_are_signed is not False:
            return []
        value = integer(symbol(variable.name, z3.IntSort()))
        return [lifted(either(scan.reading(name), value >= 0), z3.BoolSort())]

    def _terms(self, end: Mapping[Slot, Term]) -> dict[Variable, z3.ExprRef]:
        sampled = set(self.program.sampled)
        return {
            v: lifted((self.begin if v in sampled else end)[v], sort_of(v.type))
            for v in self.program.variables
        }

    def _variables(self, terms: Mapping[Variable, z3.ExprRef]) -> list[StateVariable]:
        fixed = self.constants | {*self.program.inputs, *self.stamps}
        return [
            StateVariable(
                v.name,
                symbol(v.name, sort_of(v.type)),
                lifted(self._initial(v), sort_of(v.type)),
                terms[v],
            )
            for v in self.program.variables
            if v not in fixed
        ]

    def _memories(self, end: Mapping[Slot, Term]) -> list[StateVariable]:
        states = []
        for name, initial in self.hidden.items():
            sort = self.scan.sorts[name]
            kind = StateKind.CLOCK if name.endswith("#age") else StateKind.DISCRETE
            update = lifted(end[name], sort)
            states.append(
                StateVariable(name, symbol(name, sort), lifted(initial, sort), update, kind)
            )
        return states

    def _parameters(self) -> list[StateVariable]:
        return [
            StateVariable(PARAMETER_PREFIX + name, parameter, None, parameter)
            for name, parameter in self.scan.parameters.items()
        ]


def type_ranges(variable: Variable) -> list[z3.BoolRef]:
    """What the type says of the variable's symbol; durations are any number of units."""
    kind = variable.type
    value = symbol(variable.name, sort_of(kind))
    if isinstance(kind, Integer):
        number = integer(value)
        return [number >= kind.lowest, number <= kind.highest]
    if isinstance(kind, Enumeration):
        members = any_of([equal(value, number) for _, number in kind.values])
        return [lifted(members, z3.BoolSort())]
    return []
