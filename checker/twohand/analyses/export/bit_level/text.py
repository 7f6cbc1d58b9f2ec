"""A question as text in the ASCII form of AIGER 1.9: inputs, latches, one bad state, constraints.

A. Biere, K. Heljanko, S. Wieringa: AIGER 1.9 And Beyond, FMV report 11/2, Johannes Kepler
University, 2011.
"""

from __future__ import annotations

from collections.abc import Iterator

import z3

from twohand.analyses.export.bit_level.bounds import Bounded, bounded
from twohand.analyses.export.bit_level.encoding import Encoder, Meaning, bits_of, width_of
from twohand.analyses.export.bit_level.graph import (
    FALSE,
    TRUE,
    Graph,
    Literal,
    Word,
    inverted,
    number,
)
from twohand.engine.system.cone import cone
from twohand.engine.system.terms import literal_value, name
from twohand.scan.sorts import boolean, integer
from twohand.scan.transition_system import StateVariable, TransitionSystem

BEGINNING = "#beginning"
"""The latch that is TRUE in the first scan alone, where the beginning is more than values."""


def aiger_text(system: TransitionSystem, bad: z3.BoolRef, about: str) -> str:
    """Can a scan of the system be bad, in bits; ``about`` is a comment. NotInBits, with the reason,
    where the scan time is not fixed or a number has no bounds."""
    return _Question(bounded(cone(system, bad), bad), about).text()


def _is_open(state: StateVariable) -> bool:
    """Whether its first value is not a literal."""
    return state.initial is None or literal_value(state.initial) is None


def _word(meaning: Meaning) -> Word:
    return (meaning,) if isinstance(meaning, int) else meaning


class _Question:
    def __init__(self, asked: Bounded, about: str) -> None:
        self._asked = asked
        self._about = about
        system = asked.system
        self._limits = [*self._ranges()]
        roots: list[z3.ExprRef] = [
            asked.bad,
            *system.constraints,
            *system.initial_constraints,
            *self._limits,
        ]
        roots += [term for s in system.states for term in (s.update, s.initial) if term is not None]
        self._width = width_of(roots, asked.bounds)
        self._graph = Graph()
        self._names: dict[Literal, str] = {}
        self._inputs: list[Literal] = []
        self._latches: list[Literal] = []
        known = {name(symbol): self._bits(symbol, self._inputs) for symbol in system.inputs}
        chosen = {s.name: self._chosen_at_first(s) for s in system.states if _is_open(s)}
        self._own = {s.name: _word(self._bits(s.symbol, self._latches)) for s in system.states}
        self._beginning = self._new(BEGINNING, self._latches)
        for state in system.states:
            bits = self._own[state.name]
            if state.name in chosen:
                bits = self._graph.chosen_word(self._beginning, chosen[state.name], bits)
            known[state.name] = bits[0] if z3.is_bool(state.symbol) else bits
        self._encoder = Encoder(self._graph, self._width, known)

    def _chosen_at_first(self, state: StateVariable) -> Word:
        """Inputs of the first step: that a latch may begin with any value is not known to every
        checker of circuits."""
        own = f"{state.name} at the beginning"
        return _word(self._bits(z3.Const(own, state.symbol.sort()), self._inputs))

    def _ranges(self) -> Iterator[z3.BoolRef]:
        """The bounds of numbers that are inputs: not every pattern of bits is a value."""
        for symbol in self._asked.system.inputs:
            if z3.is_int(symbol):
                low, high = self._asked.bounds[name(symbol)]
                yield z3.And(integer(symbol) >= low, integer(symbol) <= high)

    def _new(self, named: str, among: list[Literal]) -> Literal:
        literal = self._graph.variable()
        self._names[literal] = named
        among.append(literal)
        return literal

    def _bits(self, symbol: z3.ExprRef, among: list[Literal]) -> Meaning:
        own = name(symbol)
        if z3.is_bool(symbol):
            return self._new(own, among)
        places = range(bits_of(symbol, self._width))
        return tuple(self._new(f"{own}[{place}]", among) for place in places)

    def _value(self, term: z3.ExprRef) -> tuple[Literal, ...]:
        if z3.is_bool(term):
            return (self._encoder.literal(boolean(term)),)
        return self._encoder.word(term)

    def _at_first(self) -> Iterator[Literal]:
        """What holds in the first step beside the values of latches."""
        system = self._asked.system
        yield from (self._encoder.literal(each) for each in system.initial_constraints)
        for state in system.states:
            if state.initial is not None and _is_open(state):
                yield self._graph.same(self._value(state.symbol), self._value(state.initial))

    def text(self) -> str:
        system, graph = self._asked.system, self._graph
        resets, following = {self._beginning: TRUE}, {self._beginning: FALSE}
        for state in system.states:
            bits = self._own[state.name]
            begins = None if state.initial is None else literal_value(state.initial)
            resets.update(zip(bits, number(int(begins or 0), len(bits)), strict=True))
            following.update(zip(bits, self._value(state.update), strict=True))
        holds = list(self._at_first())
        constraints = [self._encoder.literal(c) for c in (*system.constraints, *self._limits)]
        constraints += [graph.either(inverted(self._beginning), each) for each in holds]
        bad = self._encoder.literal(self._asked.bad)
        latches = [f"{each} {following[each]} {resets[each]}" for each in self._latches]
        counts = (graph.variables, len(self._inputs), len(latches), 0, len(graph.ands), 1)
        lines = [f"aag {' '.join(map(str, counts))} {len(constraints)}"]
        lines += [*map(str, self._inputs), *latches, str(bad), *map(str, constraints)]
        lines += [f"{made} {left} {right}" for made, left, right in graph.ands]
        lines += [f"i{n} {self._names[each]}" for n, each in enumerate(self._inputs)]
        lines += [f"l{n} {self._names[each]}" for n, each in enumerate(self._latches)]
        return "\n".join([*lines, "c", self._about.replace("\n", " ")]) + "\n"
