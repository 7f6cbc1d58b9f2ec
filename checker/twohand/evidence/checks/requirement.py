"""One requirement from its question to its verdict."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

from twohand.engine.jobs import Problem
from twohand.engine.system.contract import Unknown, Violated
from twohand.evidence.checks.any_block import ask_of_any_block
from twohand.evidence.checks.from_rest import FromRest
from twohand.evidence.checks.never_true import ask_never_true
from twohand.evidence.checks.readings import EveryReading, NeverThere, Result
from twohand.evidence.context import CheckContext
from twohand.evidence.contradiction import InternalContradiction
from twohand.evidence.limits import SOON
from twohand.evidence.proofs.query import Certified, QueryResult
from twohand.evidence.runs.counterexample import CutByFinding, refutation
from twohand.evidence.runs.replay import never
from twohand.evidence.runs.sentences import finding_words, seen_sentence
from twohand.evidence.runs.trace import Trace
from twohand.evidence.verdict import Certificate, Counterexample, Outcome, Vacuity, Verdict
from twohand.scan.clocking import PARAMETER_PREFIX
from twohand.specification.logic.formula import Always, Formula, Not
from twohand.specification.model.specification import Aim, Requirement

_READING_EFFORT = 10.0
"""For the question whether another reading would prove a violated requirement."""


@dataclass(frozen=True)
class ProvedRequirement:
    """A requirement of this ``name``, and the proof that no scan is bad: the term of the problem
    that has this ``index``."""

    name: str
    problem: Problem
    index: int
    proof: Certified


@dataclass(frozen=True)
class Depth:
    """What is asked besides whether a requirement holds. ``triggers``: whether what it speaks of
    can happen. ``explained``: whether it holds whatever the block does, and all that makes an
    answer easier to understand; without it a run is as it was found. ``hints`` are clauses, each as
    text, that may make a proof of it."""

    triggers: bool = True
    explained: bool = True
    hints: tuple[str, ...] = ()


THOROUGH = Depth()
ALONE = Depth(triggers=False)
"""The requirement alone, with a run that can be read."""


class RequirementCheck:
    """``decided`` is called with the verdict once; ``verdict`` may gain evidence after that."""

    def __init__(
        self,
        requirement: Requirement,
        case: CheckContext,
        decided: Callable[[Verdict], None],
        depth: Depth = THOROUGH,
    ) -> None:
        self.requirement = requirement
        self._case = case
        self._decided = decided
        self._depth = depth
        self._thorough = depth.triggers and depth.explained
        self._index = case.questions.bad(requirement.property)
        self._trigger: Formula | None = None
        self._trigger_index = -1
        holds = requirement.aim is Aim.HOLDS
        if depth.triggers and holds and requirement.property.trigger is not None:
            self._trigger = requirement.property.trigger
            self._trigger_index = case.questions.formula(self._trigger)
        self._seconds = 0.0
        self._verdict: Verdict | None = None
        self.proved: ProvedRequirement | None = None

    @property
    def verdict(self) -> Verdict:
        if self._verdict is None:
            raise InternalContradiction(f"{self.requirement.identifier} was never answered")
        return self._verdict

    def begin(self) -> None:
        self._ask(self._case.problem(self._index))

    def begin_with(self, traces: Iterable[Trace]) -> None:
        """The same, where one of these runs may refute it: they are executed first."""
        case, asked = self._case, self.requirement.property
        hanging = case.problem(self._index).hangs_on(self._index)
        for trace in () if hanging else traces:
            records = case.replayer.sound_records(trace)
            position = case.replayer.refuted_at(asked, records) if records else None
            if position is not None:
                self._violated(trace.cut(position + 1), case.problem(self._index))
                return
        self.begin()

    def _ask(self, problem: Problem, soon: bool = True) -> None:
        """``soon``: for a first answer, where a question may take longer than that."""
        self._case.desk.decide(
            self.requirement.identifier,
            problem,
            self._index,
            lambda asked: self._answered(asked, problem, soon),
            min(SOON, self._case.effort) if soon else None,
            self._depth.hints,
        )

    def _answered(self, asked: QueryResult, problem: Problem, soon: bool) -> None:
        self._seconds += asked.seconds
        match asked.answer:
            case Certified() as proof:
                name = self.requirement.identifier
                self.proved = ProvedRequirement(name, problem, self._index, proof)
                self._proved(proof)
            case Violated() as run:
                self._violated(self._case.trace(run), problem)
            case Unknown() as unknown:
                self._undecided(unknown, problem, soon)

    def _settle(self, outcome: Outcome, **evidence: object) -> None:
        verdict = Verdict(self.requirement, outcome, seconds=self._seconds)
        self._verdict = replace(verdict, **evidence)  # type: ignore[arg-type]
        self._decided(self._verdict)

    def _undecided(self, unknown: Unknown, problem: Problem, soon: bool) -> None:
        """Unless a run that nobody searched for refutes it, or more effort decides it."""
        case, asked = self._case, self.requirement.property
        if unknown.candidate is not None:
            self._hanging(unknown, case.trace(unknown.candidate))
            return
        if soon and not case.desk.over:
            trace = case.long_runs.refuting(asked)
            if trace is not None:
                self._violated(trace, problem)
                return
            if case.effort > SOON:
                self._ask(problem, soon=False)
                return
        self._settle(
            Outcome.UNDECIDED, reason=unknown.reason, events=unknown.events, scans=unknown.scans
        )

    def _hanging(self, unknown: Unknown, trace: Trace) -> None:
        """Undecided: the run shows it only if what nobody computes comes out as it does there."""
        requirement = self.requirement
        found = refutation(trace, requirement.property, self._case.replayer, requirement.identifier)
        candidate = None if isinstance(found, CutByFinding) else found
        self._settle(
            Outcome.UNDECIDED,
            reason=unknown.reason,
            candidate=candidate,
            hangs_on=unknown.hangs_on,
        )

    # --- violated -----------------------------------------------------------------------------

    def _violated(self, trace: Trace, problem: Problem) -> None:
        found = self._replayed(trace, problem)
        if isinstance(found, Problem):
            self._ask(found)
        elif self.requirement.aim is Aim.REACHABLE:
            name, asked = self.requirement.identifier, self.requirement.property
            every = EveryReading(
                self._case, name, asked, self._index, lambda result: self._reachable(found, result)
            )
            every.begin(trace)
        elif self._thorough:
            from_rest = FromRest(self._case, self.requirement)
            from_rest.ask(found, lambda best: self._refuted(best, problem))
        else:
            self._refuted(found, problem)

    def _refuted(self, found: Counterexample, problem: Problem) -> None:
        seen = seen_sentence(self.requirement, found.records, self._case.replayer)
        self._settle(Outcome.VIOLATED, counterexample=found, seen=seen)
        if self._thorough:
            self._ask_readings(found, problem)

    def _reachable(self, found: Counterexample, elsewhere: Result) -> None:
        """``found`` reaches it under one choice of readings, ``elsewhere`` is of all of them."""
        if isinstance(elsewhere, NeverThere):
            self._vacuous(elsewhere.proof, elsewhere.readings, found)
        elif isinstance(elsewhere, Unknown):
            self._settle(
                Outcome.UNDECIDED,
                reason="whether it is reached under every reading was not decided "
                f"({elsewhere.reason})",
            )
        else:
            self._settle(Outcome.PROVED, witness=found)

    def _vacuous(
        self,
        proof: Certified,
        readings: Mapping[str, bool] | None = None,
        witness: Counterexample | None = None,
    ) -> None:
        certificate = self._case.certificate(proof)
        evidence = {"certificate": certificate, "readings": readings or {}, "witness": witness}
        self._settle(Outcome.VACUOUS, **evidence)
        if self._thorough and not readings:
            name = self.requirement.identifier
            ask_never_true(self._spoken_of(), name, self._case, self._never_true)

    def _spoken_of(self) -> Formula:
        """What has to be reached."""
        asked = self.requirement.property
        if self._trigger is not None:
            return self._trigger
        never_reached = asked.formula if isinstance(asked, Always) else asked.trigger
        assert isinstance(never_reached, Not)
        return never_reached.operand

    def _never_true(self, words: tuple[str, ...]) -> None:
        self._verdict = replace(self.verdict, never_true=words)

    def _replayed(self, trace: Trace, problem: Problem) -> Counterexample | Problem:
        """The run replayed; what to ask instead where a finding comes first and that was not yet
        excluded."""
        requirement = self.requirement
        found = refutation(
            trace,
            requirement.property,
            self._case.replayer,
            requirement.identifier,
            self._depth.explained,
        )
        if not isinstance(found, CutByFinding):
            self._case.known.add(trace)
            return found
        again = self._case.asked_again(found.finding, self._index, problem)
        if again is None:
            raise InternalContradiction(
                f"{requirement.identifier}: the run that violates it has a finding when it is "
                f"executed ({finding_words(found.finding)})"
            )
        return again

    def _ask_readings(self, found: Counterexample, problem: Problem) -> None:
        """Whether another choice of one of the readings that matter would prove it."""
        for name, value in found.readings.items():
            other = replace(problem, fixed=((PARAMETER_PREFIX + name, not value),))
            self._case.desk.decide(
                f"{self.requirement.identifier} under another reading",
                other,
                self._index,
                self._under_another_reading,
                min(self._case.effort, _READING_EFFORT),
            )

    def _under_another_reading(self, asked: QueryResult) -> None:
        run = self.verdict.counterexample
        if isinstance(asked.answer, Certified) and run is not None:
            self._verdict = replace(self.verdict, counterexample=replace(run, reading_decides=True))

    # --- proved -------------------------------------------------------------------------------

    def _proved(self, proof: Certified) -> None:
        if self.requirement.aim is Aim.REACHABLE:
            self._vacuous(proof)
        elif self._trigger is None:
            self._holds(certificate=self._case.certificate(proof))
        else:
            trace = self._case.known.reaching(self._trigger)
            if trace is not None:
                self._reached(proof, trace, self._case.problem(self._trigger_index))
            else:
                self._ask_trigger(proof, self._case.problem(self._trigger_index))

    def _ask_trigger(self, proof: Certified, problem: Problem) -> None:
        self._case.desk.decide(
            f"what {self.requirement.identifier} speaks of",
            problem,
            self._trigger_index,
            lambda asked: self._trigger_answered(proof, asked, problem),
        )

    def _trigger_answered(self, proof: Certified, asked: QueryResult, problem: Problem) -> None:
        self._seconds += asked.seconds
        match asked.answer:
            case Certified() as unreachable:
                self._vacuous(unreachable)
            case Violated() as run:
                self._reached(proof, self._case.trace(run), problem)
            case Unknown() as unknown:
                self._says_something(proof, None, unknown)

    def _says_something(
        self, proof: Certified, witness: Counterexample | None, elsewhere: Result
    ) -> None:
        """The requirement holds; ``witness`` reaches what it speaks of under one choice of
        readings, ``elsewhere`` is of all of them."""
        if isinstance(elsewhere, NeverThere):
            self._vacuous(elsewhere.proof, elsewhere.readings, witness)
            return
        reason = ""
        if isinstance(elsewhere, Unknown):
            reason = f"whether what it speaks of can happen was not decided ({elsewhere.reason})"
        certificate = self._case.certificate(proof)
        self._holds(certificate=certificate, witness=witness, reason=reason)

    def _holds(self, **evidence: object) -> None:
        """PROVED with this evidence, unless it holds whatever the block does."""

        def answered(proof: Certificate | None, seconds: float) -> None:
            self._seconds += seconds
            if proof is None:
                self._settle(Outcome.PROVED, **evidence)
            else:
                self._settle(Outcome.VACUOUS, certificate=proof, vacuity=Vacuity.ANY_BLOCK)

        if self._thorough:
            ask_of_any_block(self.requirement, self._case, answered)
        else:
            answered(None, 0.0)

    def _reached(self, proof: Certified, trace: Trace, problem: Problem) -> None:
        """The requirement holds, and this run reaches what it speaks of."""
        assert self._trigger is not None
        name = f"what {self.requirement.identifier} speaks of"
        found = refutation(trace, never(self._trigger), self._case.replayer, name)
        if isinstance(found, Counterexample):
            self._case.known.add(trace)
            every = EveryReading(
                self._case,
                name,
                never(self._trigger),
                self._trigger_index,
                lambda result: self._says_something(proof, found, result),
            )
            every.begin(trace)
            return
        again = self._case.asked_again(found.finding, self._trigger_index, problem)
        if again is None:
            raise InternalContradiction(f"{name}: a finding comes first when it is executed")
        self._ask_trigger(proof, again)
