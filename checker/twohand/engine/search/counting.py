"""Counters of scans in a jump: what one scan adds, so many scans add so often.

A number that a program raises by one in each scan runs with the scans as a timer does with time.
Where an update adds a literal to its own state, the literal is taken as often as there are scans:
for a single scan that is the update as it is. Whether a jump with it is exact is shown like
everything about jumps (``engine.search.jump_exactness``).
"""

from __future__ import annotations

from dataclasses import replace

from twohand.engine.system.counters import additions
from twohand.engine.system.terms import Substitution
from twohand.scan.sorts import integer
from twohand.scan.transition_system import TransitionSystem


def counting(system: TransitionSystem) -> TransitionSystem:
    """The same single scans; what counts scans goes on in a jump."""
    pairs = [
        (term, integer(state.symbol) + step * system.scans)
        for state in system.states
        for term, step in additions(state)
    ]
    if not pairs:
        return system
    often = Substitution(pairs, system.elapsed.ctx)
    states = tuple(replace(state, update=often(state.update)) for state in system.states)
    return replace(system, states=states)
