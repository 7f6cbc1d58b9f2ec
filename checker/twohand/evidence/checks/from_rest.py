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
from twohand.specification.model.specification import Requirement, Specification

EFFORT = 5.0


class FromRest:
    """``then`` gets the run to show: one from rest where it is found with some effort, else
    ``found``, as it is."""

    def __init__(self, case: CheckContext, requirement: Requirement) -> None:
        self._case = case
        self._requirement = requirement

    def ask(self, found: Counterexample, then: Callable[[Counterexample], None]) -> None:
        if begins_at_rest(found, self._case.specification):
            then(found)
            return

        def answered(asked: QueryResult) -> None:
            other = self._replayed(asked.answer) if isinstance(asked.answer, Violated) else None
            then(found if other is None else other)

        name = f"{self._requirement.identifier} from rest"
        problem = self._case.beside.from_rest(
            self._requirement.property, at_rest(self._case.specification)
        )
        effort = min(self._case.effort, EFFORT)
        self._case.desk.decide(name, problem, 0, answered, effort)

    def _replayed(self, run: Violated) -> Counterexample | None:
        """The run as it is shown; None where it has a finding, or no longer begins at rest."""
        requirement, replayer = self._requirement, self._case.replayer
        trace = self._case.trace(run)
        found = refutation(trace, requirement.property, replayer, requirement.identifier)
        if not isinstance(found, Counterexample):
            return None
        return found if begins_at_rest(found, self._case.specification) else None


def begins_at_rest(run: Counterexample, specification: Specification) -> bool:
    first = run.records[run.past].values
    return all(first[name] == value for name, value in rest_position(specification).items())


def at_rest(specification: Specification) -> Formula:
    """That all hands are off, where that is plain."""
    rest = rest_position(specification)
    reads = [Read(v, v.span) for v in specification.program.inputs]
    atoms = [(Atom(read), rest.get(read.variable.name)) for read in reads]
    return And(tuple(atom if on else Not(atom) for atom, on in atoms if on is not None))
