"""Property-directed proof (IC3) over predicates, on the relation of single scans.

The abstraction is implicit: frames and cubes speak of predicates only, queries run on the exact
scan relation. A path of cubes from the start to the bad scan is followed concretely; where it
cannot be, comparisons computed backwards along it are added to the predicates.
"""

from __future__ import annotations

import heapq
from collections.abc import Generator
from dataclasses import dataclass

import z3

from twohand.engine.proof.frames import Cube, Frames
from twohand.engine.proof.refinement import Refiner
from twohand.engine.system.budget import Budget, Engine, Exhausted
from twohand.engine.system.clocks import pairs_at_first
from twohand.engine.system.contract import Answer, Unknown
from twohand.engine.system.invariant import established
from twohand.engine.system.predicates import starting_vocabulary
from twohand.program.durations import Scans
from twohand.program.types import Value
from twohand.scan.transition_system import TransitionSystem

METHOD = "property-directed proof over predicates"
_FAILED_DROPS = 6


@dataclass(frozen=True)
class Obligation:
    """A cube that must be shown unreachable; from it ``inputs`` lead into ``goal``'s cube
    (None: into the bad scan)."""

    cube: Cube
    values: tuple[Value, ...]
    goal: Obligation | None


class AbstractCounterexample(Exception):  # noqa: N818 - an outcome, not an error
    """An abstract path; its obligations from the first to the bad one."""

    def __init__(self, first: Obligation) -> None:
        super().__init__()
        self.first = first


class Prover:
    """The state of one proof."""

    def __init__(self, system: TransitionSystem, bad: z3.BoolRef, budget: Budget) -> None:
        self.system = system
        self.bad = bad
        self._budget = budget
        self._frames = Frames(system, bad, budget)
        self._vocabulary = starting_vocabulary(system, bad, pairs_at_first(system))
        self._frames.add_predicates(self._vocabulary.predicates)
        self._refiner = Refiner(system, bad, self._vocabulary, budget)
        self._blocked: list[list[Cube]] = [[]]
        self._serial = 0
        self._weight: dict[int, int] = {}

    @property
    def _top(self) -> int:
        return len(self._blocked) - 1

    def run(self) -> Engine:
        """Proved, Violated, or Unknown once the predicates give out."""
        try:
            return (yield from self._search())
        except Exhausted as reason:
            return Unknown(str(reason), scans=Scans(self._top))

    def _search(self) -> Engine:
        while True:
            try:
                while (yield from self._frames.reaches_bad(self._top)) == z3.sat:
                    obligation = yield from self._obligation(None)
                    yield from self._block(obligation)
                    yield
            except AbstractCounterexample as path:
                answer = yield from self._follow(path.first)
                if answer is not None:
                    return answer
                continue
            invariant = yield from self._propagate()
            if invariant is not None:
                return self._finish(invariant)

    def _finish(self, invariant: list[Cube]) -> Answer:
        clauses = [self._frames.clause(cube) for cube in invariant]
        return established(self.system, self.bad, clauses, METHOD, self._budget)

    # -- blocking -------------------------------------------------------------------------------

    def _obligation(self, goal: Obligation | None) -> Generator[None, None, Obligation]:
        """The state of the last model, widened to what leads to the goal for the same reason."""
        frames = self._frames
        values = frames.concrete()
        full = frames.cube_of(values)
        target = None if goal is None else goal.cube
        answer = yield from frames.lifted(full, values, target)
        cube = full
        if answer == z3.unsat:
            core = frames.core(now=True)
            cube = tuple(literal for literal in full if literal in core)
        obligation = Obligation(cube, values, goal)
        if (yield from frames.meets_start(cube)) == z3.sat:
            if (yield from frames.meets_start(full)) == z3.sat:
                raise AbstractCounterexample(Obligation(full, values, goal))
            obligation = Obligation(full, values, goal)
        return obligation

    def _block(self, first: Obligation) -> Generator[None, None, None]:
        queue: list[tuple[int, int, Obligation]] = []
        self._enqueue(queue, self._top, first)
        while queue:
            level, _, obligation = heapq.heappop(queue)
            if self._is_blocked(obligation.cube, level):
                continue
            if level == 0:
                raise AbstractCounterexample(obligation)
            if (yield from self._frames.reaches(obligation.cube, level - 1)) == z3.sat:
                earlier = yield from self._obligation(obligation)
                self._enqueue(queue, level - 1, earlier)
                self._enqueue(queue, level, obligation)
            else:
                cube = yield from self._shrunk(obligation.cube)
                cube = yield from self._generalised(cube, level)
                reached = yield from self._lifted_level(cube, level)
                self._add(cube, reached)
                if reached < self._top:
                    self._enqueue(queue, reached + 1, obligation)
            yield

    def _enqueue(
        self, queue: list[tuple[int, int, Obligation]], level: int, obligation: Obligation
    ) -> None:
        self._serial += 1
        heapq.heappush(queue, (level, self._serial, obligation))

    def _is_blocked(self, cube: Cube, level: int) -> bool:
        literals = set(cube)
        return any(
            literals.issuperset(blocked) for cubes in self._blocked[level:] for blocked in cubes
        )

    def _shrunk(self, cube: Cube) -> Generator[None, None, Cube]:
        """The literals of the last unsat core, with one put back where they meet the start."""
        core = self._frames.core()
        smaller = tuple(literal for literal in cube if literal in core)
        if (yield from self._frames.meets_start(smaller)) == z3.unsat:
            return smaller
        for literal in cube:
            if literal not in core and self._frames.excluded_at_start(literal):
                return tuple(lit for lit in cube if lit in core or lit == literal)
        return cube

    def _generalised(self, cube: Cube, level: int) -> Generator[None, None, Cube]:
        """Drops literals while the cube stays unreachable from the frame before."""
        failures = 0
        order = sorted(cube, key=lambda lit: (self._weight.get(lit, 0), -abs(lit)))
        for literal in order:
            if failures >= _FAILED_DROPS or len(cube) == 1:
                break
            if literal not in cube:
                continue
            candidate = tuple(lit for lit in cube if lit != literal)
            if (yield from self._frames.meets_start(candidate)) == z3.sat:
                continue
            if (yield from self._frames.reaches(candidate, level - 1)) == z3.unsat:
                cube = yield from self._shrunk(candidate)
            else:
                failures += 1
            yield
        return cube

    def _lifted_level(self, cube: Cube, level: int) -> Generator[None, None, int]:
        """The highest level at which the cube is unreachable too."""
        while level < self._top:
            if (yield from self._frames.reaches(cube, level)) == z3.sat:
                break
            level += 1
        return level

    def _add(self, cube: Cube, level: int) -> None:
        literals = set(cube)
        for lower in range(1, level + 1):
            self._blocked[lower] = [
                old for old in self._blocked[lower] if not literals.issubset(old)
            ]
        self._blocked[level].append(cube)
        self._frames.add_clause(cube, level)
        for literal in cube:
            self._weight[literal] = self._weight.get(literal, 0) + 1

    # -- propagation ----------------------------------------------------------------------------

    def _propagate(self) -> Generator[None, None, list[Cube] | None]:
        """A new frame, and clauses carried into it; the clauses of an invariant if one closes."""
        self._blocked.append([])
        self._frames.add_level()
        for level in range(1, self._top):
            for cube in list(self._blocked[level]):
                if cube not in self._blocked[level]:
                    continue
                if (yield from self._frames.reaches(cube, level, exclude=False)) == z3.unsat:
                    self._add(cube, level + 1)
                yield
            if not self._blocked[level]:
                return [cube for cubes in self._blocked[level + 1 :] for cube in cubes]
        return None

    # -- counterexamples ------------------------------------------------------------------------

    def _follow(self, first: Obligation) -> Generator[None, None, Answer | None]:
        """A concrete run along the abstract path, or None with more predicates."""
        path: list[Obligation] = []
        current: Obligation | None = first
        while current is not None:
            path.append(current)
            current = current.goal
        inputs = [self._frames.inputs_of(obligation.values) for obligation in path]
        cubes = [[self._frames.term(lit) for lit in obligation.cube] for obligation in path]
        answer = yield from self._refiner.concretised(cubes)
        if answer is not None:
            return answer
        known = len(self._frames.predicates)
        if not self._refiner.refined(inputs):
            raise Exhausted("the facts that the proof needs are beyond its predicates")
        self._frames.add_predicates(self._vocabulary.predicates[known:])
        return None


def prove(system: TransitionSystem, bad: z3.BoolRef, budget: Budget) -> Engine:
    """Proves that no scan of ``system`` (its cone of influence) is bad, or gives up."""
    return (yield from Prover(system, bad, budget).run())
