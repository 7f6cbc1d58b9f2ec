"""A run with scans before power-up: in them inputs are sampled, and nothing runs.

A run begins with any number of such scans. In each of them the input ``#power-up`` is FALSE; the
first scan of the run is the first one in which it is TRUE. Until then only monitors that are older
than the run go on, and only their assumptions are met; everything else is as it begins.
"""

from __future__ import annotations

from collections.abc import Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace

import z3

from twohand.scan.sorts import Sorted
from twohand.scan.transition_system import StateVariable, TransitionSystem

POWER_UP = "#power-up"
"""The input that is FALSE in a scan before power-up and TRUE in the first scan of the run."""
_POWERED = "#powered"


@dataclass(frozen=True)
class Past:
    """What of a system is older than the run: the names of states, and for each constraint the one
    to put in its place and whether it is. ``first_scan`` is the state that is TRUE before the first
    scan alone (None: there is none)."""

    states: AbstractSet[str]
    first_scan: z3.BoolRef | None
    constraints: Sequence[tuple[z3.BoolRef, bool]]


def with_past(
    system: TransitionSystem, terms: Sequence[z3.ExprRef], past: Past
) -> tuple[TransitionSystem, list[z3.ExprRef]]:
    """The system whose runs begin with scans before power-up, and the terms over it: a Boolean one
    is FALSE in such a scan, any other without meaning."""
    assert len(system.constraints) == len(past.constraints)
    context = system.elapsed.ctx
    power_up, powered = z3.Bool(POWER_UP, context), z3.Bool(_POWERED, context)
    running = z3.Or(powered, power_up)

    def now(term: Sorted) -> Sorted:
        """No scan looks back from the run to before it, nor from the first sample."""
        if past.first_scan is None:
            return term
        first = z3.And(z3.Not(powered), z3.Or(past.first_scan, power_up))
        replaced: Sorted = z3.substitute(term, (past.first_scan, first))
        return replaced

    def shown(term: Sorted) -> Sorted:
        return z3.And(running, now(term)) if z3.is_bool(term) else now(term)

    own = set(past.states)
    if past.first_scan is not None:
        own.add(past.first_scan.decl().name())

    def gated(state: StateVariable) -> StateVariable:
        update = now(state.update)
        if state.name not in own and not update.eq(state.symbol):
            update = z3.If(running, update, state.symbol)
        return replace(state, update=update)

    constraints = [
        now(constraint) if older else z3.Implies(running, now(constraint))
        for constraint, older in past.constraints
    ]
    false = z3.BoolVal(False, context)
    changed = replace(
        system,
        states=(
            *(gated(state) for state in system.states),
            StateVariable(_POWERED, powered, false, running),
        ),
        inputs=(*system.inputs, power_up),
        constraints=tuple(constraints),
        findings=tuple((finding, shown(term)) for finding, term in system.findings),
        signals={},
    )
    return changed, [shown(term) for term in terms]
