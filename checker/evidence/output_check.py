"""Whether an output can be on at all: one that cannot meets every prohibition."""

from __future__ import annotations

from checker.engine.contract import Violated
from checker.engine.jobs import Problem
from checker.evidence.case import Case
from checker.evidence.contradiction import InternalContradiction
from checker.evidence.question import Asked, Certified
from checker.evidence.replay import never
from checker.source.program import Read, Variable
from checker.temporal.formula import Atom


class OutputCheck:
    """``never`` is TRUE once it is proved, and the proof checked, that the output stays off."""

    def __init__(self, output: Variable, case: Case) -> None:
        self.name = output.name
        self.never = False
        self._case = case
        self._on = Atom(Read(output, output.span))
        self._index = case.questions.formula(self._on)

    def begin(self) -> None:
        if self._case.known.reaching(self._on) is None:
            self._ask(self._case.problem)

    def _ask(self, problem: Problem) -> None:
        self._case.desk.decide(
            f"whether {self.name} can be on",
            problem,
            self._index,
            lambda asked: self._answered(asked, problem),
        )

    def _answered(self, asked: Asked, problem: Problem) -> None:
        if isinstance(asked.answer, Certified):
            self.never = True
        if not isinstance(asked.answer, Violated):
            return
        trace = self._case.trace(asked.answer)
        records = self._case.replayer.records(trace)
        if self._case.replayer.refuted_at(never(self._on), records) is not None:
            self._case.known.add(trace)
            return
        finding = records[-1].finding
        if finding is None or problem is not self._case.problem:
            raise InternalContradiction(
                f"a run that turns {self.name} on was found, but executed it does not"
            )
        self._case.seen_findings.append(finding)
        self._ask(self._case.until_then)
