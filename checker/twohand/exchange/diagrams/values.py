"""What a connection of a diagram carries, as an expression of structured text."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import IntEnum

from twohand.exchange.diagrams.operands import Operand, Way
from twohand.exchange.rules import Piece
from twohand.text.source_text import Span


class Level(IntEnum):
    """How tightly the outermost operator binds (IEC 61131-3 Ed. 2, Table 55)."""

    OR = 1
    XOR = 2
    AND = 3
    OTHER = 4
    NOT = 5
    OPERAND = 6


@dataclass(frozen=True)
class Value:
    """``reads``: the variables in it; ``size``: the operands in it; ``type``: the name of its type,
    if known; ``sure``: whoever reads the expression finds that it is BOOL, or refuses it;
    ``may_fail``: evaluating it may be a finding."""

    pieces: tuple[Piece, ...]
    level: Level = Level.OPERAND
    reads: frozenset[Way] = frozenset()
    size: int = 1
    type: str | None = None
    sure: bool = False
    may_fail: bool = False

    @property
    def always(self) -> bool:
        """Whether it is the constant TRUE."""
        return len(self.pieces) == 1 and self.pieces[0].text == "TRUE"


def true(place: Span) -> Value:
    return Value((Piece("TRUE", place),), type="BOOL", sure=True)


def of_operand(operand: Operand, kind: str | None) -> Value:
    own = frozenset([operand.way]) if operand.way else frozenset()
    boolean = operand.boolean or (kind or "").upper() == "BOOL"
    return Value(
        (operand.piece,), reads=own | operand.indices, type="BOOL" if boolean else kind,
        sure=boolean, may_fail=operand.may_fail,
    )  # fmt: skip


def of_variable(name: str, place: Span, kind: str) -> Value:
    """A hidden variable, which nothing else writes."""
    return Value((Piece(name, place),), type=kind, sure=kind.upper() == "BOOL")


def negated(value: Value, place: Span) -> Value:
    if value.always:
        return replace(true(place), pieces=(Piece("FALSE", place),))
    inner = within(value, Level.NOT, place)
    return replace(value, pieces=(Piece("NOT ", place), *inner), level=Level.NOT)


def both(left: Value, right: Value, place: Span) -> Value:
    """In series: power flows where both are ON."""
    if left.always:
        return replace(right, type="BOOL")
    return replace(joined([left, right], " AND ", Level.AND, place), type="BOOL")


def any_of(values: Sequence[Value], place: Span) -> Value:
    """A vertical link: ON where one of those to the left is."""
    if len(values) == 1:
        return values[0]
    constant = next((value for value in values if value.always), None)
    if constant is not None and not any(value.may_fail for value in values):
        return constant
    return replace(joined(values, " OR ", Level.OR, place), type="BOOL")


def joined(values: Sequence[Value], operator: str, level: Level, place: Span) -> Value:
    """The values with one operator between them, from left to right."""
    pieces: list[Piece] = []
    for value in values:
        if pieces:
            pieces.append(Piece(operator, place))
        first = Level(level + 1) if pieces or level is Level.OTHER else level
        pieces.extend(within(value, first, place))
    return gathered(values, pieces, level)


def gathered(values: Iterable[Value], pieces: Iterable[Piece], level: Level) -> Value:
    """An expression made of others; of no known type."""
    parts = list(values)
    return Value(
        tuple(pieces), level, frozenset().union(*(part.reads for part in parts)),
        sum(part.size for part in parts), None, any(part.sure for part in parts),
        any(part.may_fail for part in parts),
    )  # fmt: skip


def within(value: Value, level: Level, place: Span) -> tuple[Piece, ...]:
    """The expression where one that binds at least as tightly as ``level`` is needed."""
    if value.level >= level:
        return value.pieces
    return (Piece("(", place), *value.pieces, Piece(")", place))
