"""Which numbers of a system run with time, and by what."""

from __future__ import annotations

import z3

from twohand.engine.system.terms import is_symbol, name, operands
from twohand.scan.transition_system import StateKind, StateVariable, TransitionSystem


def is_clock(state: StateVariable) -> bool:
    return state.kind is StateKind.CLOCK and z3.is_int(state.symbol)


def timed_states(system: TransitionSystem) -> set[str]:
    """Names of the clocks and of the copies of clocks: numbers whose new value can be made of a
    clock or of the elapsed time."""
    numbers = [state for state in system.states if z3.is_int(state.symbol)]
    timed = {name(state.symbol) for state in numbers if is_clock(state)}
    sources = {name(state.symbol): _value_symbols(state.update) for state in numbers}
    timing = {name(system.elapsed), name(system.scans)}
    while True:
        more = {n for n, used in sources.items() if n not in timed and used & (timed | timing)}
        if not more:
            return timed
        timed |= more


def comparable(system: TransitionSystem) -> list[list[str]]:
    """Names of the clocks and copies of clocks that run by the same measure: by elapsed time, and
    by scans. Only the distance of two that run alike can stay the same."""
    timed = timed_states(system)
    scans = name(system.scans)
    by_time: list[str] = []
    by_scans: list[str] = []
    for state in system.states:
        own = name(state.symbol)
        if own in timed:
            counts = scans in _value_symbols(state.update)
            (by_scans if counts else by_time).append(own)
    return [by_time, by_scans]


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
        stack.extend(operands(node))
    return found
