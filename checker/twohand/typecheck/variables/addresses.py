"""Direct addresses: ``AT %IX0.3``, ``%QW4``, ``%M*`` (IEC 61131-3:2003, 2.4.1.1).

Whether the number behind a size counts bytes or things of that size differs between platforms, so
two addresses overlap if they do in either reading. Inputs that overlap where bytes are counted only
are read all the same, as independent of each other: that is what they are where words are counted,
and every value that they have where bytes are is among those.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from twohand.program import Role
from twohand.syntax import tree
from twohand.text.diagnostic import Diagnostic, InputError, Severity, wrong
from twohand.text.source_text import Span

_ADDRESS = re.compile(r"%([IQM])(?:([XBWDL]?)(\d{1,6}(?:\.\d{1,6})*)|[XBWDL]?\*)")
_BITS = {"X": 1, "B": 8, "W": 16, "D": 32, "L": 64}
_ROLES = {"I": Role.INPUT, "Q": Role.OUTPUT, "M": Role.GLOBAL}


@dataclass(frozen=True)
class Place:
    """``bits`` are the ranges that it covers in one reading each; none where the address is left
    open (``%I*``)."""

    area: str
    text: str
    bits: tuple[tuple[int, int], ...]
    span: Span = field(repr=False)

    @property
    def role(self) -> Role:
        return _ROLES[self.area]

    def overlaps(self, other: Place) -> bool:
        """Whether the two share a bit, in whichever reading."""
        return any(self._shares(other))

    def may_be_apart(self, other: Place) -> bool:
        """Whether the two are inputs of several bits each that share none where words are
        counted. (How a single bit is counted there differs once more.)"""
        one_bit = any(high - low == 1 for place in (self, other) for low, high in place.bits)
        return self.area == "I" and not one_bit and not all(self._shares(other))

    def _shares(self, other: Place) -> list[bool]:
        """Whether they share a bit, for each reading."""
        return [
            self.area == other.area and low < other_high and other_low < high
            for (low, high), (other_low, other_high) in zip(self.bits, other.bits, strict=False)
        ]


def true_address(text: str) -> str:
    """One spelling for an address: a bit has its X."""
    found = _ADDRESS.fullmatch(text)
    if found is None or found[3] is None:
        return text
    return f"%{found[1]}{found[2] or 'X'}{found[3]}"


def size_of(text: str) -> str | None:
    """X, B, W, D or L; None for an address that is left open or malformed."""
    found = _ADDRESS.fullmatch(text)
    return None if found is None or found[3] is None else found[2] or "X"


def place_of(address: tree.Address, width: int) -> Place:
    """Where an address lies; ``width`` is the size in bits of what is declared there. InputError
    (``malformed-address``)."""
    found = _ADDRESS.fullmatch(address.text)
    if found is None:
        message = f"'{address.text}' is no direct address"
        way = "write for instance %IX0.3, %QW4 or %I*"
        raise wrong("malformed-address", message, address.span, way)
    area, size, numbers = found.groups()
    if numbers is None:
        return Place(area, address.text, (), address.span)
    parts = [int(number) for number in numbers.split(".")]
    width = max(width, _BITS[size or "X"])
    return Place(area, address.text, _ranges(size or "X", parts, width), address.span)


def _ranges(size: str, parts: list[int], width: int) -> tuple[tuple[int, int], ...]:
    """By bytes, and by things of the size; more than two parts are a path of their own."""
    *path, last = parts
    if size == "X" and path:
        *outer, byte = path
        base = _base(outer)
        starts = (base + byte * 8 + last, base + byte * 8 + last)
    else:
        base = _base(path)
        starts = (base + last * (1 if size == "X" else 8), base + last * _BITS[size])
    return tuple((start, start + width) for start in starts)


def _base(path: list[int]) -> int:
    """A place far from all others for what comes before the last two numbers."""
    base = 0
    for number in path:
        base = (base + number + 1) * 1_000_000_000
    return base


def counted_in_words(first: Place, second: Place) -> Diagnostic:
    """The warning for two inputs that share bits where bytes are counted."""
    return Diagnostic(
        "addresses-counted-in-words",
        f"'{second.text}' overlaps '{first.text}' where addresses count bytes; both are read as "
        "inputs of their own, as where they count words. What is proved holds either way; a run "
        "or an availability may be one of words only",
        second.span,
        "see in the platform's manual what an address counts",
        ((first.span, "the other address"),),
        Severity.WARNING,
    )


def overlapping(first: Place, second: Place) -> InputError:
    """The error for two variables that share a bit."""
    message = f"'{second.text}' overlaps '{first.text}'"
    way = "give each variable an address of its own, or read single bits of one variable"
    other = ((first.span, "the other address"),)
    return wrong("overlapping-addresses", message, second.span, way, other)
