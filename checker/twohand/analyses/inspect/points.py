"""What an inspection looks for, and what it found, as data."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from enum import Enum
from functools import cached_property
from typing import Protocol

from twohand.program import Expression, Operation, Operator, Read, Variable
from twohand.program.types import BOOL
from twohand.text.source_text import Span


class InspectionKind(Enum):
    """What is looked for; the values are the words of the command line and of documents."""

    SKIPPED_CALL = "skipped-call"
    CALLED_TWICE = "called-twice"
    LOST_WRITE = "lost-write"
    DEAD_CODE = "dead-code"
    CONSTANT_CONDITION = "constant-condition"
    MISSED_CASE = "missed-case"
    PASSED_CLOCK = "passed-clock"
    LATE_INPUT = "late-input"
    EARLY_READ = "early-read"
    UNUSED = "unused"
    FINDING = "finding"


class Weight(Enum):
    """How much a point weighs."""

    FAULT = "fault"
    """It happens, and does harm."""
    OPEN = "undecided"
    NOTE = "note"
    """Nothing goes wrong by it, but somebody should know."""
    HARMLESS = "harmless"
    """It was suspected, and proved to do no harm."""


@dataclass(frozen=True, eq=False)
class Question:
    """Can a scan end with ``reached`` (over marks)? ``run``: whether a yes is shown with its run.
    Where ``within`` is not empty, one of those has to be answered with yes for this to be asked.
    ``asks`` says the same of the text, whose marks have no names: 'whether some scan ...'."""

    name: str
    reached: Expression = field(repr=False)
    asks: str
    run: bool = False
    within: tuple[Question, ...] = field(default=(), repr=False)


class Status(Enum):
    REACHED = "reached"
    NEVER = "never"
    """Proved."""
    OPEN = "open"
    UNASKED = "unasked"
    """What it lies in is never reached."""


Answers = Mapping[Question, Status]


@dataclass(frozen=True, eq=False)
class Point:
    """One place that was found or suspected.

    ``sentence`` says what and ``why`` why it matters, both without a final full stop. ``others``
    are further places with a word each; ``shown`` names the variables that a run is shown with;
    ``question`` is the one whose run or proof is the evidence (None: the text itself is).
    """

    kind: InspectionKind
    weight: Weight
    sentence: str
    span: Span = field(repr=False)
    why: str = ""
    others: tuple[tuple[Span, str], ...] = field(default=(), repr=False)
    shown: tuple[str, ...] = field(default=(), repr=False)
    question: Question | None = field(default=None, repr=False)
    writer: tuple[str, tuple[Span, ...]] | None = field(default=None, repr=False)
    """A mark whose value in the run's last scan is the number (from 1) of a further place."""

    asked: str = ""
    """What was asked, where it is no question of ``question``."""

    @property
    def asks(self) -> str:
        """What was asked; '' where the text itself is the evidence."""
        return self.asked if self.question is None else self.question.asks


class Family(Protocol):
    """One kind of question: what it asks, and what it makes of the answers."""

    def questions(self) -> Iterable[Question]: ...

    def points(self, answers: Answers) -> Iterator[Point]: ...


Place = tuple[str, int, int]


def place_of(span: Span) -> Place:
    return (span.source.path, span.start, span.end)


@dataclass(eq=False)
class Marked:
    """Places that are reported as one; ``marks`` are set in a scan in which it happens there:
    what the question ``asks``."""

    name: str
    span: Span
    asks: str
    marks: list[Variable] = field(default_factory=list)

    @cached_property
    def question(self) -> Question:
        """To be asked when every mark is known."""
        name = f"{self.name}, line {self.span.line}"
        return Question(name, any_of(self.marks), self.asks, run=True)


Said = tuple[Weight, str, str]
"""How much a point weighs, what it is and why it matters."""


def answered(
    kind: InspectionKind,
    question: Question,
    answers: Answers,
    span: Span,
    said: Mapping[Status, Said],
    shown: tuple[str, ...] = (),
    writer: tuple[str, tuple[Span, ...]] | None = None,
) -> Iterator[Point]:
    """What the answer to a question makes known; nothing where nothing is ``said`` of it."""
    found = said.get(answers[question])
    if found is not None:
        weight, sentence, why = found
        yield Point(kind, weight, sentence, span, why, (), shown, question, writer)


def any_of(variables: Iterable[Variable]) -> Expression:
    """That one of some marks (at least one) is set."""
    first, *others = [Read(variable, variable.span) for variable in variables]
    if not others:
        return first
    return Operation(Operator.OR, (first, *others), BOOL, first.span)
