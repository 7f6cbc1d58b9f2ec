"""For each branch of a scan a state and inputs that lead there, solved for from any state."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import z3

from twohand.engine.jobs import Problem
from twohand.engine.system.compiled_terms import compiled
from twohand.engine.system.terms import literal_value, name
from twohand.program.types import Value
from twohand.scan.sorts import boolean

_ONE_BRANCH = 400_000
"""z3's resource units for one question."""
_COUNT = "rlimit count"
_VALUE = 20
"""What it takes to read one value of a state, in such units."""


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
    that the scan has a finding. ``effort`` is what may be spent, in z3's resource units: of as
    many branches as there is effort for."""

    problem: Problem
    effort: int

    def __call__(self) -> Reached:
        system, terms = self.problem.loaded()
        symbols = [*(s.symbol for s in system.states), *system.inputs, system.elapsed, system.scans]
        search = _Search(symbols, boolean(system.scan_constraint), terms)
        return search.result(self.effort)


class _Search:
    """In a context of its own, so that the same questions get the same answers in any worker."""

    def __init__(
        self,
        symbols: Sequence[z3.ExprRef],
        possible: z3.BoolRef,
        terms: Sequence[z3.ExprRef],
    ) -> None:
        self._names = [name(symbol) for symbol in symbols]
        self._where = compiled(symbols, terms[:-1])
        context = z3.Context()
        self._symbols = [symbol.translate(context) for symbol in symbols]
        *self._ways, finding = (boolean(term.translate(context)) for term in terms)
        self._whole = z3.Not(finding)
        self._solver = z3.Solver(ctx=context)
        self._solver.add(possible.translate(context))

    def result(self, effort: int) -> Reached:
        states: list[dict[str, Value]] = []
        never: list[int] = []
        unknown: list[int] = []
        seen: set[int] = set()
        for number, way in enumerate(self._ways):
            if number in seen:
                continue
            answer = z3.unknown
            if self._spent + _VALUE * len(states) * len(self._names) < effort:
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
        self._solver.set("rlimit", _ONE_BRANCH)
        answer = self._solver.check(way, self._whole)
        return answer if answer == z3.sat else self._solver.check(way)

    def _values(self) -> list[Value]:
        model = self._solver.model()
        found = []
        for symbol in self._symbols:
            value = literal_value(model.eval(symbol, model_completion=True))
            assert value is not None
            found.append(value)
        return found

    @property
    def _spent(self) -> int:
        counted = self._solver.statistics()
        return int(counted.get_key_value(_COUNT)) if _COUNT in counted.keys() else 0  # noqa: SIM118 - no mapping
