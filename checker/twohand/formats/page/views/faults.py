"""The page of a fault table: the table, and the run by which each requirement is lost."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from twohand.analyses.faults.record import FaultAnswer, SpecUnderFaults, UnderFault
from twohand.analyses.faults.table import Standing
from twohand.analyses.faults.words import (
    AFTERWARDS,
    BEGINS,
    ENDING,
    EXCLUSION,
    MEANINGS,
    NOTICED,
    OFF_AFTER,
    TILL_END,
    WORDS,
    lasting,
)
from twohand.evidence.verdict import Outcome
from twohand.formats.page.view import Answer, Evidence, PageItem, PageSubject, Table, Tone
from twohand.formats.page.views.check import answer_of, check_facts, check_subject
from twohand.formats.page.views.common import (
    NO_REQUIREMENT,
    finding_item,
    names_in,
    not_asked_texts,
)
from twohand.report.coverage import FAULTS
from twohand.report.drawing.terminal import Paint
from twohand.specification.phrases import listing

_TONES = {
    Paint.GOOD: Tone.PLAIN,
    Paint.BAD: Tone.BAD,
    Paint.OPEN: Tone.OPEN,
    Paint.STRONG: Tone.PLAIN,
}
_SHOWN = (Standing.VIOLATED, Standing.UNDECIDED, Standing.LOST_ALLOWED, Standing.NOT_AVAILABLE)
WHERE_NOTICE = "Where the spec states NOTICE: before that was TRUE."
PROOFS = "What proves each 'proved' is in the document of --json."
NO_PAIRS = "second faults beside one that is not noticed (--single)"
WITHOUT_FAULT = "no fault"


def faults_subject(
    under: SpecUnderFaults, evidence: Evidence, command: str, trace: str
) -> PageSubject:
    """``trace`` is the command for one question, without its fault and requirement."""
    checked = under.without_fault
    sound = check_subject(checked, evidence, command)
    subjects = [each for each in checked.subjects_not_asked if each != FAULTS]
    left_out = [] if under.pairs_asked else [NO_PAIRS]
    not_asked = not_asked_texts(checked.not_asked, [*subjects, *left_out])
    rows = [each for row in (*under.single, *under.pairs) for each in (row, *row.ending)]
    further = [item for row in rows for item in _items(row, under, evidence, trace)]
    return PageSubject(
        sound.name,
        sound.path,
        (*check_facts(checked), *_facts(under)),
        sound.files,
        "Requirement",
        sound.items,
        further=tuple(further),
        not_asked=not_asked,
        not_asked_lead=NO_REQUIREMENT,
        tables=tuple(_tables(under)),
        warnings=sound.warnings,
        command=command,
    )


def _facts(under: SpecUnderFaults) -> Iterator[tuple[str, tuple[str, ...]]]:
    yield "Under faults", (under.asked, under.source, BEGINS)
    if under.excluded:
        yield "Faults left out", (listing(under.excluded), EXCLUSION)
    if under.no_fault_at:
        yield "No fault assumed at", (listing(under.no_fault_at),)


def _tables(under: SpecUnderFaults) -> Iterator[Table]:
    requirements = [each.asked.name for each in under.without_fault.requirements]
    asked = {each.requirement for row in under.single for each in row.answers}
    names = [name for name in requirements if name in asked] or requirements
    results = {each.name: answer_of(each) for each in under.without_fault.requirements}
    first = (WITHOUT_FAULT, (*(results[name] for name in names), Answer(""), Answer("")))
    head = ("Fault", *names, *AFTERWARDS)
    rows = [each for row in under.single for each in _rows(row, names)]
    yield Table("Each single fault", head, (first, *rows), tuple(_notes(under)))
    if under.pairs:
        pairs = tuple(each for row in under.pairs for each in _rows(row, names))
        yield Table("Two faults at once", head, pairs)


def _rows(row: UnderFault, names: list[str]) -> Iterator[tuple[str, tuple[Answer, ...]]]:
    """One for the fault, and one below it for each course in which it costs otherwise."""
    off = lasting(row.off_after, [each.off_after for each in row.ending])
    seen = lasting(row.noticed, [each.noticed for each in row.ending])
    if row.shows is Outcome.VACUOUS and seen[0] == "no":
        seen = ("no, never shows", Paint.OPEN)
    beside = [Answer(word, _TONES[paint]) for word, paint in (off, seen)]
    yield row.title, (*_cells(row.answers, names), *beside)
    before = row
    for ending in row.ending:
        there = {each.requirement: each.standing for each in before.answers}
        changed = [e for e in ending.answers if e.standing is not there.get(e.requirement)]
        if changed:
            course = ending.faults[0].course.value
            yield f"{row.title}, {course}", (*_cells(changed, names), Answer(""), Answer(""))
        before = ending


def _cells(answers: Iterable[FaultAnswer], names: list[str]) -> list[Answer]:
    found = {each.requirement: WORDS[each.standing] for each in answers}
    words = [found.get(name, ("", Paint.STRONG)) for name in names]
    return [Answer(word, _TONES[paint]) for word, paint in words]


def _notes(under: SpecUnderFaults) -> Iterator[str]:
    standings = {e.standing for row in under.single for x in (row, *row.ending) for e in x.answers}
    yield from (f"{text}." for standing, text in MEANINGS.items() if standing in standings)
    yield from (ENDING, OFF_AFTER, f"{NOTICED} {WHERE_NOTICE}", TILL_END, PROOFS)


def _items(
    row: UnderFault, under: SpecUnderFaults, evidence: Evidence, trace: str
) -> Iterator[PageItem]:
    checked = under.without_fault
    asked = {each.asked.name: each.asked for each in checked.requirements}
    for each in row.answers:
        if each.standing not in _SHOWN:
            continue
        word, paint = WORDS[each.standing]
        question = asked.get(each.requirement)
        formula = "" if question is None else question.formula
        drawn, undrawn = evidence.of(
            None if each.same_run_as else each.run,
            "The run by which it is lost, replayed",
            "lost",
            checked.spec.hand_inputs,
            (),
            names_in(formula),
        )
        same = (f"the same run as for {each.same_run_as}",) if each.same_run_as else ()
        reason = (f"stopped by: {each.reason}",) if each.reason else ()
        yield PageItem(
            each.requirement,
            Answer(word, _TONES[paint]),
            f"under {row.title}",
            "" if question is None else question.source,
            said=(*((each.seen,) if each.seen else ()), *reason, *same),
            evidence=drawn,
            undrawn=undrawn,
            excerpts=evidence.causes(None if each.same_run_as else each.run),
            command=f"{trace} --trace {row.name.replace(' ', '')} {each.requirement}",
        )
    for found in row.findings:
        item = finding_item(found, checked.spec, evidence, "")
        yield PageItem(
            f"{item.name} under {row.title}",
            item.answer,
            item.sentence,
            said=item.said,
            evidence=item.evidence,
            undrawn=item.undrawn,
            excerpts=item.excerpts,
        )
