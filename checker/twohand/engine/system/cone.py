"""Cone of influence: the part of a system on which a bad term can depend."""

from __future__ import annotations

from dataclasses import replace

import z3

from twohand.engine.system.terms import name, symbols
from twohand.scan.transition_system import TransitionSystem


def cone(system: TransitionSystem, *terms: z3.ExprRef) -> TransitionSystem:
    """The subsystem that ``terms`` and the assumptions depend on.

    Kept are the states below the terms, the constraints and the initial constraints, everything
    below their updates and initial values, and the inputs met there with their ranges. Nothing
    that is dropped can influence what is kept; a range over dropped inputs alone is dropped with
    them (each range bounds a single input and can be met).
    """
    by_name = {name(state.symbol): state for state in system.states}
    seen: set[int] = set()
    found: set[str] = set()
    waiting: list[z3.ExprRef] = [*terms, *system.constraints, *system.initial_constraints]
    while waiting:
        fresh = [name(symbol) for symbol in symbols(waiting, seen)]
        waiting = []
        for symbol in fresh:
            found.add(symbol)
            state = by_name.get(symbol)
            if state is not None:
                waiting.append(state.update)
                if state.initial is not None:
                    waiting.append(state.initial)
    return _restricted(system, found)


def _restricted(system: TransitionSystem, found: set[str]) -> TransitionSystem:
    timing = {name(system.elapsed), name(system.scans)}
    kept = found | timing
    signals = {
        signal: term
        for signal, term in system.signals.items()
        if all(name(symbol) in kept for symbol in symbols([term]))
    }
    return replace(
        system,
        states=tuple(state for state in system.states if name(state.symbol) in found),
        inputs=tuple(symbol for symbol in system.inputs if name(symbol) in found),
        ranges=tuple(r for r in system.ranges if any(name(s) in found for s in symbols([r]))),
        signals=signals,
        findings=(),
    )
