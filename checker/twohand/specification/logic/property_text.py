"""A property in the words of the spec language, whole: what is really asked."""

from __future__ import annotations

from twohand.scan.clocking import Clocking
from twohand.specification.logic.formula import Always, Before, Property, Response, Until
from twohand.specification.logic.formula_text import WholeWording

LONGEST_TEXT = 4000
"""Characters after which it is cut short."""


def property_text(property: Property, clocking: Clocking) -> str:
    """``stroke -> once(left AND right, 2 SCANS)``; names are those of variables."""
    text = _text(property, WholeWording(clocking))
    return text if len(text) <= LONGEST_TEXT else f"{text[: LONGEST_TEXT - 3]}..."


def _text(property: Property, wording: WholeWording) -> str:
    match property:
        case Always():
            return wording.of(property.formula)
        case Response():
            answer = f"{wording.operand(property.answer)} WITHIN {wording.bound(property.bound)}"
            return f"{wording.operand(property.trigger)} -> {answer}"
        case Until():
            then = f"{wording.operand(property.hold)} UNTIL {wording.operand(property.release)}"
            return f"{wording.operand(property.trigger)} -> {then}"
        case Before():
            then = f"{wording.operand(property.first)} BEFORE {wording.operand(property.second)}"
            return f"{wording.operand(property.trigger)} -> {then}"
