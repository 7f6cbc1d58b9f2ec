"""Comparisons of REALs with constants, counted out over the values of the formats."""

from __future__ import annotations

import operator
import struct
from collections.abc import Callable, Sequence
from fractions import Fraction
from math import inf, nan, nextafter
from typing import Any

from twohand.program import Program
from twohand.program.types import RealClasses
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.meaning.both_rooms import both_rooms

SIGNS: dict[str, Callable[[Any, Any], bool]] = {
    "<": operator.lt, "<=": operator.le, "=": operator.eq,
    "<>": operator.ne, ">=": operator.ge, ">": operator.gt,
}  # fmt: skip
TURNED = dict(zip(SIGNS, (">", ">=", "=", "<>", "<=", "<"), strict=True))
UPPER, LOWER, ALL = ("<=", ">"), ("<", ">="), tuple(SIGNS)


def block(kind: str, texts: list[str], signs: Sequence[str] = ALL) -> Program:
    """Comparisons of an input with each of the constants, from either side."""
    names, lines = [], []
    for number, text in enumerate(texts):
        for place, sign in enumerate(signs):
            name = f"q{number}x{place}"
            names += [name, f"{name}t"]
            lines.append(f"{name} := x {sign} {text}; {name}t := {text} {TURNED[sign]} x;")
    text = (
        f"FUNCTION_BLOCK B VAR_INPUT x : {kind}; END_VAR "
        f"VAR_OUTPUT {', '.join(names)} : BOOL; END_VAR\n{' '.join(lines)}\nEND_FUNCTION_BLOCK"
    )
    return load_program([SourceText("b.st", text)])


def seen_of_classes(tested: Program) -> dict[str, tuple[bool, ...]]:
    """What each class gives, in the order of the outputs; both rooms agree."""
    (x,) = tested.inputs
    assert isinstance(x.type, RealClasses)
    names = [output.name for output in tested.outputs]
    rows = [{"x": number} for _, number in x.type.values]
    shown = both_rooms(tested, rows, names)
    return {
        text: tuple(map(bool, row)) for (text, _), row in zip(x.type.values, shown, strict=True)
    }


def single(bits: int) -> float:
    return struct.unpack("<f", struct.pack("<I", bits))[0]


def step(value: float, up: bool, kind: str) -> float:
    """The neighbour of a value of the format, by its bits."""
    if kind == "LREAL":
        return nextafter(value, inf if up else -inf)
    (bits,) = struct.unpack("<I", struct.pack("<f", value))
    if value == 0:
        return single(1) if up else single(0x80000001)
    return single(bits + 1 if (value > 0) == up else bits - 1)


def rounded(exact: Fraction, kind: str, way: str) -> float:
    """A number in a format, to the nearest of it or to one side."""
    value = float(exact)
    if kind == "REAL":
        (value,) = struct.unpack("<f", struct.pack("<f", value))
    if way == "up" and Fraction(value) < exact:
        return step(value, True, kind)
    if way == "down" and Fraction(value) > exact:
        return step(value, False, kind)
    return value


def readings(text: str) -> list[float]:
    """What a platform may compare with, in an order that says which platform."""
    prefix, _, digits = text.rpartition("#")
    exact = Fraction(digits)
    kinds = {"REAL": ["REAL"] * 6, "LREAL": ["LREAL"] * 6, "": ["REAL"] * 3 + ["LREAL"] * 3}
    ways = ["near", "up", "down"] * 2
    return [rounded(exact, kind, way) for kind, way in zip(kinds[prefix], ways, strict=True)]


def seen_of_values(
    kind: str, texts: list[str], signs: Sequence[str]
) -> list[set[tuple[bool, ...]]]:
    """For each platform what the values of the format give, counted out."""
    exact = [Fraction(text.rpartition("#")[2]) for text in texts]
    middles = [(a + b) / 2 for a, b in zip(sorted(exact), sorted(exact)[1:], strict=False)]
    written = [Fraction(each) for text in texts for each in readings(text)]
    values = [0.0, -0.0, inf, -inf, nan, 1e30, -1e30]
    for number in (*exact, *middles, *written):
        value = rounded(number, kind, "near")
        for up in (False, True):
            near = value
            for _ in range(4):
                values.append(near)
                near = step(near, up, kind)
    return [
        {
            tuple(
                seen
                for constant in constants
                for sign in signs
                for seen in (SIGNS[sign](value, constant),) * 2
            )
            for value in values
        }
        for constants in zip(*map(readings, texts), strict=True)
    ]
