"""Traces of Boolean letters, and formulas over them."""

from __future__ import annotations

from collections.abc import Sequence

from twohand.program import Expression, Literal, Operation, Operator, Read, Role, Variable
from twohand.program.types import BOOL, INT, Type, Value
from twohand.scan.clocking import NANOSECONDS_PER_MILLISECOND, Clocking
from twohand.scan.scan_record import ScanRecord
from twohand.specification.logic.evaluate import holds, refuted_at
from twohand.specification.logic.formula import Atom, Formula, Property
from twohand.text.source_text import SourceText, Span

MILLISECONDS = Clocking(NANOSECONDS_PER_MILLISECOND, 1, 1_000_000)
PLACE = Span(SourceText("formula", "x"), 0, 1)


def variable(name: str, kind: Type = BOOL) -> Variable:
    return Variable(name, kind, Role.INPUT, 0, PLACE)


def read(name: str, kind: Type = BOOL) -> Read:
    return Read(variable(name, kind), PLACE)


def letter(name: str) -> Atom:
    """TRUE where the Boolean variable of this name is."""
    return Atom(read(name))


def number(value: int) -> Literal:
    return Literal(value, INT, PLACE)


def compared(operator: Operator, left: Expression, right: Expression) -> Operation:
    return Operation(operator, (left, right), BOOL, PLACE)


P, Q, R, S = (letter(name) for name in "pqrs")


def trace(times: Sequence[int] | None = None, **letters: str) -> list[ScanRecord]:
    """Records from one string of 0 and 1 a letter; 10 units apart unless ``times`` are given."""
    length = len(next(iter(letters.values())))
    stamps = times if times is not None else range(0, 10 * length, 10)
    return [
        ScanRecord(
            stamps[i],
            10,
            {name: text[i] == "1" for name, text in letters.items()},
            older=frozenset(letters),
        )
        for i in range(length)
    ]


def numbers(**values: Sequence[int]) -> list[ScanRecord]:
    """Records of integer variables, 10 units apart."""
    length = len(next(iter(values.values())))
    rows: list[dict[str, Value]] = [{k: v[i] for k, v in values.items()} for i in range(length)]
    return [ScanRecord(10 * i, 10, row, older=frozenset(values)) for i, row in enumerate(rows)]


def bits(formula: Formula, records: Sequence[ScanRecord]) -> str:
    """Where the formula holds, ``"0110"``."""
    return "".join("1" if truth else "0" for truth in holds(formula, records, MILLISECONDS))


def refuted(asked: Property, records: Sequence[ScanRecord]) -> int | None:
    return refuted_at(asked, records, MILLISECONDS)
