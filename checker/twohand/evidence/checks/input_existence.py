"""Whether the assumptions always leave a possible input; else everything becomes provable.

The assumptions speak of inputs and their past. Inputs are eliminated by witnesses: a concrete
choice of inputs gives the states that allow it, and a state that no choice found so far allows is
asked for another. The question is then whether a state that allows none can be reached.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import z3

from twohand.engine.jobs import Problem
from twohand.engine.system.budget import Budget
from twohand.engine.system.cone import cone
from twohand.engine.system.contract import Proved, Unknown, Violated
from twohand.engine.system.runs import Simulator
from twohand.evidence.proofs.query import Certified, certify, decided
from twohand.program.durations import NO_SCANS, Scans
from twohand.scan.transition_system import StateVariable, TransitionSystem

_MOST_CHOICES = 64
_MOST_RETURNS = 16


@dataclass(frozen=True)
class Stuck:
    """After ``scans`` scans that these ``assumptions`` (by number) allow, no input meets them all;
    without any one of them there is one."""

    scans: Scans
    assumptions: tuple[int, ...]


@dataclass(frozen=True)
class CheckAssumptions:
    """A job: Certified where every reachable past allows a next input, else Stuck or Unknown."""

    problem: Problem
    effort: float

    def __call__(self) -> Certified | Stuck | Unknown:
        system, _ = self.problem.loaded()
        if _solver(system.initial).check() == z3.unsat:
            return Stuck(NO_SCANS, tuple(range(len(system.constraints))))
        answer = _decide(system, system.constraints, Budget(self.effort))
        if not isinstance(answer, int):
            return answer
        return self._least(system, answer)

    def _least(self, system: TransitionSystem, scans: Scans) -> Stuck:
        """The contradiction without the assumptions that have no part in it, later ones kept
        rather than earlier ones."""
        kept = list(range(len(system.constraints)))
        for number in range(len(system.constraints)):
            fewer = [each for each in kept if each != number]
            answer = _decide(
                system, [system.constraints[each] for each in fewer], Budget(self.effort)
            )
            if isinstance(answer, int):
                kept, scans = fewer, answer
        return Stuck(scans, tuple(kept))


def _decide(
    system: TransitionSystem, constraints: Sequence[z3.BoolRef], budget: Budget
) -> Certified | Unknown | Scans:
    """Certified, Unknown, or the number of scans before the one that has no input."""
    allowed = z3.And([*system.ranges, *constraints, z3.BoolVal(True, system.elapsed.ctx)])
    choices = _choices(system, allowed)
    for _ in range(_MOST_RETURNS):
        stuck = z3.Not(z3.Or([*choices, z3.BoolVal(False, allowed.ctx)]))
        free, bad = _unassumed(system, allowed, stuck)
        answer = decided(free, bad, budget)
        if isinstance(answer, Proved):
            return certify(free, bad, answer)
        if isinstance(answer, Unknown):
            return answer
        another = _another(cone(free, bad), bad, answer, system, allowed)
        if another is None:
            return Scans(len(answer.steps) - 1)
        choices.append(another)
    return Unknown("the assumptions relate numbers in more ways than were looked at")


def _choices(system: TransitionSystem, allowed: z3.BoolRef) -> list[z3.BoolRef]:
    """The states that allow each of some choices of inputs; together, where there are few, all
    states that allow any. Extreme numbers first: they often serve every state."""
    solver = _solver(allowed)
    found: list[z3.BoolRef] = []

    def add_choices(most: int, *numbers: z3.BoolRef) -> None:
        while len(found) < most and solver.check(*numbers) == z3.sat:
            found.append(_allowing(system, allowed, solver.model()))
            solver.add(z3.Not(found[-1]))

    for relation in (z3.is_ge, z3.is_le):
        limits = [bound for bound in system.ranges if relation(bound)]
        if limits:
            add_choices(_MOST_CHOICES // 4, *(limit.arg(0) == limit.arg(1) for limit in limits))
    add_choices(_MOST_CHOICES)
    return found


def _allowing(system: TransitionSystem, allowed: z3.BoolRef, model: z3.ModelRef) -> z3.BoolRef:
    values = [(symbol, model.eval(symbol, model_completion=True)) for symbol in system.inputs]
    return z3.simplify(z3.substitute(allowed, *values))


def _unassumed(
    system: TransitionSystem, allowed: z3.BoolRef, stuck: z3.BoolRef
) -> tuple[TransitionSystem, z3.BoolRef]:
    """The system without its assumptions, and the term 'so far they were met, and now no input
    meets them'."""
    context = system.elapsed.ctx
    met = z3.Bool("#assumptions met", context)
    latch = StateVariable("#assumptions met", met, z3.BoolVal(True, context), z3.And(met, allowed))
    free = replace(system, states=(*system.states, latch), constraints=())
    return free, z3.And(met, stuck)


def _another(
    free: TransitionSystem,
    bad: z3.BoolRef,
    run: Violated,
    system: TransitionSystem,
    allowed: z3.BoolRef,
) -> z3.BoolRef | None:
    """What a further choice of inputs allows, found at the end of a run that seemed stuck."""
    simulator = Simulator(free, bad)
    state = simulator.first_state(run.initial)
    for _, _, following in simulator.states(replace(run, steps=run.steps[:-1])):
        state = following
    if state is None:
        return None
    here = [
        symbol.symbol == value
        for symbol, value in zip(free.states, state, strict=True)
        if symbol.name != "#assumptions met"
    ]
    solver = _solver(z3.And(allowed, *here))
    if solver.check() != z3.sat:
        return None
    return _allowing(system, allowed, solver.model())


def _solver(term: z3.BoolRef) -> z3.Solver:
    solver = z3.Solver(ctx=term.ctx)
    solver.add(term)
    return solver
