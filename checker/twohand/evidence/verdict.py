"""Verdicts and their evidence: what ``report`` renders."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum

from twohand.program.durations import NO_SCANS, Scans, Units
from twohand.program.types import Value
from twohand.scan.finding import Finding
from twohand.scan.scan_record import ScanRecord, scans_before
from twohand.specification.model.specification import Requirement, Specification
from twohand.text.diagnostic import Diagnostic
from twohand.text.source_text import Span


class Outcome(Enum):
    """What was decided; REACHABLE requirements are PROVED when a replayed run reaches them."""

    PROVED = "PROVED"
    VIOLATED = "VIOLATED"
    VACUOUS = "VACUOUS"
    """Proved, but it says nothing (``Vacuity``). For REACHABLE: proved unreachable."""
    UNDECIDED = "UNDECIDED"


class Vacuity(Enum):
    """Why what was proved says nothing."""

    NEVER_HAPPENS = "what it speaks of never happens"
    ANY_BLOCK = "it holds whatever the block does"
    NO_SCAN = "no scan completes"


@dataclass(frozen=True)
class Certificate:
    """An inductive invariant that was rechecked from scratch against the whole system.

    ``clauses`` are readable texts in the program's own names; ``checker`` names what accepted it
    (``cvc5 1.4.2`` or ``z3 5.4.1, fresh context``); ``method`` says how it was found.
    """

    clauses: tuple[str, ...]
    checker: str
    method: str


@dataclass(frozen=True)
class Counterexample:
    """A run of single scans, replayed by the executor; the direct evaluator found the property
    refuted in the last one. ``readings`` are the choices of the run that the spec left open and
    that the system has; ``reading_decides`` says that under another choice of them the
    requirement was proved. ``causes`` gives, for each output (or what the requirement speaks of),
    the statement that last wrote it. ``records`` begin with those before power-up, if there are
    any."""

    records: tuple[ScanRecord, ...]
    readings: Mapping[str, bool] = field(default_factory=dict)
    reading_decides: bool = False
    causes: Mapping[str, Span] = field(default_factory=dict)
    of_values: Mapping[str, bool] = field(default_factory=dict)
    """The choices of further readings on which only values depend that the run has."""
    due: str = ""
    """Until when an answer had to come that is missing; the last scan is the first one beyond."""
    asked_at: int | None = None
    """The position of the record that asks for this answer."""
    sampled: tuple[Mapping[str, Value], ...] = ()
    """What was sampled for each record, by the names of inputs: of a variable that the program
    writes as well a record shows what is left in it. What is missing was FALSE or 0."""

    @property
    def all_readings(self) -> dict[str, bool]:
        """Every choice on which something of the run depends."""
        return {**self.readings, **self.of_values}

    @property
    def past(self) -> Scans:
        """Records before power-up."""
        return scans_before(self.records)

    @property
    def scans(self) -> Scans:
        """Scans of the run, which begins with power-up."""
        return Scans(len(self.records) - self.past)


@dataclass(frozen=True)
class LeftOutCall:
    """A call that some ``scans`` of a run that violates a requirement leave out, and with which
    made at the end of every such scan the requirement is proved: that of the instance ``name`` of
    ``block`` (TON) at ``span``. ``words`` say how it is made: 'with IN FALSE'."""

    name: str
    block: str
    span: Span = field(repr=False)
    words: str
    scans: int


@dataclass(frozen=True)
class LateCall:
    """A call of the instance ``name`` at ``span`` that comes after what it writes is read
    (``read``), in a run that violates a requirement. With the call before the statement that reads,
    the requirement is proved."""

    name: str
    span: Span = field(repr=False)
    read: Span = field(repr=False)


@dataclass(frozen=True)
class AnotherKind:
    """Whether a requirement is violated in another way than by the run that is shown.

    ``run`` violates it in another way, ``seen`` is its sentence, and ``words`` say what is other in
    its last scan. Without a run, ``words`` are what is proved of the scan in which any run is wrong
    for the first time, and ``reason`` says why more is not known ('' where nothing is open).
    """

    run: Counterexample | None = None
    seen: str = ""
    words: tuple[str, ...] = ()
    reason: str = ""


@dataclass(frozen=True)
class Verdict:
    """The answer to one requirement.

    ``witness`` is a replayed run that reaches what the requirement speaks of (for REACHABLE the
    run itself; else None). ``events``, ``scans`` and ``reason`` say how far an undecided search
    looked and what stopped it. ``seconds`` is wall time spent. ``seen`` is one sentence for a
    violation: when, what was seen and what was asked. ``readings`` are the choices of what the
    spec leaves open under which it is VACUOUS, where it is not under every choice.
    ``vacuity`` says of a VACUOUS one why it is.
    """

    requirement: Requirement
    outcome: Outcome
    certificate: Certificate | None = None
    counterexample: Counterexample | None = None
    witness: Counterexample | None = None
    reason: str = ""
    events: int = 0
    scans: Scans = NO_SCANS
    seconds: float = 0.0
    seen: str = ""
    readings: Mapping[str, bool] = field(default_factory=dict)
    vacuity: Vacuity = Vacuity.NEVER_HAPPENS
    never_true: tuple[str, ...] = ()
    """Of what is never reached, the conditions that are proved never TRUE."""
    left_out: LeftOutCall | None = None
    """Where it is violated: the call whose absence is the cause."""
    late: LateCall | None = None
    """Where it is violated: the call that comes too late."""
    another: AnotherKind | None = None
    """Where it is violated and that was asked: whether it is in another way as well."""
    candidate: Counterexample | None = None
    """Where it is undecided: a run that decides it only if what nobody computes comes out so."""
    hangs_on: tuple[str, ...] = ()
    """Texts of what nobody computes and the answer hangs on."""

    @property
    def as_expected(self) -> bool:
        return self.outcome.value == self.requirement.expected.value


@dataclass(frozen=True)
class FindingVerdict:
    """An automatic finding that can happen (VIOLATED) or could not be decided (UNDECIDED)."""

    finding: Finding
    outcome: Outcome
    counterexample: Counterexample | None = None
    reason: str = ""
    hangs_on: tuple[str, ...] = ()


@dataclass(frozen=True)
class LagMeasure:
    """The widest lag between the presses of one station that still starts the output: ``reached``
    by a replayed run, and proved never to exceed ``bound`` (None: not proved). True lags are less
    than ``true_bound`` (not attained; None where no bound is proved)."""

    station: str
    reached: Units | None
    bound: Units | None
    true_bound: Units | None


class WhyMissed(Enum):
    """Why a branch was not executed."""

    IMPOSSIBLE = "no state leads there"
    WITH_A_FINDING = "only in a scan with a finding"
    UNDECIDED = "not decided"


@dataclass(frozen=True)
class MissedBranch:
    """A branch that was not executed; ``words`` say what would have happened at ``span``."""

    span: Span
    words: str
    why: WhyMissed


@dataclass(frozen=True)
class ExecutedBranches:
    """How many branches a scan of the text has. It was executed along each of them, from a state
    that need not be one that a run reaches, and was as its model; but for those ``missed``."""

    total: int
    missed: tuple[MissedBranch, ...] = ()

    @property
    def executed(self) -> int:
        return self.total - len(self.missed)


@dataclass(frozen=True)
class Report:
    """Everything that one spec's check found."""

    specification: Specification
    verdicts: tuple[Verdict, ...]
    findings: tuple[FindingVerdict, ...] = ()
    findings_excluded: int = 0
    """Number of places at which a finding was proved impossible."""
    never_on: tuple[str, ...] = ()
    """Names of outputs that were proved never to turn on, under every reading or under one."""
    never_on_where: Mapping[str, Mapping[str, bool]] = field(default_factory=dict)
    """The readings under which an output never turns on, or does so only after a finding, where it
    does under another one."""
    never_on_why: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """By outputs that never turn on: the conditions of their assignment that are proved never
    TRUE."""
    on_after_finding: tuple[str, ...] = ()
    """Names of outputs that only a finding keeps from turning on."""
    lags: tuple[LagMeasure, ...] = ()
    warnings: tuple[Diagnostic, ...] = ()
    beyond: Report | None = None
    """Of the same spec as if integers wrapped around; None where that was not asked, or where no
    overflow can happen. It says nothing of what the block does."""
    branches: ExecutedBranches = ExecutedBranches(0)
    doubt: str = ""
    """Why nothing that is proved could be trusted, and is not said to be proved; '' if it can."""
    seconds: float = 0.0
