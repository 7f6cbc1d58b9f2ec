"""In which class of a REAL a number is that somebody wrote or recorded."""

from __future__ import annotations

import re
from fractions import Fraction

from twohand.program.types import RealClasses
from twohand.typecheck.reals.numbers import neighbours

_NUMBER = re.compile(
    r"[+-]?[0-9][0-9_]{0,30}(?:\.[0-9_]{1,30})?(?:e[+-]?[0-9]{1,3})?", re.IGNORECASE
)
"""Of a length that nobody needs."""


def as_number(text: str) -> Fraction | None:
    """What is written as a number of structured text; None for anything else."""
    plain = text.replace(" ", "")
    return Fraction(plain.replace("_", "")) if _NUMBER.fullmatch(plain) else None


def class_of(kind: RealClasses, number: Fraction) -> int | None:
    """The class that has the number on every platform; None where they may differ: the number is
    no constant and none of a platform's neighbours of one."""
    place = 2 * len(kind.constants)
    for position, constant in enumerate(kind.constants):
        low, high = neighbours(constant.exact, constant.bits)
        if number == constant.exact:
            place = 2 * position + 1
            break
        if number < low:
            place = 2 * position
            break
        if number <= high:
            return None
    return kind.places.index(place) if place in kind.places else None
