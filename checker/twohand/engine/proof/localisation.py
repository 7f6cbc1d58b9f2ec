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
from twohand.engine.system.budget import SCAN, Asker, Budget, Engine, Exhausted
from twohand.engine.system.cone import cone
from twohand.engine.system.contract import Answer, Proved, Step, Unknown, Violated
from twohand.engine.system.runs import Simulator
from twohand.engine.system.terms import Substitution, name, symbols, value_term
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
        read = symbols([bad, *system.constraints, *system.initial_constraints])
        self._visible = {name(symbol) for symbol in read}
        self._visible |= {name(s.symbol) for s in system.states if s.initial is None}

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
        real = self._real_values(run)
        context = self._system.elapsed.ctx
        unrolling = Unrolling(part.system, self._bad, self._budget)
        labels = {name(s.symbol): z3.Bool(f"#real {name(s.symbol)}", context) for s in part.hidden}
        places = {name(symbol): at for at, symbol in enumerate(part.system.inputs)}
        names = {label.get_id(): own for own, label in labels.items()}
        for step, values in zip(run.steps, real, strict=True):
            stage = unrolling.extend()
            unrolling.solver.add(stage.elapsed == step.elapsed)
            for symbol in part.system.inputs:
                own, here = name(symbol), stage.inputs[places[name(symbol)]]
                if own in labels:
                    same = here == value_term(values[own], symbol)
                    unrolling.solver.add(z3.Implies(labels[own], same))
                else:
                    unrolling.solver.add(here == value_term(_given(step, symbol), symbol))
        asker = Asker(unrolling.solver, self._budget)
        last = unrolling.stages[-1]
        unrolling.solver.add(self._begun(run, unrolling))
        answer = yield from asker.ask([last.bad, *labels.values()])
        if answer == z3.sat:
            return set()
        core = unrolling.solver.unsat_core()
        return {names[label.get_id()] for label in core if label.get_id() in names}

    def _begun(self, run: Violated, unrolling: Unrolling) -> list[z3.BoolRef]:
        """The parameters of the run."""
        first = unrolling.stages[0]
        free = [s for s in unrolling.system.states if s.initial is None]
        at = Substitution(
            list(zip((s.symbol for s in unrolling.system.states), first.states, strict=True)),
            self._system.elapsed.ctx,
        )
        chosen = [(s, run.initial[name(s.symbol)]) for s in free if name(s.symbol) in run.initial]
        return [at(s.symbol) == value_term(value, s.symbol) for s, value in chosen]

    def _real_values(self, run: Violated) -> list[dict[str, Value]]:
        """Of all states before each scan of the run, with its inputs and its times."""
        names = [name(s.symbol) for s in self._system.states]
        state = self._whole.first_state(run.initial)
        assert state is not None
        found = []
        for step in run.steps:
            found.append(dict(zip(names, state, strict=True)))
            state = self._whole.after(state, step)[2]
        return found


def _given(step: Step, symbol: z3.ExprRef) -> Value:
    default: Value = False if z3.is_bool(symbol) else 0
    return step.inputs.get(name(symbol), default)


def hides(system: TransitionSystem, bad: z3.BoolRef) -> bool:
    """Whether there is anything to hide: some state that neither the bad term nor an assumption
    reads."""
    read = symbols([bad, *system.constraints, *system.initial_constraints])
    visible = {name(symbol) for symbol in read}
    return any(s.initial is not None and name(s.symbol) not in visible for s in system.states)
