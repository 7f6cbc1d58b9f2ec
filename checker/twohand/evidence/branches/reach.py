"""For each branch of a scan a state and inputs that lead there, solved for from any state."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import z3

from twohand.engine.jobs import Problem
from twohand.engine.system.budget import Budget, asked_once
from twohand.engine.system.compiled_terms import compiled
from twohand.engine.system.terms import literal_value, name
from twohand.program.types import Value
from twohand.scan.sorts import boolean

_ONE_BRANCH = 0.1
"""The effort for one question."""
_VALUE = 0.000005
"""The effort that it takes to read one value of a state."""


@dataclass(frozen=True)
class Reached:
    """``states`` are those before the scan, with its inputs and its time, by their names; together
    they lead to every branch but those of ``never`` and those that stayed ``open``."""

    states: tuple[Mapping[str, Value], ...]
    never: tuple[int, ...]
    open: tuple[int, ...]


@dataclass(frozen=True)
class ReachBranches:
    """A job: the problem's terms say for each branch that the scan leads there; the last one says
    that the scan has a finding. As many branches are asked as there is ``effort`` for."""

    problem: Problem
    effort: float

    def __call__(self) -> Reached:
        system, terms = self.problem.loaded()
        symbols = [*(s.symbol for s in system.states), *system.inputs, system.elapsed, system.scans]
        search = _Search(symbols, boolean(system.scan_constraint), terms, Budget(self.effort))
        return search.result()


class _Search:
    def __init__(
        self,
        symbols: Sequence[z3.ExprRef],
        possible: z3.BoolRef,
        terms: Sequence[z3.ExprRef],
        budget: Budget,
    ) -> None:
        self._names = [name(symbol) for symbol in symbols]
        self._where = compiled(symbols, terms[:-1])
        self._symbols = symbols
        *self._ways, finding = map(boolean, terms)
        self._whole = z3.Not(finding)
        self._solver = z3.Solver(ctx=possible.ctx)
        self._solver.add(possible)
        self._budget = budget

    def result(self) -> Reached:
        states: list[dict[str, Value]] = []
        never: list[int] = []
        unknown: list[int] = []
        seen: set[int] = set()
        for number, way in enumerate(self._ways):
            if number in seen:
                continue
            answer = self._ask(way)
            if answer == z3.sat:
                values = self._values()
                seen.update(at for at, holds in enumerate(self._where(values)) if holds)
                states.append(dict(zip(self._names, values, strict=True)))
            else:
                (never if answer == z3.unsat else unknown).append(number)
        return Reached(tuple(states), tuple(never), tuple(unknown))

    def _ask(self, way: z3.BoolRef) -> z3.CheckSatResult:
        """Whether a scan goes that way; one without a finding where there is one."""
        answer = asked_once(self._solver, self._budget, _ONE_BRANCH, way, self._whole)
        if answer == z3.sat:
            return answer
        return asked_once(self._solver, self._budget, _ONE_BRANCH, way)

    def _values(self) -> list[Value]:
        self._budget.spend(_VALUE * len(self._symbols))
        model = self._solver.model()
        found: list[Value] = []
        for symbol in self._symbols:
            value = literal_value(model.eval(symbol, model_completion=True))
            assert value is not None
            found.append(value)
        return found
