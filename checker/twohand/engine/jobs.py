"""What jobs are about: a transition system with terms, in a form that can travel to a worker.

A problem travels as text, because z3's terms cannot. Each question reads it into a z3 context of
its own: what a context was asked before changes the models that it finds, and a worker's questions
depend on how many workers there are.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import z3

from twohand.engine.proof.equivalences import Prefixes
from twohand.scan import serialisation as exchange
from twohand.scan.transition_system import TransitionSystem


@dataclass(frozen=True)
class Problem:
    """A system and terms over it (``twohand.scan.serialisation``).

    ``fixed`` gives parameters (states without initial value) a value; ``without`` are the numbers
    of constraints (assumptions) that are left out; ``equivalent`` are the prefixes of states that
    may be equal (``twohand.engine.proof.equivalences``). ``hanging`` are the numbers of the terms
    that can depend on inputs that stand for what nobody computes, each with the texts of those: a
    run to such a term shows nothing.
    """

    text: str = field(repr=False)
    fixed: tuple[tuple[str, bool], ...] = ()
    without: tuple[int, ...] = ()
    equivalent: Prefixes | None = None
    hanging: tuple[tuple[int, tuple[str, ...]], ...] = ()

    def hangs_on(self, index: int) -> tuple[str, ...]:
        """What the term of this number hangs on."""
        return dict(self.hanging).get(index, ())

    def loaded(self) -> tuple[TransitionSystem, list[z3.ExprRef]]:
        """Read from the text, in a context in which there is nothing else."""
        system, terms = exchange.load(self.text, z3.Context())
        return self._varied(system), list(terms)

    def _varied(self, system: TransitionSystem) -> TransitionSystem:
        kept = (c for n, c in enumerate(system.constraints) if n not in self.without)
        return with_parameters(replace(system, constraints=tuple(kept)), dict(self.fixed))


def with_parameters(system: TransitionSystem, values: Mapping[str, bool]) -> TransitionSystem:
    """The system with these parameters' values known from the start."""
    states = tuple(
        replace(state, initial=z3.BoolVal(values[state.name], system.elapsed.ctx))
        if state.initial is None and state.name in values
        else state
        for state in system.states
    )
    return replace(system, states=states)
