"""The solver side of the proof: frames of clauses over predicates, and the queries on them.

A literal is ``i + 1`` or ``-(i + 1)`` for the predicate with index i; a cube is a sorted tuple of
literals and represents the states in which all of them hold. Frame k holds what is known of the
states reachable in at most k scans: the negations of the cubes stored at level k and above.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TypeAlias

import z3

from twohand.engine.system.budget import Asker, Asking, Budget
from twohand.engine.system.compiled_terms import Function, compiled
from twohand.engine.system.models import Reader
from twohand.engine.system.terms import Substitution, literal_value, name, value_term
from twohand.program.types import Value
from twohand.scan.sorts import boolean
from twohand.scan.transition_system import TransitionSystem

Cube: TypeAlias = tuple[int, ...]


class Frames:
    """One incremental solver with the scan relation, the predicates and the frames' clauses."""

    def __init__(self, system: TransitionSystem, bad: z3.BoolRef, budget: Budget) -> None:
        self.system = system
        self.bad = bad
        self._context = system.elapsed.ctx
        self.solver = z3.SimpleSolver(ctx=self._context)
        self._asker = Asker(self.solver, budget)
        self._start_solver = z3.SimpleSolver(ctx=self._context)
        self._start_asker = Asker(self._start_solver, budget)
        self._start_solver.add(system.initial)
        self._next = Substitution([(s.symbol, s.update) for s in system.states], self._context)
        self._count = 0
        self._allowed = self._fresh("allowed")
        self._bad_label = self._fresh("bad")
        self._constraint = z3.And([*system.constraints, z3.BoolVal(True, self._context)])
        self.solver.add(
            system.scans == 1,
            system.elapsed >= system.shortest,
            system.elapsed <= system.longest,
            *system.ranges,
            z3.Implies(self._allowed, self._constraint),
            self._bad_label == bad,
        )
        self.predicates: list[z3.BoolRef] = []
        self._now: dict[int, z3.BoolRef] = {}
        self._after: dict[int, z3.BoolRef] = {}
        self._literal_of: dict[int, int] = {}
        self._literal_now: dict[int, int] = {}
        self._starting: list[bool | None] = []
        self._levels: list[z3.BoolRef] = []
        self._without: dict[Cube, z3.BoolRef] = {}
        self._given: dict[tuple[str, Value], z3.BoolRef] = {}
        self._start_known: dict[Cube, bool] = {}
        self._symbols = [s.symbol for s in system.states] + [*system.inputs, system.elapsed]
        self._read = Reader(self._symbols, self._context)
        self._state_count = len(system.states)
        self._valuation: Function | None = None
        starts = [(s.symbol, s.initial) for s in system.states if s.initial is not None]
        self._at_start = Substitution(starts, self._context)
        self.add_level()
        self.solver.add(z3.Implies(self._levels[0], system.initial))

    def _fresh(self, stem: str) -> z3.BoolRef:
        self._count += 1
        return z3.Bool(f"#proof.{stem}.{self._count}", self._context)

    # -- predicates -----------------------------------------------------------------------------

    def add_predicates(self, predicates: Iterable[z3.BoolRef]) -> None:
        for predicate in predicates:
            index = len(self.predicates)
            self.predicates.append(predicate)
            label = predicate
            if not z3.is_const(predicate):
                label = self._fresh("now")
                self.solver.add(label == predicate)
                self._start_solver.add(label == predicate)
            for literal, term in ((index + 1, label), (-index - 1, z3.Not(label))):
                self._now[literal] = term
                self._literal_now[term.get_id()] = literal
            self._starting.append(self._value_at_start(predicate))
        self._valuation = None

    def _value_at_start(self, predicate: z3.BoolRef) -> bool | None:
        """The value in every first state; None where it is not the same in all of them."""
        value = literal_value(z3.simplify(self._at_start(predicate)))
        return None if value is None else bool(value)

    def now(self, literal: int) -> z3.BoolRef:
        """The label of a literal in the state before the scan."""
        return self._now[literal]

    def after(self, literal: int) -> z3.BoolRef:
        """The label of a literal in the state after the scan."""
        known = self._after.get(literal)
        return self._named_after(literal) if known is None else known

    def _named_after(self, literal: int) -> z3.BoolRef:
        number = abs(literal)
        label = self._fresh("after")
        self.solver.add(label == self._next(self.predicates[number - 1]))
        for signed, term in ((number, label), (-number, z3.Not(label))):
            self._after[signed] = term
            self._literal_of[term.get_id()] = signed
        return self._after[literal]

    def term(self, literal: int) -> z3.BoolRef:
        predicate = self.predicates[abs(literal) - 1]
        return predicate if literal > 0 else z3.Not(predicate)

    def clause(self, cube: Cube) -> z3.BoolRef:
        """The negation of a cube, over the state."""
        return z3.Or([self.term(-literal) for literal in cube])

    # -- frames ---------------------------------------------------------------------------------

    def add_level(self) -> None:
        self._levels.append(self._fresh("level"))

    def add_clause(self, cube: Cube, level: int) -> None:
        negated = [self.now(-literal) for literal in cube]
        self.solver.add(z3.Or([z3.Not(self._levels[level]), *negated]))

    def _frame(self, level: int) -> list[z3.BoolRef]:
        return self._levels[level:] if level else self._levels[:]

    # -- queries --------------------------------------------------------------------------------

    def reaches_bad(self, level: int) -> Asking:
        """Is a bad scan possible from frame ``level``?"""
        return (yield from self._asker.ask([*self._frame(level), self._allowed, self._bad_label]))

    def reaches(self, cube: Cube, level: int, exclude: bool = True) -> Asking:
        """Does some scan lead from frame ``level``, outside the cube itself (``exclude``), into
        the cube?"""
        assumptions = [*self._frame(level), self._allowed]
        if exclude:
            assumptions.append(self._outside(cube))
        assumptions.extend(self.after(literal) for literal in cube)
        return (yield from self._asker.ask(assumptions))

    def _outside(self, cube: Cube) -> z3.BoolRef:
        label = self._without.get(cube)
        if label is None:
            label = self._fresh("outside")
            negated = [self.now(-literal) for literal in cube]
            self.solver.add(z3.Or([z3.Not(label), *negated]))
            self._without[cube] = label
        return label

    def core(self, now: bool = False) -> set[int]:
        """The literals after the scan (``now``: before it) in the unsat core of the last query."""
        vector = self.solver.unsat_core()
        reference, handle = self._context.ref(), vector.vector
        labels = self._literal_now if now else self._literal_of
        found: set[int] = set()
        for place in range(z3.Z3_ast_vector_size(reference, handle)):
            term = z3.Z3_ast_vector_get(reference, handle, place)
            literal = labels.get(z3.Z3_get_ast_id(reference, term))
            if literal is not None:
                found.add(literal)
        return found

    def concrete(self) -> tuple[Value, ...]:
        """States, inputs and elapsed time in the model of the last query."""
        return self._read(self.solver.model())

    def cube_of(self, values: Sequence[Value]) -> Cube:
        """The full valuation of the predicates in a concrete state."""
        if self._valuation is None:
            arguments = [s.symbol for s in self.system.states]
            self._valuation = compiled(arguments, self.predicates)
        truths = self._valuation(values[: self._state_count])
        return tuple(i + 1 if truth else -(i + 1) for i, truth in enumerate(truths))

    def inputs_of(self, values: Sequence[Value]) -> list[tuple[z3.ExprRef, Value]]:
        count = self._state_count
        return list(zip(self._symbols[count:], values[count:], strict=True))

    def lifted(self, full: Cube, values: Sequence[Value], goal: Cube | None) -> Asking:
        """Do the predicates alone, with these inputs, force the scan into ``goal`` (None: bad)
        and keep the assumptions? unsat: yes, and ``core`` says which of them do."""
        label = self._fresh("goal")
        goals = [self._bad_label] if goal is None else [self.after(lit) for lit in goal]
        self.solver.add(z3.Implies(label, z3.Not(z3.And(self._constraint, *goals))))
        assumptions = [label, *(self.now(literal) for literal in full)]
        assumptions.extend(self._fixed(s, v) for s, v in self.inputs_of(values))
        answer = yield from self._asker.ask(assumptions)
        return answer

    def _fixed(self, symbol: z3.ExprRef, value: Value) -> z3.BoolRef:
        if isinstance(value, bool):
            truth = boolean(symbol)
            return truth if value else z3.Not(truth)
        key = (name(symbol), value)
        label = self._given.get(key)
        if label is None:
            label = self._fresh("given")
            self.solver.add(z3.Implies(label, symbol == value_term(value, symbol)))
            self._given[key] = label
        return label

    # -- the first state ------------------------------------------------------------------------

    def excluded_at_start(self, literal: int) -> bool | None:
        """Whether no initial state satisfies the literal; None: depends on free values."""
        value = self._starting[abs(literal) - 1]
        return None if value is None else value != (literal > 0)

    def meets_start(self, cube: Cube) -> Asking:
        """Is some initial state in the cube?"""
        if any(self.excluded_at_start(literal) for literal in cube):
            return z3.unsat
        known = self._start_known.get(cube)
        if known is None:
            answer = yield from self._start_asker.ask([self.now(literal) for literal in cube])
            known = self._start_known[cube] = answer == z3.sat
        return z3.sat if known else z3.unsat
