"""The text itself is held against its model: executed along each branch of a scan, from any state.

Every verdict speaks of the model, and a proof is never executed. A difference is no verdict of the
block but a fault of the checker.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import chain

import z3

from twohand.engine.jobs import Problem
from twohand.engine.workers.process import Stopped
from twohand.evidence.branches.comparison import ScanComparison
from twohand.evidence.branches.reach import ReachBranches, Reached
from twohand.evidence.branches.variations import Variations
from twohand.evidence.branches.ways import Way, with_ways
from twohand.evidence.context import CheckContext
from twohand.evidence.contradiction import InternalContradiction
from twohand.evidence.verdict import ExecutedBranches, MissedBranch, WhyMissed
from twohand.scan import serialisation as exchange
from twohand.scan.sorts import boolean, integer
from twohand.scan.symbolic.encode import EncodedProgram, encode, type_ranges
from twohand.scan.transition_system import StateKind, TransitionSystem

_SHARE = 0.02
"""The part of a question's effort that all branches together may take."""

_LONGEST_TEXT = 200_000
"""Characters of a system beyond which preparing the question takes more than such a part."""
_MOST_BRANCHES = 150
"""Branches that are tried, here and there in the text where it has more."""


class BranchCheck:
    """``executed`` is the answer once the desk has served."""

    def __init__(self, case: CheckContext) -> None:
        self._case = case
        self._marked, ways = with_ways(case.specification.program)
        step = max(1, -(-len(ways) // _MOST_BRANCHES))
        self._ways = ways[::step]
        self._untried = [way for number, way in enumerate(ways) if number % step]
        self._conditions: list[z3.BoolRef] = []
        self.executed = ExecutedBranches(len(ways))

    def begin(self) -> None:
        if len(self._case.problem().text) > _LONGEST_TEXT:
            self._miss(dict.fromkeys(self._ways, WhyMissed.UNDECIDED))
        elif self._ways:
            job = ReachBranches(self._problem(), self._case.effort * _SHARE)
            self._case.desk.submit(job, self._answered)

    def _problem(self) -> Problem:
        spec, encoded = self._case.specification, self._case.questions.encoded
        marks = [way.mark for way in self._ways]
        marked = encode(self._marked, spec.clocking, spec.readings, spec.loop_bound, marks)
        self._conditions = [condition_of(way, marked) for way in self._ways]
        finding = z3.Or([*(term for _, term in marked.system.findings), z3.BoolVal(False)])
        return Problem(exchange.dump(any_state(encoded, marked), [*self._conditions, finding]))

    def _answered(self, answer: object) -> None:
        if isinstance(answer, Reached):
            self._compare(answer)
        else:
            assert isinstance(answer, Stopped)
            self._miss(dict.fromkeys(self._ways, WhyMissed.UNDECIDED))

    def _compare(self, reached: Reached) -> None:
        encoded = self._case.questions.encoded
        comparison = ScanComparison(encoded, self._marked, self._ways, self._conditions)
        variations = Variations(encoded)
        left = dict.fromkeys(self._ways, WhyMissed.WITH_A_FINDING)
        left.update((self._ways[number], WhyMissed.IMPOSSIBLE) for number in reached.never)
        left.update((self._ways[number], WhyMissed.UNDECIDED) for number in reached.open)
        for state in chain.from_iterable(variations.of(each) for each in reached.states):
            gone, difference = comparison.went(state)
            if difference:
                raise InternalContradiction(
                    f"{self._case.specification.name}: executing one scan gives something else "
                    f"than its model: {difference}"
                )
            left = {way: why for way, why in left.items() if way not in gone}
        self._miss(left)

    def _miss(self, ways: Mapping[Way, WhyMissed]) -> None:
        every = {**ways, **dict.fromkeys(self._untried, WhyMissed.UNDECIDED)}
        found = (MissedBranch(way.span, way.words, why) for way, why in every.items())
        self.executed = replace(self.executed, missed=tuple(found))


def condition_of(way: Way, marked: EncodedProgram) -> z3.BoolRef:
    """When a scan goes this way."""
    symbols = {state.name: state.symbol for state in marked.system.states}
    memory = (boolean(symbols[name]) == value for name, value in way.memory)
    return z3.And([marked.noted[way.mark], *memory])


def any_state(encoded: EncodedProgram, marked: EncodedProgram) -> TransitionSystem:
    """A system in any state that its types allow; what comes after the scan is of no matter."""
    states = {s.name: s for s in (*marked.system.states, *encoded.system.states)}
    ranges = [
        term
        for variable in encoded.program.variables
        if variable.name in states
        for term in type_ranges(variable)
    ]
    ages = [integer(s.symbol) >= 0 for s in states.values() if s.kind is not StateKind.DISCRETE]
    wrapping = [s for s in states.values() if s.kind is StateKind.WRAPPING_CLOCK]
    ages += [integer(s.symbol) < encoded.clocking.clock_range for s in wrapping]
    return TransitionSystem(
        states=tuple(replace(s, initial=None, update=s.symbol) for s in states.values()),
        inputs=encoded.system.inputs,
        elapsed=encoded.system.elapsed,
        scans=encoded.system.scans,
        shortest=encoded.system.shortest,
        longest=encoded.system.longest,
        tick=encoded.system.tick,
        ranges=(*encoded.system.ranges, *ranges, *ages),
    )
