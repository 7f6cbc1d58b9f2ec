"""The page of an audit: each change and who notices it, and those that no requirement notices."""

from __future__ import annotations

from twohand.analyses.audit.record import AuditedChange, AuditedSpec, ChangeOfBlock, Notice
from twohand.analyses.audit.results import Noticing
from twohand.analyses.audit.words import STRUCTURED_TEXT
from twohand.formats.page.view import (
    Answer,
    Evidence,
    PageItem,
    PageSubject,
    Table,
    Tone,
)
from twohand.formats.page.views.common import spec_facts
from twohand.record.plain import relative_path
from twohand.specification.phrases import listing

_ANSWERS = {
    Noticing.NOTICED: Answer("noticed", Tone.GOOD),
    Noticing.UNNOTICED: Answer("NOT noticed", Tone.BAD),
    Noticing.UNSURE: Answer("NOT noticed", Tone.OPEN),
    Noticing.OPEN: Answer("undecided", Tone.OPEN),
    Noticing.FINDING: Answer("finding"),
    Noticing.SAME: Answer("the same"),
}
_NOTICES = {
    Notice.VIOLATED: Answer("violated", Tone.GOOD),
    Notice.VACUOUS: Answer("vacuous", Tone.GOOD),
    Notice.NOTHING: Answer("–"),
    Notice.UNDECIDED: Answer("undecided", Tone.OPEN),
}
_WITH_A_PLACE = (Noticing.UNNOTICED, Noticing.UNSURE, Noticing.OPEN, Noticing.FINDING)
NOT_ASKED = (
    "whether what is asked is what the machine needs: a requirement of which no such change speaks "
    "is not missed here",
    "changes of other kinds, and two at a time",
)
LEAD = "This page counts small changes of the text, one at a time; it says nothing of:"


def audit_subject(audited: AuditedSpec, evidence: Evidence, command: str) -> PageSubject:
    spec = audited.spec
    unable = tuple(
        f"{each.asked.name} ({each.outcome.value} of the block itself)"
        for each in audited.requirements
        if not each.able
    )
    facts = (("Counts", (audited.summary,)), ("Not able to notice", unable))
    shown = [each for each in audited.changes if each.standing in _WITH_A_PLACE]
    return PageSubject(
        spec.name,
        spec.path,
        (*spec_facts(spec), *((term, texts) for term, texts in facts if texts)),
        spec.sources,
        "Change",
        tuple(_item(each, audited, evidence, command) for each in shown),
        beside="Place",
        said="What is changed",
        not_asked=(
            *NOT_ASKED,
            *([f"{audited.left} more changes, which were not tried"] if audited.left else []),
        ),
        not_asked_lead=LEAD,
        tables=(_table(audited),),
        warnings=spec.warnings,
        command=command,
    )


def _table(audited: AuditedSpec) -> Table:
    able = [each for each in audited.requirements if each.able]
    rows = tuple(
        (
            f"{place_text(each.change)} {each.change.words}",
            (*(_NOTICES[answer] for _, answer in each.answers), _ANSWERS[each.standing]),
        )
        for each in audited.changes
    )
    totals = tuple(Answer(str(each.noticed)) for each in able)
    notes = [f"{each.asked.name} alone notices {each.alone}" for each in able if each.alone]
    head = ("Change", *(each.asked.name for each in able), "Outcome")
    sums = ("noticed by it", (*totals, Answer(str(audited.noticed))))
    return Table(
        "Each change, and what each requirement says of it", head, (sums, *rows), (*notes,)
    )


def _item(each: AuditedChange, audited: AuditedSpec, evidence: Evidence, command: str) -> PageItem:
    drawn, undrawn = evidence.of(
        each.run,
        "The block and the changed block side by side, replayed",
        "differs",
        (),
        (),
        each.names,
    )
    said = [each.seen, f"stopped by: {each.reason}" if each.reason else ""]
    if each.names:
        said.append(f"in the last scan differs: {listing(each.names)}")
    if each.change.translated:
        said.append(STRUCTURED_TEXT)
    return PageItem(
        each.change.kind.value,
        _ANSWERS[each.standing],
        each.change.words,
        place_text(each.change),
        said=tuple(filter(None, said)),
        evidence=drawn,
        undrawn=undrawn,
        excerpts=evidence.places((each.change.place, each.change.words)),
        command=command,
    )


def place_text(change: ChangeOfBlock) -> str:
    return f"{relative_path(change.place.path)}:{change.place.line}:{change.place.column}"
