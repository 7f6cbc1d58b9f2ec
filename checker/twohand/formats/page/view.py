"""What a page shows, whatever it is a page of: words, numbers, tuples of them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from enum import Enum

from twohand.evidence.verdict import Certificate
from twohand.formats.page.excerpt import Excerpt, Texts
from twohand.formats.page.invariant import ClauseText, clause_of
from twohand.formats.page.runs.picture import RunPicture, picture_of
from twohand.formats.page.runs.values import ValueTable, values_of
from twohand.record.message import FilePlace, Message
from twohand.record.plain import checker_name
from twohand.record.run import Run
from twohand.record.sources import HashedFile
from twohand.record.spans import TimeSpan
from twohand.report.drawing.readings import reading_sentence
from twohand.specification.phrases import count

MOST_RUNS = 500
"""Runs that a page draws; those of further items are in the document of --json."""
MOST_CLAUSES = 60


class Tone(Enum):
    """How a word is set, beside what it says; the values are classes of the style."""

    GOOD = "good"
    BAD = "bad"
    OPEN = "open"
    PLAIN = "plain"


@dataclass(frozen=True)
class Answer:
    word: str
    tone: Tone = Tone.PLAIN


@dataclass(frozen=True)
class ShownEvidence:
    """A run that is drawn; ``caption`` says what it shows."""

    caption: str
    picture: RunPicture
    values: ValueTable
    platform: str


@dataclass(frozen=True)
class Invariant:
    """``basis`` says who found and who accepted it; ``more`` clauses are not shown."""

    basis: str
    clauses: tuple[ClauseText, ...]
    more: int


@dataclass(frozen=True)
class PageItem:
    """One thing that was asked. ``clause`` is the standard and clause it is from, or ''; ``said``
    are sentences on the answer, ``leaves_out`` what is not asked; ``formula`` is what is really
    asked. ``evidence`` are its runs; ``undrawn`` are their captions where there is no room.
    ``difference`` has lines as they are."""

    name: str
    answer: Answer
    sentence: str
    clause: str = ""
    leaves_out: str = ""
    said: tuple[str, ...] = ()
    formula: str = ""
    evidence: tuple[ShownEvidence, ...] = ()
    undrawn: tuple[str, ...] = ()
    invariant: Invariant | None = None
    excerpts: tuple[Excerpt, ...] = ()
    command: str = ""
    difference: tuple[str, ...] = ()


@dataclass(frozen=True)
class Table:
    """``rows`` have their heading first; ``notes`` are what has to be read with it."""

    caption: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, tuple[Answer, ...]], ...]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class PageSubject:
    """One spec, block or comparison. ``facts`` are what was checked, with their terms;
    ``not_asked`` is what no question was about. ``asked`` is what its items are called, ``beside``
    what their ``clause`` and ``said`` what their sentence is; ``further`` are items of which the
    table has no row."""

    name: str
    path: str
    facts: tuple[tuple[str, tuple[str, ...]], ...]
    files: tuple[HashedFile, ...]
    asked: str
    items: tuple[PageItem, ...]
    further: tuple[PageItem, ...] = ()
    beside: str = "Clause"
    said: str = "What is asked"
    not_asked: tuple[str, ...] = ()
    not_asked_lead: str = ""
    tables: tuple[Table, ...] = ()
    warnings: tuple[Message, ...] = ()
    command: str = ""


EXECUTED = "executed in the last scan"


@dataclass
class Evidence:
    """Makes what is shown of runs and places, as long as there is room for runs."""

    texts: Texts
    left: int = MOST_RUNS
    _drawn: dict[tuple[int, str], ShownEvidence] = field(default_factory=dict)

    def of(
        self,
        run: Run | None,
        caption: str,
        words: str,
        hands: Sequence[tuple[str, tuple[str, ...]]] = (),
        spans: Iterable[TimeSpan] = (),
        subjects: Iterable[str] = (),
    ) -> tuple[tuple[ShownEvidence, ...], tuple[str, ...]]:
        """What is drawn, and what is only named."""
        if run is None or not run.steps:
            return (), ()
        if self.left == 0:
            return (), (caption,)
        self.left -= 1
        platform = reading_sentence(dict(run.readings), run.reading_decides)
        picture = picture_of(run, words, hands, spans, subjects)
        return (ShownEvidence(caption, picture, values_of(run, hands), platform),), ()

    def places(self, *places: tuple[FilePlace | None, str]) -> tuple[Excerpt, ...]:
        return self.texts.excerpts([(place, words) for place, words in places if place is not None])

    def causes(self, run: Run | None, *others: tuple[FilePlace | None, str]) -> tuple[Excerpt, ...]:
        """The statements that wrote last what a run is about, and other places; beside them those
        that were executed in its last scan."""
        if run is None:
            return self.places(*others)
        values = run.values(-1) if run.steps else {}
        written = [(place, f"set {name} {_value(values.get(name))}") for name, place in run.causes]
        places = [(place, words) for place, words in (*others, *written) if place is not None]
        return self.texts.excerpts(places, [(place, EXECUTED) for place in run.executed])


def invariant_of(certificate: Certificate | None) -> Invariant | None:
    if certificate is None:
        return None
    number = len(certificate.clauses)
    basis = f"an invariant of {count(number, 'clause')}" if number else "no invariant is needed"
    basis += f" ({certificate.method}), accepted by {checker_name(certificate)}"
    shown = certificate.clauses[:MOST_CLAUSES]
    return Invariant(basis, tuple(map(clause_of, shown)), number - len(shown))


def _value(value: object) -> str:
    return str(value).upper() if isinstance(value, bool) else ""
