"""Whether an output can be on at all: one that cannot meets every prohibition."""

from __future__ import annotations

from collections.abc import Mapping

from twohand.engine.jobs import Problem
from twohand.engine.system.contract import Unknown, Violated
from twohand.evidence.checks.never_true import ask_which, lasting_conditions
from twohand.evidence.checks.readings import EveryReading, NeverThere, Result
from twohand.evidence.context import CheckContext
from twohand.evidence.contradiction import InternalContradiction
from twohand.evidence.proofs.query import Certified, QueryResult
from twohand.evidence.runs.replay import never
from twohand.evidence.runs.trace import Trace
from twohand.program import Read, Variable
from twohand.specification.logic.formula import Atom
from twohand.text.diagnostic import Diagnostic, Severity


class OutputCheck:
    """``never`` is TRUE once it is proved, and the proof checked, that the output stays off; where
    it does so under some readings only, ``readings`` are those. Where it stays off only before a
    finding, ``after_finding`` is TRUE instead."""

    def __init__(self, output: Variable, case: CheckContext) -> None:
        self.name = output.name
        self._output = output
        self._span = output.span
        self.never = False
        self.after_finding = False
        self.readings: Mapping[str, bool] = {}
        self.never_true: tuple[str, ...] = ()
        """The conditions of its assignment that are proved never TRUE."""
        self.undecided = ""
        """Why it is not known whether the output can be on under every reading."""
        self._case = case
        self._on = Atom(Read(output, output.span))
        self._index = case.questions.formula(self._on)

    @property
    def warnings(self) -> tuple[Diagnostic, ...]:
        if not self.undecided:
            return ()
        message = f"whether output '{self.name}' can turn on was not decided ({self.undecided})"
        way = f"more time, or REACHABLE {self.name} in the spec"
        return (
            Diagnostic("output-undecided", message, self._span, way, severity=Severity.WARNING),
        )

    def begin(self) -> None:
        known = self._case.known.reaching(self._on)
        if known is None:
            self._ask(self._case.problem(self._index))
        else:
            self._under_every_reading(known)

    def _under_every_reading(self, run: Trace) -> None:
        def answered(result: Result) -> None:
            if isinstance(result, NeverThere):
                self.never = not result.before_findings
                self.after_finding, self.readings = result.before_findings, result.readings
            elif isinstance(result, Unknown):
                self.undecided = result.reason

        name = f"whether {self.name} can be on"
        EveryReading(self._case, name, never(self._on), self._index, answered).begin(run)

    def _why(self, words: tuple[str, ...]) -> None:
        self.never_true = words

    def _ask(self, problem: Problem) -> None:
        self._case.desk.decide(
            f"whether {self.name} can be on",
            problem,
            self._index,
            lambda asked: self._answered(asked, problem),
        )

    def _answered(self, asked: QueryResult, problem: Problem) -> None:
        if isinstance(asked.answer, Certified):
            self.never = problem is self._case.problem(self._index)
            self.after_finding = not self.never
            if self.never:
                parts = lasting_conditions(self._output, self._case.specification.program)
                ask_which(parts, self.name, self._case, self._why)
        elif isinstance(asked.answer, Unknown):
            self.undecided = asked.answer.reason
        if not isinstance(asked.answer, Violated):
            return
        trace = self._case.trace(asked.answer)
        records = self._case.replayer.records(trace)
        if self._case.replayer.refuted_at(never(self._on), records) is not None:
            self._case.known.add(trace)
            self._under_every_reading(trace)
            return
        finding = records[-1].finding
        if finding is None or problem is not self._case.problem(self._index):
            raise InternalContradiction(
                f"a run that turns {self.name} on was found, but executed it does not"
            )
        self._case.seen_findings.append(finding)
        self._ask(self._case.until_then(self._index))
