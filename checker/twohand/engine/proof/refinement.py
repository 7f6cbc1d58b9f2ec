"""What the proof does with an abstract counterexample: follow it, or learn predicates from it."""

from __future__ import annotations

from collections.abc import Generator, Sequence
from functools import cached_property
from typing import TypeAlias

import z3

from twohand.engine.search.bounded import METHOD
from twohand.engine.system.budget import Budget
from twohand.engine.system.clocks import Pair, coupled_pairs, pairs_alike, timed_states
from twohand.engine.system.contract import Violated
from twohand.engine.system.counters import Pace, counters, paces, related_paces
from twohand.engine.system.predicates import Vocabulary, constants
from twohand.engine.system.runs import Simulator
from twohand.engine.system.terms import name, substitute, value_term
from twohand.engine.system.unrolling import Unrolling, expanded
from twohand.program.types import Value
from twohand.scan.transition_system import TransitionSystem

Inputs: TypeAlias = Sequence[tuple[z3.ExprRef, Value]]
Concretising: TypeAlias = Generator[None, None, Violated | None]
_MOST_DISTANCES = 6
_MOST_PACES = 60
_MOST_PAIRS = 4000
"""Pairs of clocks that are compared without a cause: with more comparisons no proof comes to an
end."""


class Refiner:
    """Knows the system's terms; extends the vocabulary of one proof."""

    def __init__(
        self, system: TransitionSystem, bad: z3.BoolRef, vocabulary: Vocabulary, budget: Budget
    ) -> None:
        self._system = system
        self._bad = bad
        self._vocabulary = vocabulary
        self._budget = budget
        self._cause: set[str] = set()
        """The clocks and counters whose updates keep the last path from being a run."""

    # What is compared with what: most proofs never ask.

    @cached_property
    def _clocks(self) -> set[str]:
        return timed_states(self._system)

    @cached_property
    def _untimed(self) -> set[str]:
        return {name(s.symbol) for s in self._system.states} - self._clocks

    @cached_property
    def _alike(self) -> list[Pair]:
        return pairs_alike(self._system)

    @cached_property
    def _coupled(self) -> list[Pair]:
        return coupled_pairs(self._system)

    @cached_property
    def _beside(self) -> list[Pace]:
        return related_paces(self._system)

    @cached_property
    def _paces(self) -> Sequence[Pace]:
        return _few(paces(self._system), self._beside)

    @cached_property
    def _stages(self) -> list[tuple[list[Pair], list[int]]]:
        """Pairs of clocks and distances to try one after the other: pairs that one state couples,
        all pairs, what one scan can make, then what the program and the requirement name."""
        if len(self._alike) > _MOST_PAIRS:
            return [(self._coupled, [0])]
        updates = [state.update for state in self._system.states]
        named = sorted(c for c in constants([self._bad, *updates]) if c > 1)[:_MOST_DISTANCES]
        return [
            (self._coupled, [0]),
            (self._alike, [0]),
            (self._alike, self._of_a_scan),
            (self._alike, _both_ways(named)),
        ]

    @property
    def _of_a_scan(self) -> list[int]:
        return _both_ways([self._system.shortest, self._system.longest])

    @cached_property
    def _labels(self) -> dict[str, z3.BoolRef]:
        counting = (counter.name for counter in counters(self._system))
        return {
            number: z3.Bool(f"#running {number}", self._system.elapsed.ctx)
            for number in sorted({*self._clocks, *counting})
        }

    def concretised(self, cubes: Sequence[Sequence[z3.BoolRef]]) -> Concretising:
        """A replayed run of single scans through the cubes to a bad scan, or None."""
        unrolling = Unrolling(self._system, self._bad, self._budget, labels=self._labels)
        for cube in cubes:
            stage = unrolling.extend()
            unrolling.solver.add([stage.at(literal) for literal in cube])
        if (yield from unrolling.ask(*self._labels.values())) != z3.sat:
            met = {label.get_id() for label in unrolling.solver.unsat_core()}
            self._cause = {n for n, label in self._labels.items() if label.get_id() in met}
            return None
        return Simulator(self._system, self._bad).confirmed(
            expanded(*unrolling.candidate(), METHOD)
        )

    def _add_cause(self) -> bool:
        """Comparisons of each two clocks that keep the last path from being a run, and of one of
        them with what counts scans beside it; else of one of them with those that a state couples
        with it: often the one clock alone keeps it, since no path is as long as its time."""
        cause = self._cause
        each = [pair for pair in self._alike if cause.issuperset(pair)]
        beside = [(t, c) for t, c in self._beside if t in cause or c.name in cause]
        fresh = self._vocabulary.add_distances(each, [0])
        fresh |= self._vocabulary.add_paces(beside, [0, *self._of_a_scan])
        coupled = [pair for pair in self._coupled if cause.intersection(pair)]
        return fresh or self._vocabulary.add_distances(coupled, [0])

    def refined(self, path: Sequence[Inputs]) -> bool:
        """Adds what the bad term asks of the state at each step of the path (weakest
        preconditions under the path's inputs), comparisons of the clocks that keep the path from
        being a run, and more comparisons; whether any is new.

        What a precondition asks of clocks alone comes last: under the next elapsed time it is
        another number, and so on without end, where one distance says it all.
        """
        asked = self._preconditions(path)
        fresh = self._add_cause() or self._add_untimed(asked)
        while not fresh and self._stages:
            pairs, distances = self._stages.pop(0)
            fresh = self._vocabulary.add_distances(pairs, distances)
            if distances != [0]:
                fresh |= self._vocabulary.add_paces(self._paces, [0, *distances])
        return fresh or self._vocabulary.add_atoms(asked)

    def _add_untimed(self, asked: Sequence[z3.BoolRef]) -> bool:
        """What is asked of numbers that do not run with time; those that count are filled in."""
        before = self._vocabulary.bounds()
        fresh = self._vocabulary.add_atoms(asked, self._untimed)
        for number, count in self._vocabulary.bounds().items():
            if number in self._untimed and count > before.get(number, 0):
                self._vocabulary.fill(number)
        return fresh

    def _preconditions(self, path: Sequence[Inputs]) -> list[z3.BoolRef]:
        updates = [(state.symbol, state.update) for state in self._system.states]
        scans = (self._system.scans, value_term(1, self._system.scans))
        found: list[z3.BoolRef] = []
        wanted = self._bad
        for position, inputs in enumerate(reversed(path)):
            if position:
                wanted = substitute(wanted, updates)
            given = [scans, *((symbol, value_term(v, symbol)) for symbol, v in inputs)]
            wanted = z3.simplify(substitute(wanted, given))
            found.append(wanted)
        return found


def _few(every: Sequence[Pace], related: Sequence[Pace]) -> Sequence[Pace]:
    """All where they are few, else the related ones, else none: each distance is a comparison."""
    return next((paces for paces in (every, related) if len(paces) <= _MOST_PACES), ())


def _both_ways(distances: Sequence[int]) -> list[int]:
    return [*distances, *(-distance for distance in distances)]
