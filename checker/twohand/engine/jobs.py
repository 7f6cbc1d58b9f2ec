"""What jobs are about: a transition system with terms, in a form that can travel to a worker.

A problem travels as text, because z3's terms cannot; a worker keeps the last few that it read.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache

import z3

from twohand.engine.proof.equivalences import Prefixes
from twohand.scan import serialisation as exchange
from twohand.scan.transition_system import TransitionSystem


@dataclass(frozen=True)
class Problem:
    """A system and terms over it (``twohand.scan.serialisation``).

    ``fixed`` gives parameters (states without initial value) a value; ``without`` are the numbers
    of constraints (assumptions) that are left out; ``equivalent`` are the prefixes of states that
    may be equal (``twohand.engine.proof.equivalences``).
    """

    text: str = field(repr=False)
    fixed: tuple[tuple[str, bool], ...] = ()
    without: tuple[int, ...] = ()
    equivalent: Prefixes | None = None

    def loaded(self) -> tuple[TransitionSystem, list[z3.ExprRef]]:
        system, terms = _loaded(self.text)
        return self._varied(system), terms

    def afresh(self) -> tuple[TransitionSystem, list[z3.ExprRef]]:
        """Read from the text again, whatever was done with what was read before."""
        system, terms = exchange.load(self.text)
        return self._varied(system), list(terms)

    def _varied(self, system: TransitionSystem) -> TransitionSystem:
        kept = (c for n, c in enumerate(system.constraints) if n not in self.without)
        return with_parameters(replace(system, constraints=tuple(kept)), dict(self.fixed))


@lru_cache(maxsize=4)
def _loaded(text: str) -> tuple[TransitionSystem, list[z3.ExprRef]]:
    system, terms = exchange.load(text)
    return system, list(terms)


def with_parameters(system: TransitionSystem, values: Mapping[str, bool]) -> TransitionSystem:
    """The system with these parameters' values known from the start."""
    states = tuple(
        replace(state, initial=z3.BoolVal(values[state.name], system.elapsed.ctx))
        if state.initial is None and state.name in values
        else state
        for state in system.states
    )
    return replace(system, states=states)
