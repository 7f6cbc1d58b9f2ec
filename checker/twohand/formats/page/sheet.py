"""A sheet for the machine as one page (HTML) for A4: black on white, nothing to click."""

from __future__ import annotations

from twohand.analyses.sheet import words
from twohand.analyses.sheet.text import (
    branches_sentence,
    closing,
    foot,
    measured,
    part_2_is_missing,
    sign_words,
)
from twohand.analyses.sheet.trial import Sheet
from twohand.formats.page.page import environment


def sheet_page(sheet: Sheet) -> str:
    """What comes from files is text there."""
    parts = [
        ("1", words.PART_1, (*words.BEFORE_1, *words.HOW), sheet.still, ""),
        ("1C", words.PART_1_CONTACTS, words.BEFORE_CONTACTS, sheet.contacts, sign_words(sheet)),
    ]
    if sheet.moving:
        parts.append(("2", words.PART_2, words.BEFORE_2, sheet.moving, words.SIGNED_2))
    else:
        parts.append(("2", words.PART_2, (part_2_is_missing(sheet),), (), ""))
    template = environment().get_template("sheet.html")
    return template.render(
        sheet=sheet,
        words=words,
        parts=parts,
        measured=measured(sheet),
        branches=branches_sentence(sheet),
        closing=closing(sheet),
        foot=foot(sheet),
        page_foot=page_foot(sheet),
    )


def page_foot(sheet: Sheet) -> str:
    """At the foot of every page, so that one that is alone can be told: the version and the first
    digits of the spec's hash. It stands in a style, where nothing of a file may be."""
    hashes = [each.sha256[:16] for each in sheet.files[:1]]
    return ", ".join([f"twohand {sheet.version}", *(f"spec {each}" for each in hashes)])
