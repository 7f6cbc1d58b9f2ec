"""Which numbers of a system run with time, and by what."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import permutations
from typing import TypeAlias

import z3

from twohand.engine.system.terms import is_symbol, name, operands, symbols
from twohand.scan.sorts import integer
from twohand.scan.transition_system import StateKind, StateVariable, TransitionSystem

Pair: TypeAlias = tuple[str, str]
"""The names of two clocks, of which the first may be ahead of the second."""
_FEW_PAIRS = 200
"""Pairs that are compared whether a proof needs them or not: up to some fifteen clocks."""


def is_clock(state: StateVariable) -> bool:
    return state.kind is not StateKind.DISCRETE and z3.is_int(state.symbol)


def wrapping(system: TransitionSystem) -> tuple[z3.ArithRef, ...]:
    """The clocks that come round."""
    states = (s for s in system.states if s.kind is StateKind.WRAPPING_CLOCK)
    return tuple(integer(state.symbol) for state in states)


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


def pairs_alike(system: TransitionSystem) -> list[Pair]:
    """Names of each two clocks that run by the same measure, in either order."""
    return [pair for alike in comparable(system) for pair in permutations(alike, 2)]


def pairs_at_first(system: TransitionSystem) -> list[Pair]:
    """The pairs that a proof begins with: all of them where they are few."""
    pairs = pairs_alike(system)
    return pairs if len(pairs) <= _FEW_PAIRS else related_pairs(system)


def related_pairs(system: TransitionSystem) -> list[Pair]:
    """Of those, the ones whose new values depend on a common input."""
    return _sharing(system, inputs_read(system))


def coupled_pairs(system: TransitionSystem) -> list[Pair]:
    """Of those, the ones whose new values depend on a common state that is not a clock."""
    timed = timed_states(system)
    return _sharing(system, _read(system, {name(state.symbol) for state in system.states} - timed))


def _sharing(system: TransitionSystem, read: Mapping[str, set[str]]) -> list[Pair]:
    return [(one, other) for one, other in pairs_alike(system) if read[one] & read[other]]


def inputs_read(system: TransitionSystem) -> dict[str, set[str]]:
    """The inputs that the new value of each state depends on."""
    return _read(system, {name(symbol) for symbol in system.inputs})


def _read(system: TransitionSystem, wanted: set[str]) -> dict[str, set[str]]:
    return {
        name(state.symbol): {name(symbol) for symbol in symbols([state.update])} & wanted
        for state in system.states
    }


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
