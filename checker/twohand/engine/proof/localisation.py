"""Proof of a part: only some states keep their update, every other one is a free input.

Localisation reduction (R. Kurshan, Computer-Aided Verification of Coordinating Processes, 1994).
Whatever is proved of the part holds of the whole, which has fewer runs; a run of the part counts
only where the whole has it too. Where it has not, the states come in whose real values make the
difference.
"""

from __future__ import annotations

from collections.abc import Generator
from dataclasses import dataclass, replace
from functools import cached_property

import z3

from twohand.engine.proof.ic3 import prove
from twohand.engine.system.budget import SCAN, Budget, Engine, Exhausted
from twohand.engine.system.cone import cone
from twohand.engine.system.contract import Answer, Proved, Unknown, Violated
from twohand.engine.system.runs import Simulator, given
from twohand.engine.system.terms import name, symbols, value_term
from twohand.engine.system.unrolling import Unrolling
from twohand.program.types import Value
from twohand.scan.transition_system import StateVariable, TransitionSystem

METHOD = "a part of its variables"
_LONGEST_RUN = 400
"""Scans of a run of the part that is followed in the whole."""
_NOTHING_NEW = "a part of the variables is not enough for a proof"


def prove_part(system: TransitionSystem, bad: z3.BoolRef, budget: Budget) -> Engine:
    """Proved, Violated, or Unknown; of ``system``, which is a cone of influence."""
    return (yield from _Localisation(system, bad, budget).run())


@dataclass(frozen=True)
class _Part:
    """``hidden`` are the states that are inputs of ``system``, its other states are visible."""

    system: TransitionSystem
    hidden: tuple[StateVariable, ...]


class _Localisation:
    def __init__(self, system: TransitionSystem, bad: z3.BoolRef, budget: Budget) -> None:
        self._system = system
        self._bad = bad
        self._budget = budget
        self._visible = _visible_at_first(system, bad)

    @cached_property
    def _whole(self) -> Simulator:
        return Simulator(self._system, self._bad)

    def run(self) -> Engine:
        try:
            while True:
                part = self._part()
                if not part.hidden:
                    raise Exhausted(_NOTHING_NEW)
                answer = yield from prove(part.system, self._bad, self._budget)
                if isinstance(answer, Proved):
                    return Proved(answer.clauses, f"{answer.method}, of {METHOD}")
                if isinstance(answer, Unknown):
                    return Unknown(answer.reason)
                found = yield from self._followed(answer, part)
                if found is not None:
                    return found
        except Exhausted as reason:
            return Unknown(str(reason))

    def _part(self) -> _Part:
        """The cone of the bad term where what is not visible is free."""
        system = self._system
        kept = [s for s in system.states if name(s.symbol) in self._visible]
        hidden = [s for s in system.states if name(s.symbol) not in self._visible]
        inputs = (*system.inputs, *(s.symbol for s in hidden))
        part = cone(replace(system, states=tuple(kept), inputs=inputs), self._bad)
        met = {name(symbol) for symbol in part.inputs}
        return _Part(part, tuple(s for s in hidden if name(s.symbol) in met))

    def _followed(self, run: Violated, part: _Part) -> Generator[None, None, Answer | None]:
        """The run in the whole; where that has another one, None with more states visible."""
        if len(run.steps) > _LONGEST_RUN:
            raise Exhausted("a run of a part of the variables is too long to be followed")
        self._budget.spend(SCAN * len(run.steps))
        confirmed = self._whole.confirmed(run)
        if confirmed is not None:
            return confirmed
        core = yield from self._differing(run, part)
        if not core:
            raise Exhausted(_NOTHING_NEW)
        self._visible |= core
        return None

    def _differing(self, run: Violated, part: _Part) -> Generator[None, None, set[str]]:
        """The hidden states whose real values, with the run's inputs, keep it from being bad."""
        context = self._system.elapsed.ctx
        unrolling = Unrolling(part.system, self._bad, self._budget)
        labels = {name(s.symbol): z3.Bool(f"#real {name(s.symbol)}", context) for s in part.hidden}
        for step, real in zip(run.steps, self._real_values(run), strict=False):
            stage = unrolling.extend()
            unrolling.solver.add(stage.elapsed == step.elapsed)
            for symbol, here in zip(part.system.inputs, stage.inputs, strict=True):
                label = labels.get(name(symbol))
                if label is None:
                    unrolling.solver.add(here == value_term(given(step, symbol), symbol))
                else:
                    same = here == value_term(real[name(symbol)], symbol)
                    unrolling.solver.add(z3.Implies(label, same))
        for state, here in zip(part.system.states, unrolling.stages[0].states, strict=True):
            if name(state.symbol) in run.initial:
                chosen = run.initial[name(state.symbol)]
                unrolling.solver.add(here == value_term(chosen, state.symbol))
        if (yield from unrolling.ask(*labels.values())) == z3.sat:
            return set()
        core = {label.get_id() for label in unrolling.solver.unsat_core()}
        return {own for own, label in labels.items() if label.get_id() in core}

    def _real_values(self, run: Violated) -> list[dict[str, Value]]:
        """Of all states before each scan of the run and after it, with its inputs and its times."""
        names = [name(s.symbol) for s in self._system.states]
        return [dict(zip(names, state, strict=True)) for state in self._whole.visited(run)]


def hides(system: TransitionSystem, bad: z3.BoolRef) -> bool:
    """Whether there is anything to hide: some state that neither the bad term nor an assumption
    reads."""
    visible = _visible_at_first(system, bad)
    return any(name(s.symbol) not in visible for s in system.states)


def _visible_at_first(system: TransitionSystem, bad: z3.BoolRef) -> set[str]:
    """What the bad term and the assumptions read, and what is chosen once."""
    read = symbols([bad, *system.constraints, *system.initial_constraints])
    chosen = [s.symbol for s in system.states if s.initial is None]
    return {name(symbol) for symbol in (*read, *chosen)}
