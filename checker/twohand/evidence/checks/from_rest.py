"""A violation that begins at rest: asked for where the run that was found begins otherwise.

A run whose first scan has a hand on says less: it can be taken for a matter of power-up only.
"""

from __future__ import annotations

from collections.abc import Callable

from twohand.engine.system.contract import Violated
from twohand.evidence.context import CheckContext
from twohand.evidence.proofs.query import QueryResult
from twohand.evidence.runs.counterexample import refutation
from twohand.evidence.runs.known_runs import rest_position
from twohand.evidence.verdict import Counterexample
from twohand.program import Read
from twohand.specification.logic.formula import And, Atom, Formula, Not
from twohand.specification.model.specification import Requirement

_EFFORT = 5.0


class FromRest:
    """``then`` gets the run to show: one from rest where it is found with some effort, else
    ``found``, as it is."""

    def __init__(self, case: CheckContext, requirement: Requirement) -> None:
        self._case = case
        self._requirement = requirement
        self._rest = rest_position(case.specification)

    def ask(self, found: Counterexample, then: Callable[[Counterexample], None]) -> None:
        if self._rests(found):
            then(found)
            return

        def answered(asked: QueryResult) -> None:
            other = self._replayed(asked.answer) if isinstance(asked.answer, Violated) else None
            then(found if other is None else other)

        name = f"{self._requirement.identifier} from rest"
        problem = self._case.beside.from_rest(self._requirement.property, self._at_rest())
        effort = min(self._case.effort, _EFFORT)
        self._case.desk.decide(name, problem, 0, answered, effort)

    def _rests(self, run: Counterexample) -> bool:
        first = run.records[run.past].values
        return all(first[name] == value for name, value in self._rest.items())

    def _at_rest(self) -> Formula:
        reads = [Read(v, v.span) for v in self._case.specification.program.inputs]
        atoms = [(Atom(read), self._rest.get(read.variable.name)) for read in reads]
        return And(tuple(atom if on else Not(atom) for atom, on in atoms if on is not None))

    def _replayed(self, run: Violated) -> Counterexample | None:
        """The run as it is shown; None where it has a finding, or no longer begins at rest."""
        requirement, replayer = self._requirement, self._case.replayer
        trace = self._case.trace(run)
        found = refutation(trace, requirement.property, replayer, requirement.identifier)
        return found if isinstance(found, Counterexample) and self._rests(found) else None
