"""Automatic findings: all of them as one question, then whichever can happen is left out."""

from __future__ import annotations

from collections.abc import Sequence

from checker.engine.contract import Unknown, Violated
from checker.evidence.case import Case
from checker.evidence.contradiction import InternalContradiction
from checker.evidence.counterexample import finding_run, same
from checker.evidence.question import Asked, Certified
from checker.evidence.verdict import FindingVerdict, Outcome
from checker.evidence.wording import finding_words
from checker.scan.finding import Finding


class FindingCheck:
    """``verdicts`` are of places where a finding can happen or is undecided; ``excluded`` counts
    the places where it was proved impossible."""

    def __init__(self, case: Case) -> None:
        self._case = case
        self._found: list[FindingVerdict] = []
        self._possible: list[Finding] = []
        self.excluded = 0
        self._all = [finding for finding, _ in case.questions.findings]

    @property
    def verdicts(self) -> tuple[FindingVerdict, ...]:
        order = {id(finding): position for position, finding in enumerate(self._all)}
        return tuple(sorted(self._found, key=lambda verdict: order[id(verdict.finding)]))

    def begin(self) -> None:
        if self._all:
            self._ask(self._all)

    def agree_with(self, seen: Sequence[Finding]) -> None:
        """InternalContradiction where a finding that was executed counts as impossible."""
        for finding in seen:
            if not any(same(finding, verdict.finding) for verdict in self._found):
                raise InternalContradiction(
                    f"a finding was proved impossible that was executed ({finding_words(finding)})"
                )

    def _ask(self, wanted: Sequence[Finding]) -> None:
        self._case.desk.decide(
            "automatic findings",
            self._case.questions.finding(wanted, self._possible),
            0,
            lambda asked: self._answered(asked, wanted),
        )

    def _answered(self, asked: Asked, wanted: Sequence[Finding]) -> None:
        match asked.answer:
            case Certified():
                self.excluded += len(wanted)
            case Violated() as run:
                self._happens(run, wanted)
            case Unknown() as unknown if len(wanted) == 1:
                self._found.append(
                    FindingVerdict(wanted[0], Outcome.UNDECIDED, reason=unknown.reason)
                )
            case Unknown():
                for finding in wanted:
                    self._ask([finding])

    def _happens(self, run: Violated, wanted: Sequence[Finding]) -> None:
        counterexample = finding_run(self._case.trace(run), self._case.replayer)
        seen = counterexample.records[-1].finding
        assert seen is not None
        finding = next((each for each in wanted if same(each, seen)), None)
        if finding is None:
            raise InternalContradiction(
                f"a run to a finding has another one when it is executed ({finding_words(seen)})"
            )
        self._found.append(FindingVerdict(finding, Outcome.VIOLATED, counterexample))
        self._possible.append(finding)
        rest = [each for each in wanted if each is not finding]
        if rest:
            self._ask(rest)
