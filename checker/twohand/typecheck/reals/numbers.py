"""Numbers with a fraction as programs write them, and the formats that have to hold them.

A platform rounds a literal to REAL or to LREAL, and is not known to round it in one way: where the
format has no such number, either neighbour of it, or the number itself, may be what a value is
compared with. A literal without a type may be of either. Formats are those of IEEE 754-2019, 3.4
(binary32 and binary64; IEC 61131-3 Ed. 3, table 10, from memory).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from twohand.program import Variable
from twohand.program.types import RealConstant

FORMATS = {"REAL": 32, "LREAL": 64}
"""Bits, by the name of the type."""

_INTEGER = "integer"
WITHOUT_TYPE = ("", _INTEGER)
"""The forms of literals of which a platform chooses the format."""

_PRECISION = {32: 24, 64: 53}
_LEAST_EXPONENT = {32: -126, 64: -1022}
"""Of the smallest number with full precision: platforms may take smaller ones for zero."""
_LONGEST = 60
"""Characters of a literal that is read; ``1E999999999`` would take all memory."""
_LITERAL = re.compile(
    r"(?:(L?REAL)#)?([+-]?[0-9][0-9_]*(?:\.[0-9_]+)?(?:E[+-]?[0-9]{1,4})?)", re.IGNORECASE
)


@dataclass(frozen=True, eq=False)
class RealInput:
    """An input of the block that is checked, which is read as it is."""

    variable: Variable


@dataclass(frozen=True, eq=False)
class RealNumber:
    """A constant; ``bits`` is the narrowest format that a platform may round it to, None where
    that is the one of what it is compared with; ``form`` has the types that it is written with."""

    exact: Fraction
    bits: int | None
    form: str
    text: str

    def negated(self) -> RealNumber:
        text = self.text.removeprefix("-") if self.text.startswith("-") else f"-{self.text}"
        return RealNumber(-self.exact, self.bits, self.form, text)

    def declared(self, name: str) -> RealNumber:
        """As a constant of type ``name`` has it."""
        own = FORMATS[name]
        bits = own if self.bits is None else min(own, self.bits)
        return RealNumber(self.exact, bits, f"{name} {self.form}", self.text)


def whole_number(value: int) -> RealNumber:
    """An integer, which becomes what it is compared with."""
    return RealNumber(Fraction(value), None, _INTEGER, str(value))


RealOperand = RealInput | RealNumber


def number_of(text: str) -> RealNumber | None:
    """What a literal of REAL or LREAL says; None where it is longer than any that is meant."""
    found = _LITERAL.fullmatch(text)
    if found is None or len(text) > _LONGEST:
        return None
    digits = found[2].replace("_", "")
    form = (found[1] or "").upper()
    return RealNumber(Fraction(digits), FORMATS.get(form, 32), form, digits)


def constant_of(number: RealNumber, variable: Variable) -> RealConstant | None:
    """The constant with which an input is compared; None where a format has no such number, or
    has it with less than full precision."""
    own = FORMATS[variable.type.name]
    bits = own if number.bits is None else number.bits
    if not (_in_range(number.exact, own) and _in_range(number.exact, bits)):
        return None
    if neighbours(number.exact, 32) == (number.exact, number.exact):
        return RealConstant(number.exact, 32, "", number.text)  # the same in every form
    return RealConstant(number.exact, bits, number.form, number.text)


def _in_range(number: Fraction, bits: int) -> bool:
    if number == 0:
        return True  # and the upper half of the range is left out, where rounding may overflow
    least = _LEAST_EXPONENT[bits]
    return Fraction(2) ** least <= abs(number) < Fraction(2) ** (1 - least)


def neighbours(number: Fraction, bits: int) -> tuple[Fraction, Fraction]:
    """The nearest numbers of the format that are not above and not below a number."""
    step = _step(number, bits)
    down = number // step * step
    return (down, down) if down == number else (down, down + step)


def next_above(number: Fraction, bits: int) -> Fraction:
    """The least number of the format that is greater than a number that is not negative."""
    step = _step(number, bits)
    return number // step * step + step


def _step(number: Fraction, bits: int) -> Fraction:
    """The distance of the numbers of the format where this number is."""
    exponent, size = _LEAST_EXPONENT[bits], abs(number)
    if size >= Fraction(2) ** exponent:
        exponent = size.numerator.bit_length() - size.denominator.bit_length()
        if Fraction(2) ** exponent > size:
            exponent -= 1
    return Fraction(2) ** (exponent - _PRECISION[bits] + 1)
