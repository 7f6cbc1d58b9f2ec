"""Automatic findings: all of them as one question, then whichever can happen is left out.

One that takes a long search would keep all others open: what is not answered soon is asked place
by place, and what is not answered soon by itself may be seen in a long run before it gets all the
time.
"""

from __future__ import annotations

from collections.abc import Sequence

from twohand.engine.system.contract import Unknown, Violated
from twohand.evidence.context import CheckContext
from twohand.evidence.contradiction import InternalContradiction
from twohand.evidence.limits import SOON
from twohand.evidence.proofs.query import Certified, QueryResult
from twohand.evidence.runs.counterexample import finding_run
from twohand.evidence.runs.sentences import finding_words
from twohand.evidence.verdict import Counterexample, FindingVerdict, Outcome
from twohand.scan.finding import Finding, same
from twohand.text.source_text import Span


class FindingCheck:
    """``verdicts`` are of places where a finding can happen or is undecided; ``excluded`` counts
    the places where it was proved impossible. All ``single`` places together may take so much
    effort as they are asked one by one (None: each as much as any question)."""

    def __init__(self, case: CheckContext, single: float | None = None) -> None:
        self._case = case
        self._single = single
        self._all = [finding for finding, _ in case.questions.findings]
        self._found: dict[Finding, FindingVerdict] = {}
        self._possible: list[Finding] = []
        self._excluded: set[Finding] = set()
        self._asked = False

    @property
    def excluded(self) -> int:
        return len(self._excluded)

    @property
    def verdicts(self) -> tuple[FindingVerdict, ...]:
        return tuple(self._found[finding] for finding in self._all if finding in self._found)

    @property
    def places(self) -> list[Span]:
        """Where a finding was seen to happen; before it was asked, where one may."""
        if not self._asked:
            return [finding.span for finding in self._all]
        return [f.finding.span for f in self.verdicts if f.outcome is Outcome.VIOLATED]

    def begin(self) -> None:
        self._asked = True
        if self._all:
            self._ask(self._all)

    def agree_with(self, seen: Sequence[Finding]) -> None:
        """InternalContradiction where a finding that was executed counts as impossible."""
        self._contradict(
            [each for each in seen if not any(same(each, found) for found in self._found)]
        )

    def _contradict(self, executed: Sequence[Finding]) -> None:
        for finding in executed:
            raise InternalContradiction(
                f"a finding was proved impossible that was executed ({finding_words(finding)})"
            )

    def _ask(self, wanted: Sequence[Finding], soon: bool = True) -> None:
        """``soon``: for a first answer, where a question may take longer than that."""
        before = tuple(self._possible)
        effort = self._case.effort
        if self._single is not None and len(wanted) == 1 < len(self._all):
            effort = min(effort, self._single / len(self._all))
        soon = soon and effort > SOON
        self._case.desk.decide(
            "automatic findings",
            self._case.questions.finding(wanted, before),
            0,
            lambda asked: self._answered(asked, wanted, before, soon),
            SOON if soon else effort,
        )

    def _answered(
        self,
        asked: QueryResult,
        wanted: Sequence[Finding],
        before: Sequence[Finding],
        soon: bool,
    ) -> None:
        match asked.answer:
            case Certified():
                self._excluded.update(wanted)
                self._contradict([each for each in wanted if each in self._possible])
            case Violated() as run:
                self._happens(run, wanted, before)
            case Unknown() as unknown:
                self._undecided(unknown, wanted, soon)

    def _undecided(self, unknown: Unknown, wanted: Sequence[Finding], soon: bool) -> None:
        """What long runs have needs no search; the rest is asked again, each by itself."""
        case = self._case
        if case.desk.over:
            self._leave_open(unknown, wanted)
            return
        if soon and len(wanted) > 1:
            for finding in wanted:
                self._ask([finding])
            return
        for seen, trace in case.long_runs.findings.items():
            if not any(same(seen, each) for each in self._possible):
                self._executed(finding_run(trace, case.replayer), ())
        rest = [each for each in wanted if each not in self._possible]
        if soon or len(wanted) > 1 or not rest:
            for finding in rest:
                self._ask([finding], soon=False)
            return
        self._leave_open(unknown, rest)

    def _leave_open(self, unknown: Unknown, findings: Sequence[Finding]) -> None:
        for each in findings:
            undecided = FindingVerdict(
                each, Outcome.UNDECIDED, None, unknown.reason, unknown.hangs_on
            )
            self._found.setdefault(each, undecided)

    def _happens(self, run: Violated, wanted: Sequence[Finding], before: Sequence[Finding]) -> None:
        """The run may have a finding first that this question does not ask for, one that a
        question of its own could not decide or has not yet: it counts like one that was sought."""
        self._executed(finding_run(self._case.trace(run), self._case.replayer), before)
        rest = [each for each in wanted if each not in self._possible]
        if rest:
            self._ask(rest)

    def _executed(self, counterexample: Counterexample, before: Sequence[Finding]) -> None:
        """A run that ends in a finding, none of those that were to come later than it."""
        seen = counterexample.records[-1].finding
        assert seen is not None
        possible = (each for each in self._all if each not in before and each not in self._excluded)
        finding = next((each for each in possible if same(each, seen)), None)
        if finding is None:
            raise InternalContradiction(
                f"a run to a finding has another one when it is executed ({finding_words(seen)})"
            )
        if finding not in self._possible:
            self._possible.append(finding)
            self._found[finding] = FindingVerdict(finding, Outcome.VIOLATED, counterexample)
