"""The page of a search for mending changes: each that was found, as something to think about."""

from __future__ import annotations

from twohand.analyses.mend.record import MendedSpec, MendingChanges
from twohand.analyses.mend.text import NO_OTHER_OUTPUT, SAME_OUTPUTS
from twohand.formats.page.view import Answer, Evidence, PageItem, PageSubject, Tone
from twohand.formats.page.views.audit import place_text
from twohand.formats.page.views.common import spec_facts
from twohand.specification.phrases import listing

NOT_ASKED = (
    "whether the spec says what the machine needs: a mended block is one of which this spec is "
    "proved",
    "changes of other kinds, and more than two at a time",
)
LEAD = (
    "This page has small changes of the text to think about; nothing was written. It says nothing "
    "of:"
)


def mend_subject(mended: MendedSpec, evidence: Evidence, command: str) -> PageSubject:
    spec = mended.spec
    return PageSubject(
        spec.name,
        spec.path,
        (
            *spec_facts(spec),
            ("Violated", mended.violated),
            ("Tried", (mended.summary,)),
            *_undecided(mended),
        ),
        spec.sources,
        "Change",
        tuple(_item(each, evidence, command) for each in mended.mendings),
        beside="Place",
        said="What is changed",
        not_asked=NOT_ASKED,
        not_asked_lead=LEAD,
        warnings=spec.warnings,
        command=command,
    )


def _undecided(mended: MendedSpec) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """The changes of which it is open whether they mend it."""
    still_open = tuple(
        listing([f"{place_text(each)} {each.words}" for each in changes])
        for changes in mended.undecided
    )
    return (("Undecided", still_open),) if still_open else ()


def _item(mending: MendingChanges, evidence: Evidence, command: str) -> PageItem:
    drawn, undrawn = evidence.of(
        mending.run,
        "The block, which breaks nothing, and the changed block side by side, replayed",
        "differs",
        (),
        (),
        mending.names,
    )
    shows = SAME_OUTPUTS
    if not mending.shows_same:
        shows = NO_OTHER_OUTPUT.format(names=listing(mending.names))
    proved = [f"{each.name}: {each.outcome.value}" for each in mending.requirements]
    changes = mending.changes
    return PageItem(
        listing([each.kind.value for each in changes]),
        Answer("MENDS", Tone.PLAIN),
        listing([each.words for each in changes]),
        ", ".join(map(place_text, changes)),
        said=(*proved, shows),
        evidence=drawn,
        undrawn=undrawn,
        excerpts=evidence.places(*((each.place, each.words) for each in changes)),
        command=command,
        difference=mending.difference,
    )
