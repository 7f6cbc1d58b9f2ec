"""Concrete runs of single scans: candidates of the searches are run before they are believed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import z3

from twohand.engine.system.compiled_terms import compiled
from twohand.engine.system.contract import Step, Violated
from twohand.engine.system.terms import name
from twohand.program.durations import ONE_SCAN, Scans
from twohand.program.types import Value
from twohand.scan.transition_system import TransitionSystem


class Simulator:
    """Evaluates single scans of a system, whether they are bad, and a ``quantity`` in them."""

    def __init__(
        self, system: TransitionSystem, bad: z3.BoolRef, quantity: z3.ArithRef | None = None
    ) -> None:
        self.system = system
        self._states = [state.symbol for state in system.states]
        self._inputs = [name(symbol) for symbol in system.inputs]
        self._defaults = [_default(symbol) for symbol in system.inputs]
        context = system.elapsed.ctx
        allowed = z3.And([*system.ranges, *system.constraints, z3.BoolVal(True, context)])
        arguments = [*self._states, *system.inputs, system.elapsed, system.scans]
        results = [bad, allowed, *(state.update for state in system.states)]
        self._scan = compiled(arguments, results)
        self._quantity = None if quantity is None else compiled(arguments, [quantity])
        self._free = [state for state in system.states if state.initial is None]
        given = [(s.symbol, s.initial) for s in system.states if s.initial is not None]
        self._given_names = [name(symbol) for symbol, _ in given]
        start = [initial for _, initial in given]
        legal = z3.And([*system.initial_constraints, z3.BoolVal(True, context)])
        self._start = compiled([s.symbol for s in self._free], start)
        self._legal = compiled(self._states, [legal])

    def first_state(self, initial: Mapping[str, Value]) -> tuple[Value, ...] | None:
        """The first state with these free values; None where no run may start there."""
        free = {name(s.symbol): initial.get(name(s.symbol), _default(s.symbol)) for s in self._free}
        given = dict(zip(self._given_names, self._start(list(free.values())), strict=True))
        values = tuple((free | given)[name(symbol)] for symbol in self._states)
        return values if self._legal(values)[0] else None

    def after(
        self, state: Sequence[Value], step: Step, scans: Scans = ONE_SCAN
    ) -> tuple[bool, bool, tuple[Value, ...]]:
        """Whether the scan is bad, whether the assumptions allow it, and the next state."""
        bad, allowed, *following = self._scan(self._arguments(state, step, scans))
        return bool(bad), bool(allowed), tuple(following)

    def _arguments(
        self, state: Sequence[Value], step: Step, scans: Scans = ONE_SCAN
    ) -> list[Value]:
        inputs = [
            step.inputs.get(symbol, default)
            for symbol, default in zip(self._inputs, self._defaults, strict=True)
        ]
        return [*state, *inputs, step.elapsed, scans]

    def measured(self, run: Violated) -> int:
        """The quantity in the last scan of a run that can be run."""
        state = self.first_state(run.initial)
        for _, _, following in self.states(replace(run, steps=run.steps[:-1])):
            state = following
        assert state is not None
        return self.quantity_in(state, run.steps[-1])

    def quantity_in(self, state: Sequence[Value], step: Step) -> int:
        """The quantity in a scan from this state."""
        assert self._quantity is not None
        return int(self._quantity(self._arguments(state, step))[0])

    def states(self, run: Violated) -> Iterator[tuple[bool, bool, tuple[Value, ...]]]:
        """``after`` of each scan of a run, in order."""
        state = self.first_state(run.initial)
        if state is None:
            return
        for step in run.steps:
            result = self.after(state, step)
            yield result
            state = result[2]

    def visited(self, run: Violated) -> list[tuple[Value, ...]]:
        """The first state of a run and that after each of its scans; none where it may not start
        there."""
        first = self.first_state(run.initial)
        return [] if first is None else [first, *(after for _, _, after in self.states(run))]

    def confirmed(self, run: Violated, whole: bool = False) -> Violated | None:
        """The run up to its first bad scan (``whole``: all of it, where its last scan is bad), if
        it is legal up to there and has one."""
        system = self.system
        for count, (bad, allowed, _) in enumerate(self.states(run), 1):
            if not allowed or not system.shortest <= run.steps[count - 1].elapsed <= system.longest:
                return None
            if bad and (not whole or count == len(run.steps)):
                return Violated(run.steps[:count], run.initial, run.method)
        return None


def given(step: Step, symbol: z3.ExprRef) -> Value:
    """The value of an input in a step; one that does not matter is FALSE or 0."""
    return step.inputs.get(name(symbol), _default(symbol))


def _default(symbol: z3.ExprRef) -> Value:
    return False if z3.is_bool(symbol) else 0
