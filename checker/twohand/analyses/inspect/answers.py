"""Answers to the questions of an inspection: by a run that is known, or by the engine."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

from twohand.analyses.inspect.points import Question, Status
from twohand.analyses.inspect.random_walk import Explorer
from twohand.evidence.checks.requirement import RequirementCheck
from twohand.evidence.context import CheckContext
from twohand.evidence.proofs.dispatcher import Dispatcher
from twohand.evidence.runs.counterexample import refutation
from twohand.evidence.runs.replay import Replayer, never
from twohand.evidence.runs.trace import Trace
from twohand.evidence.verdict import Certificate, Counterexample, Outcome, Verdict
from twohand.specification.logic.formula import Atom
from twohand.specification.model.specification import Requirement, Specification

_STATUS = {
    Outcome.PROVED: Status.NEVER,
    Outcome.VIOLATED: Status.REACHED,
    Outcome.UNDECIDED: Status.OPEN,
}


@dataclass(frozen=True)
class PointAnswer:
    """REACHED has its replayed ``run`` where the question wants one, NEVER its certificate."""

    status: Status
    run: Counterexample | None = None
    certificate: Certificate | None = None
    reason: str = ""


_AROUND = "whether what is around this is ever reached was not decided"


class Asking:
    """The questions about one program. After ``begin`` the desk has to serve until ``go_on``
    answers that nothing is left."""

    def __init__(
        self,
        specification: Specification,
        questions: Sequence[Question],
        desk: Dispatcher,
        effort: float,
    ) -> None:
        self._specification = specification
        self._questions = list(dict.fromkeys(questions))
        self.answers: dict[Question, PointAnswer] = {}
        for question, trace in Explorer(specification, self._questions).explore().items():
            self.answers[question] = PointAnswer(Status.REACHED, self._run(question, trace))
        self.case = CheckContext(specification, desk, effort)
        self._checks = {
            question: RequirementCheck(
                _requirement(question), self.case, partial(self._answered, question), False
            )
            for question in self._questions
            if question not in self.answers
        }
        self._begun: set[Question] = set()

    def _run(self, question: Question, trace: Trace) -> Counterexample | None:
        if not question.run:
            return None
        replayer = Replayer(self._specification)
        asked = never(Atom(question.reached))
        found = refutation(trace, asked, replayer, question.name)
        return found if isinstance(found, Counterexample) else None

    def go_on(self) -> bool:
        """Asks what can be asked now; whether that is anything."""
        ready = []
        for question in self._checks:
            if question in self._begun or question in self.answers:
                continue
            status = self._inside(question)
            if status is Status.REACHED:
                ready.append(question)
            elif status is Status.OPEN:
                self.answers[question] = PointAnswer(Status.OPEN, reason=_AROUND)
            elif status is Status.UNASKED:
                self.answers[question] = PointAnswer(Status.UNASKED)
        for question in ready:
            self._begun.add(question)
            self._checks[question].begin()
        return bool(ready)

    def _inside(self, question: Question) -> Status | None:
        """REACHED: to be asked; UNASKED: what it lies in never runs; OPEN: that was not decided;
        None: not yet known."""
        if not question.within:
            return Status.REACHED
        known = [self.answers.get(each) for each in question.within]
        if any(each is not None and each.status is Status.REACHED for each in known):
            return Status.REACHED
        if any(each is None for each in known):
            return None
        undecided = any(each is not None and each.status is Status.OPEN for each in known)
        return Status.OPEN if undecided else Status.UNASKED

    def _answered(self, question: Question, verdict: Verdict) -> None:
        self.answers[question] = PointAnswer(
            _STATUS[verdict.outcome], verdict.counterexample, verdict.certificate, verdict.reason
        )


def _requirement(question: Question) -> Requirement:
    span = question.reached.span
    return Requirement(question.name, question.name, never(Atom(question.reached)), span)
