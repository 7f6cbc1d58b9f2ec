"""What a jump must keep."""

from __future__ import annotations

import z3

from checker.engine.path import Guard
from checker.engine.terms import is_symbol, name
from checker.scan.system import StateKind, TransitionSystem


def timed_states(system: TransitionSystem) -> set[str]:
    """Names of the clocks and of the copies of clocks: numbers whose new value can be made of a
    clock or of the elapsed time."""
    numbers = [state for state in system.states if z3.is_int(state.symbol)]
    timed = {name(state.symbol) for state in numbers if state.kind is StateKind.CLOCK}
    sources = {name(state.symbol): _value_symbols(state.update) for state in numbers}
    timing = {name(system.elapsed), name(system.scans)}
    while True:
        more = {n for n, used in sources.items() if n not in timed and used & (timed | timing)}
        if not more:
            return timed
        timed |= more


def _value_symbols(term: z3.ExprRef) -> set[str]:
    """The symbols whose value can enter the term's value, not merely decide a choice in it."""
    found: set[str] = set()
    seen: set[int] = set()
    stack = [term]
    while stack:
        node = stack.pop()
        if node.get_id() in seen or not z3.is_int(node):
            continue
        seen.add(node.get_id())
        if is_symbol(node):
            found.add(name(node))
        stack.extend(node.children())
    return found


def guard_for(system: TransitionSystem, bad: z3.BoolRef) -> Guard:
    timed = timed_states(system)
    return Guard(tuple(s for s in system.states if name(s.symbol) not in timed))
