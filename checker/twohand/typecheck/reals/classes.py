"""The classes of a REAL: one for each constant and each interval between constants in which the
format has a number, and one for not-a-number.

A constant is any number between its neighbours in its format. Which class a value is in may differ
from platform to platform, but on each it is in one of them, and each has a value on every platform:
as long as no two constants can change places, become one, or be so close that only some platforms
have a value between them. Of a constant that a platform may compare with as no value of the format,
nothing may tell the constant itself from what is on both sides.
"""

from __future__ import annotations

from collections.abc import Collection
from fractions import Fraction
from itertools import pairwise

from twohand.program.types import RealClasses, RealConstant
from twohand.typecheck.reals.numbers import FORMATS, WITHOUT_TYPE, neighbours, next_above

NOT_A_NUMBER = "not a number"


def alike(
    constants: Collection[RealConstant], bits: int
) -> tuple[RealConstant, RealConstant] | None:
    """Two constants of which a platform may make one, or the lesser of the greater, or between
    which not every platform has a value if any has; None where there are none such."""
    for one, other in pairwise(sorted(set(constants), key=lambda each: each.exact)):
        (low, lower), (higher, high) = _range(one), _range(other)
        apart = _holds_one_between(low, high, bits) == _holds_one_between(lower, higher, bits)
        if lower >= higher or not apart:
            return one, other
    return None


def may_be_no_value(constant: RealConstant, bits: int) -> bool:
    """Whether some platforms compare with a value of the format of ``bits`` and others do not: a
    REAL with a literal that has no type and may be an LREAL."""
    lowest, highest = _range(constant)
    return lowest < highest and bits < 64 and constant.form in WITHOUT_TYPE


def classes_of(name: str, constants: Collection[RealConstant]) -> RealClasses:
    """The classes of the values of type ``name`` (REAL or LREAL), for at least one constant; no
    two of them are alike."""
    bits = FORMATS[name]
    rising = tuple(sorted(set(constants), key=lambda each: each.exact))
    found: list[tuple[int, str, Fraction | None]] = [
        (0, f"below {rising[0].text}", rising[0].exact - 1)
    ]
    for number, constant in enumerate(rising):
        lowest, highest = _range(constant)
        there = neighbours(highest, bits)[0] >= lowest
        if there and not may_be_no_value(constant, bits):
            found.append((2 * number + 1, constant.text, constant.exact))
        if number + 1 == len(rising):
            break
        following = rising[number + 1]
        if _holds_one_between(lowest, _range(following)[1], bits):
            text = f"between {constant.text} and {following.text}"
            found.append((2 * number + 2, text, (constant.exact + following.exact) / 2))
    found.append((2 * len(rising), f"above {rising[-1].text}", rising[-1].exact + 1))
    texts = [text for _, text, _ in found]
    return RealClasses(
        name,
        tuple((text, number) for number, text in enumerate([*texts, NOT_A_NUMBER])),
        rising,
        tuple(place for place, _, _ in found),
        (*(sample for _, _, sample in found), None),
    )


def _range(constant: RealConstant) -> tuple[Fraction, Fraction]:
    return neighbours(constant.exact, constant.bits)


def _holds_one_between(low: Fraction, high: Fraction, bits: int) -> bool:
    """Whether the format has a number between the two, themselves left out."""
    if low < 0 < high:
        return True
    if high <= 0:
        low, high = -high, -low
    return next_above(low, bits) < high
