"""Answers to the questions of an inspection: by a run that is known, or by the engine.

All questions of a unit share one ledger of effort, so that a block in which much takes hours of its
own time is left undecided after a while instead of running on. Effort is counted, never timed.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from twohand.analyses.inspect.points import Question, Status
from twohand.analyses.inspect.random_walk import Explorer
from twohand.engine.jobs import Problem
from twohand.engine.system.budget import SCAN
from twohand.engine.system.contract import Unknown, Violated
from twohand.evidence.context import CheckContext
from twohand.evidence.contradiction import InternalContradiction
from twohand.evidence.encoding import Encoding
from twohand.evidence.proofs.dispatcher import Dispatcher
from twohand.evidence.proofs.query import Certified, QueryResult
from twohand.evidence.runs.counterexample import CutByFinding, refutation
from twohand.evidence.runs.replay import Replayer, never
from twohand.evidence.runs.sentences import finding_words
from twohand.evidence.runs.trace import Trace
from twohand.evidence.verdict import Certificate, Counterexample
from twohand.scan.concrete.execute import formula_evaluator
from twohand.scan.scan_record import ScanRecord
from twohand.specification.logic.formula import Atom
from twohand.specification.model.specification import Specification
from twohand.specification.phrases import count

ALTOGETHER = 20
"""What all questions of a unit may take together, in efforts of a single one."""
_EXECUTED_TO_DRAW = 50
"""Executions that a run costs which is simplified and drawn (15 and more were counted), and the
memory for its records."""
_LEAST = 0.02
"""Effort with which asking is worth while."""
_AGAIN = 2
"""How much more effort asking again is worth while with."""
_AROUND = "whether what is around this is ever reached was not decided"
_SPENT = "the effort that all questions of one unit may take together was reached"


@dataclass(frozen=True)
class PointAnswer:
    """REACHED has its replayed ``run`` where the question wants one, NEVER its certificate."""

    status: Status
    run: Counterexample | None = None
    certificate: Certificate | None = None
    reason: str = ""
    hangs_on: tuple[str, ...] = ()
    """What nobody computes, where the answer is open for that."""


class Ledger:
    """The effort that is ``left`` for the questions of a unit, each of which may take ``each``."""

    def __init__(self, each: float) -> None:
        self.each = each
        self.left = each * ALTOGETHER

    def share(self, questions: int) -> float:
        """What each of so many questions may take now; 0 where nothing is left."""
        share = min(self.each, self.left / questions)
        return share if share >= _LEAST else 0.0

    def spend(self, effort: float) -> None:
        self.left -= effort

    def execute(self, scans: int) -> bool:
        """Whether so many scans may be executed, which then are spent."""
        affordable = scans * SCAN <= self.left
        if affordable:
            self.spend(scans * SCAN)
        return affordable


class Asking:
    """The questions about one program. After ``begin`` the desk has to serve until ``go_on``
    answers that nothing is left; ``told`` is called with how many of them have an answer."""

    def __init__(
        self,
        specification: Specification,
        questions: Sequence[Question],
        desk: Dispatcher,
        ledger: Ledger,
        told: Callable[[int, int], None] = lambda done, total: None,
    ) -> None:
        self._specification = specification
        self._questions = list(dict.fromkeys(questions))
        self._ledger = ledger
        self._told = told
        self.answers: dict[Question, PointAnswer] = {}
        self.case = CheckContext(specification, desk, ledger.each)
        self._evaluator = formula_evaluator(specification.clocking)
        self._executed = self._without_hanging()
        for question, trace in Explorer(specification, self._executed).explore().items():
            self.answers[question] = PointAnswer(Status.REACHED, self._run(question, trace))
        left = [question for question in self._questions if question not in self.answers]
        self._indices = {q: self.case.questions.bad(never(Atom(q.reached))) for q in left}
        self._limits: dict[Question, float] = {}
        """The most with which a question was asked."""
        self._open: dict[Question, Unknown] = {}
        """What had no answer so far."""

    def _without_hanging(self) -> list[Question]:
        """Those that an executed run answers: that do not hang on what nobody computes."""
        if not self._specification.program.uncomputed:
            return self._questions
        questions = Encoding(self._specification)
        numbers = [questions.bad(never(Atom(each.reached))) for each in self._questions]
        problem = questions.problem()
        pairs = zip(self._questions, numbers, strict=True)
        return [question for question, number in pairs if not problem.hangs_on(number)]

    def _run(self, question: Question, trace: Trace) -> Counterexample | None:
        if not question.run:
            return None
        replayer = Replayer(self._specification)
        asked = never(Atom(question.reached))
        found = refutation(trace, asked, replayer, question.name)
        return found if isinstance(found, Counterexample) else None

    def go_on(self) -> bool:
        """Asks what can be asked now; whether that is anything."""
        while True:
            ready = self._ready() or [each for each in self._open if each not in self.answers]
            if not ready:
                return False
            share = self._ledger.share(len(ready))
            worth = [q for q in ready if share > _AGAIN * self._limits.get(q, 0.0)]
            for question in ready:
                if question not in worth:
                    self._leave_open(question)
            for question in worth:
                self._limits[question] = share
                self._ask(question, self.case.problem(self._indices[question]))
            if worth:
                return True

    def _ready(self) -> list[Question]:
        """What was never asked and can be asked now; of the rest what needs no asking is
        answered."""
        ready = []
        for question in self._indices:
            if question in self._limits or question in self.answers:
                continue
            status = self._inside(question)
            if status is Status.REACHED:
                ready.append(question)
            elif status is Status.OPEN:
                self._answer(question, PointAnswer(Status.OPEN, reason=_AROUND))
            elif status is Status.UNASKED:
                self._answer(question, PointAnswer(Status.UNASKED))
        return ready

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

    def _ask(self, question: Question, problem: Problem) -> None:
        limit = self._limits[question]
        index = self._indices[question]
        answered = partial(self._answered, question, problem)
        self.case.desk.decide(question.name, problem, index, answered, limit)

    def _answered(self, question: Question, problem: Problem, asked: QueryResult) -> None:
        self._ledger.spend(asked.effort)
        if question in self.answers:  # by a run to another one
            return
        match asked.answer:
            case Certified() as proof:
                certificate = self.case.certificate(proof)
                self._answer(question, PointAnswer(Status.NEVER, certificate=certificate))
            case Violated() as run:
                self._reached(question, self.case.trace(run), problem)
            case Unknown(candidate=Violated()) as hanging:
                reason, texts = hanging.reason, hanging.hangs_on
                self._answer(question, PointAnswer(Status.OPEN, reason=reason, hangs_on=texts))
            case Unknown() as unknown:
                self._open[question] = unknown
                if self._limits[question] >= self._ledger.each:
                    self._leave_open(question)

    def _answer(self, question: Question, answer: PointAnswer) -> None:
        self.answers[question] = answer
        self._at_work()

    def _at_work(self) -> None:
        self._told(len(self.answers), len(self._questions))

    def _leave_open(self, question: Question) -> None:
        """Unless a run that nobody searched for reaches it."""
        unknown = self._open.get(question)
        if unknown is not None and not self.case.desk.over:
            trace = self.case.long_runs.refuting(never(Atom(question.reached)))
            if trace is not None:
                self._reached(question, trace, self.case.problem(self._indices[question]))
                return
        asked_in_full = self._limits.get(question, 0.0) >= self._ledger.each
        reason = unknown.reason if unknown is not None and asked_in_full else _SPENT
        self._answer(question, PointAnswer(Status.OPEN, reason=reason))

    # --- runs ---------------------------------------------------------------------------------

    def _reached(self, question: Question, trace: Trace, problem: Problem) -> None:
        """The run that was found, replayed; where a finding comes first, it is asked again."""
        times = _EXECUTED_TO_DRAW if question.run else 1
        if not self._ledger.execute(len(trace.scans) * times):
            reason = f"a run of {count(len(trace.scans), 'scan')} was found, which is too long to "
            reason += f"be {'drawn' if question.run else 'executed'} with the effort that is left"
            self._answer(question, PointAnswer(Status.OPEN, reason=reason))
            return
        found = self._replayed(question, trace)
        if not isinstance(found, CutByFinding):
            self._answer(question, PointAnswer(Status.REACHED, found))
            return
        again = self.case.asked_again(found.finding, self._indices[question], problem)
        if again is None:
            raise InternalContradiction(
                f"{question.name}: the run that reaches it has a finding when it is executed "
                f"({finding_words(found.finding)})"
            )
        self._ask(question, again)

    def _replayed(self, question: Question, trace: Trace) -> Counterexample | CutByFinding | None:
        """The run of a question that wants one; of any other none, once it was executed."""
        replayer = self.case.replayer
        if not question.run and not self._specification.assumptions:
            last = replayer.last_record(trace, self._at_work)
            if last.finding is not None:
                return CutByFinding(last.finding)
            if self._holds(question, last):
                self._note(last)
                return None
        found = refutation(trace, never(Atom(question.reached)), replayer, question.name)
        if isinstance(found, CutByFinding):
            return found
        self.case.known.add(trace)
        return found if question.run else None

    def _note(self, record: ScanRecord) -> None:
        """What the end of a run reaches beside what it was found for."""
        for question in self._executed:
            if not question.run and question not in self.answers and self._holds(question, record):
                self._answer(question, PointAnswer(Status.REACHED))

    def _holds(self, question: Question, record: ScanRecord) -> bool:
        return bool(self._evaluator.value(question.reached, record.values))
