"""What the checks of one specification share: its questions, its runs, its desk."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property

from twohand.engine.jobs import Problem
from twohand.engine.system.contract import Violated
from twohand.evidence.encoding import Encoding
from twohand.evidence.proofs.dispatcher import Dispatcher
from twohand.evidence.proofs.invariant_text import ClauseWords
from twohand.evidence.proofs.query import Certified
from twohand.evidence.runs.known_runs import KnownRuns
from twohand.evidence.runs.long_runs import LongRuns
from twohand.evidence.runs.replay import Replayer
from twohand.evidence.runs.trace import Trace, trace_of
from twohand.evidence.verdict import Certificate
from twohand.scan import serialisation as exchange
from twohand.scan.finding import Finding
from twohand.scan.symbolic.encode import encode_any
from twohand.scan.transition_system import TransitionSystem
from twohand.specification.model.specification import Specification


class _Problems:
    """The same questions for runs with scans before power-up and without; each is made once."""

    def __init__(self, questions: Encoding, make: Callable[[bool], Problem]) -> None:
        self._questions = questions
        self._make = make
        self._hangs: dict[int | None, bool] = {}
        self._made: dict[bool, Problem] = {}

    def asked(self, number: int | None) -> Problem:
        if number not in self._hangs:
            self._hangs[number] = self._questions.hangs_on_the_past(number)
        past = self._hangs[number]
        if past not in self._made:
            self._made[past] = self._make(past)
        return self._made[past]


class CheckContext:
    """Checks add their questions first; once a problem was read they may only ask them."""

    def __init__(self, specification: Specification, desk: Dispatcher, effort: float) -> None:
        self.specification = specification
        self.desk = desk
        self.effort = effort
        self.questions = Encoding(specification)
        self.replayer = Replayer(specification)
        self.known = KnownRuns(self.replayer)
        self.seen_findings: list[Finding] = []
        """Findings that ended an executed run."""
        self._whole_runs = _Problems(self.questions, self.questions.problem)
        self._before_findings = _Problems(self.questions, self.questions.until_then)

    def problem(self, number: int | None = None) -> Problem:
        """All questions, as the one with this number has to be asked (None: as that about the
        assumptions alone)."""
        return self._whole_runs.asked(number)

    def until_then(self, number: int) -> Problem:
        """The questions about the time before any finding, as this one has to be asked."""
        return self._before_findings.asked(number)

    def asked_again(self, finding: Finding, number: int, problem: Problem) -> Problem | None:
        """What to ask where an executed run of ``problem`` ends with a finding first; None where
        that was excluded: then the engine and the execution contradict each other."""
        self.seen_findings.append(finding)
        excludable = problem is self.problem(number) and self.questions.findings
        return self.until_then(number) if excludable else None

    @cached_property
    def of_any_block(self) -> Encoding:
        """The questions of all requirements about whatever has the block's variables."""
        spec = self.specification
        any_block = encode_any(spec.program, spec.clocking, spec.readings, spec.loop_bound)
        questions = Encoding(spec, any_block)
        for requirement in spec.requirements:
            questions.bad(requirement.property)
        return questions

    def any_block(self, number: int) -> Problem:
        """All of them, as this one has to be asked."""
        return self._any_block.asked(number)

    @cached_property
    def _any_block(self) -> _Problems:
        return _Problems(self.of_any_block, self.of_any_block.problem)

    @cached_property
    def beside(self) -> Encoding:
        """An encoding for what is asked later; the questions of ``problem`` stay as they are."""
        return Encoding(self.specification)

    @cached_property
    def long_runs(self) -> LongRuns:
        used = self.questions.open_readings
        choices = [name for name in self.specification.readings.open if name in used]
        return LongRuns(self.replayer, choices, self.effort)

    def trace(self, run: Violated) -> Trace:
        return trace_of(run, self.specification, self.questions.tick)

    def certificate(self, proof: Certified, questions: Encoding | None = None) -> Certificate:
        """The proof with its clauses in words; ``questions`` (None: those about the block) are
        those of which it is an answer."""
        system = (questions or self.questions).widest_system
        words = self._words if questions is None else self._words_of(system)
        clauses = exchange.load_terms(proof.clauses, system)
        return Certificate(
            tuple(words.of(clause) for clause in clauses), proof.recheck.checker, proof.method
        )

    @cached_property
    def _words(self) -> ClauseWords:
        return self._words_of(self.questions.widest_system)

    def _words_of(self, system: TransitionSystem) -> ClauseWords:
        spec = self.specification
        return ClauseWords(system, spec.program, spec.clocking)
