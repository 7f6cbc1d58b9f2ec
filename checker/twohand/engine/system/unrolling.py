"""An unrolled path of a system: fresh symbols each step, one incremental solver.

A step is an ordinary scan, or, where the path has a ``Guard``, a jump: several scans with the
inputs of the step before in which only time passes.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import z3

from twohand.engine.system.budget import Asker, Asking, Budget
from twohand.engine.system.contract import Step, Violated
from twohand.engine.system.models import Reader
from twohand.engine.system.terms import Substitution, name
from twohand.program.durations import Scans, Ticks
from twohand.program.types import Value
from twohand.scan.sorts import Sorted
from twohand.scan.transition_system import StateVariable, TransitionSystem


@dataclass(frozen=True)
class Guard:
    """What must end a jump as it began: these states, and the truth of these terms over the
    state (the side of a threshold that a clock is on). ``growing`` are clocks that must not come
    round in it."""

    fixed: tuple[StateVariable, ...]
    watched: tuple[z3.BoolRef, ...] = ()
    growing: tuple[z3.ArithRef, ...] = ()


def goes_on(before: z3.ArithRef, after: z3.ArithRef) -> z3.BoolRef:
    """Whether a clock goes on, or stays at 0: where it comes round, it does neither."""
    return z3.Or(after > before, z3.And(before == 0, after == 0))


@dataclass(frozen=True)
class Stage:
    """The symbols of one step and the replacement that gives a term its value there."""

    states: tuple[z3.ExprRef, ...]
    inputs: tuple[z3.ExprRef, ...]
    elapsed: z3.ArithRef
    scans: z3.ArithRef
    jump: z3.BoolRef
    at: Substitution
    bad: z3.BoolRef


@dataclass(frozen=True)
class Move:
    """One step of a candidate: an ordinary scan, or ``scans`` scans that share ``elapsed``."""

    inputs: dict[str, Value]
    elapsed: Ticks
    scans: Scans


class Unrolling:
    """Grows a step at a time; its queries ask for a bad scan in the last step."""

    def __init__(
        self,
        system: TransitionSystem,
        bad: z3.BoolRef,
        budget: Budget,
        guard: Guard | None = None,
        solver: z3.Solver | None = None,
        labels: Mapping[str, z3.BoolRef] | None = None,
    ) -> None:
        """``labels`` are conditions under which the states so named keep their updates."""
        self.system = system
        self._bad = bad
        self._guard = guard
        self._context = system.elapsed.ctx
        self.solver = z3.SimpleSolver(ctx=self._context) if solver is None else solver
        self._asker = Asker(self.solver, budget)
        self._labels = labels or {}
        self.stages: list[Stage] = []
        self._states = tuple(state.symbol for state in system.states)
        self._free = tuple(s.symbol for s in system.states if s.initial is None)
        self.solver.add(Substitution(self._pairs_at(0), self._context)(system.initial))

    def _copy(self, symbol: Sorted, step: int) -> Sorted:
        return z3.Const(f"{name(symbol)}@{step}", symbol.sort())

    def _pairs_at(self, step: int) -> list[tuple[z3.ExprRef, z3.ExprRef]]:
        return [(symbol, self._copy(symbol, step)) for symbol in self._states]

    def _timing(self, step: int) -> tuple[z3.ArithRef, z3.ArithRef]:
        """Elapsed time and scans of a step: literals where they are not free."""
        system = self.system
        if self._guard is not None:
            return self._copy(system.elapsed, step), self._copy(system.scans, step)
        one = z3.IntVal(1, self._context)
        if system.shortest == system.longest:
            return z3.IntVal(system.shortest, self._context), one
        return self._copy(system.elapsed, step), one

    def extend(self) -> Stage:
        """Adds one step and its relation to the next state."""
        system, step = self.system, len(self.stages)
        pairs = self._pairs_at(step)
        inputs = tuple(self._copy(symbol, step) for symbol in system.inputs)
        elapsed, scans = self._timing(step)
        timing = [(system.elapsed, elapsed), (system.scans, scans)]
        at = Substitution(
            [*pairs, *zip(system.inputs, inputs, strict=True), *timing], self._context
        )
        bad = z3.Bool(f"#bad@{step}", self._context)
        jump = z3.Bool(f"#jump@{step}", self._context)
        stage = Stage(tuple(c for _, c in pairs), inputs, elapsed, scans, jump, at, bad)
        self.stages.append(stage)
        self._relate(stage, step)
        return stage

    def _relate(self, stage: Stage, step: int) -> None:
        system, solver, at = self.system, self.solver, stage.at
        solver.add([at(term) for term in (*system.ranges, *system.constraints)])
        solver.add(stage.bad == at(self._bad))
        following = [self._copy(symbol, step + 1) for symbol in self._states]
        for copy, state in zip(following, system.states, strict=True):
            follows = copy == at(state.update)
            label = self._labels.get(state.name)
            solver.add(follows if label is None else z3.Implies(label, follows))
        elapsed, scans = stage.elapsed, stage.scans
        if self._guard is None:
            solver.add(z3.Not(stage.jump))
            solver.add(elapsed >= system.shortest, elapsed <= system.longest)
            return
        solver.add(elapsed >= system.shortest * scans, elapsed <= system.longest * scans)
        solver.add(scans >= 1, z3.Or(stage.jump, scans == 1))
        if step == 0:
            solver.add(z3.Not(stage.jump))
        else:
            self._restrain(stage, self.stages[step - 1], following)

    def _restrain(self, stage: Stage, before: Stage, following: list[z3.ExprRef]) -> None:
        """What a jump must keep; two jumps in a row are one."""
        assert self._guard is not None
        same = [a == b for a, b in zip(stage.inputs, before.inputs, strict=True)]
        after = Substitution(list(zip(self._states, following, strict=True)), self._context)
        for state in self._guard.fixed:
            same.append(after(state.symbol) == stage.at(state.symbol))
        for term in self._guard.watched:
            same.append(after(term) == stage.at(term))
        for clock in self._guard.growing:
            same.append(goes_on(stage.at(clock), after(clock)))
        self.solver.add(z3.Or(z3.Not(stage.jump), z3.And([*same, z3.Not(before.jump)])))

    def ask(self, *assumptions: z3.BoolRef) -> Asking:
        """Can the last step be an ordinary bad scan?"""
        last = self.stages[-1]
        return (yield from self._asker.ask([last.bad, z3.Not(last.jump), *assumptions]))

    def candidate(self) -> tuple[list[Move], dict[str, Value]]:
        """The moves and free initial values of the last model."""
        model = self.solver.model()
        moves: list[Move] = []
        names = [name(symbol) for symbol in self.system.inputs]
        for stage in self.stages:
            read = Reader([*stage.inputs, stage.elapsed, stage.scans], self._context)
            *inputs, elapsed, scans = read(model)
            moves.append(Move(dict(zip(names, inputs, strict=True)), Ticks(elapsed), Scans(scans)))
        free = Reader([self._copy(symbol, 0) for symbol in self._free], self._context)(model)
        return moves, dict(zip((name(s) for s in self._free), free, strict=True))


def expanded(moves: list[Move], initial: dict[str, Value], method: str) -> Violated:
    """The moves as single scans; a jump's time is spread evenly."""
    steps: list[Step] = []
    for move in moves:
        share, rest = divmod(move.elapsed, move.scans)
        longer = Step(move.inputs, Ticks(share + 1))
        usual = Step(move.inputs, Ticks(share))
        steps.extend([longer] * rest + [usual] * (move.scans - rest))
    return Violated(tuple(steps), initial, method)
