"""Whether a violated requirement is proved of a variant of its program."""

from __future__ import annotations

from dataclasses import replace

from twohand.evidence.checks.requirement import RequirementCheck
from twohand.evidence.context import CheckContext
from twohand.evidence.proofs.dispatcher import Dispatcher
from twohand.evidence.runs.replay import executed
from twohand.evidence.verdict import Outcome, Verdict
from twohand.program import Program
from twohand.specification.logic import evaluate
from twohand.specification.model.specification import Aim, Specification

_MOST_EFFORT = 10.0
"""For the question about a variant: where this is not enough, nothing is said."""


class VariantProof:
    """``desk`` is one of its own: what is proved here is proved of other programs."""

    def __init__(self, specification: Specification, desk: Dispatcher, effort: float) -> None:
        self._spec = specification
        self._desk = desk
        self._effort = min(effort, _MOST_EFFORT)

    def mends(self, program: Program, verdict: Verdict) -> bool:
        """Whether with this program the requirement is proved, for all runs and on every platform,
        says something and no finding comes first. It is asked only where the very run that
        violates it does not do so any more."""
        spec, requirement, run = self._spec, verdict.requirement, verdict.counterexample
        if run is None or not may_have_a_cause(verdict):
            return False
        records = executed(program, run, spec)
        stopped = records[-1].finding is not None
        if stopped or evaluate.refuted_at(requirement.property, records, spec.clocking) is not None:
            return False
        together = replace(spec, program=program, requirements=(requirement,), lags=())
        case = CheckContext(together, self._desk, self._effort)
        check = RequirementCheck(requirement, case, lambda _: None)
        check.begin()
        self._desk.serve()
        answer = check.verdict
        return answer.outcome is Outcome.PROVED and not answer.reason and not case.seen_findings


def may_have_a_cause(verdict: Verdict) -> bool:
    """Whether it is violated and says of what it speaks, so that a proof of it says something."""
    requirement = verdict.requirement
    asked = requirement.aim is Aim.HOLDS and requirement.property.trigger is not None
    return verdict.outcome is Outcome.VIOLATED and asked
