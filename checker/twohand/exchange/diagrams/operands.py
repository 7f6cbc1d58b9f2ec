"""Operands of ladders and function-block diagrams: variables, pins of instances and literals.

They are in attributes; nothing but one of these may, so that an operand never says more than
that (no statement, no comment, no call).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from twohand.exchange.rules import Piece, expression_of, malformed
from twohand.program import Operator
from twohand.program.types import BOOL
from twohand.syntax import tree
from twohand.syntax.lexing.keywords import KEYWORDS, REFUSED

Way = tuple[str, ...]
"""The names of a variable in upper case, up to the first index: ``T1.Q``, ``rack`` of
``rack[2].on``."""

_PLAIN = re.compile(r"[^\W\d]\w*(?:\.[^\W\d]\w*)*")
_NO_NAME = KEYWORDS | REFUSED.keys()


@dataclass(frozen=True)
class Operand:
    """``way`` is empty for a literal; ``indices`` are the variables in its indices; ``may_fail``:
    an index may be outside; ``plain``: it is names only."""

    piece: Piece
    way: Way
    indices: frozenset[Way] = frozenset()
    boolean: bool = False
    may_fail: bool = False
    plain: bool = True

    @property
    def whole(self) -> Way:
        """The names of all of it; none where it is an element or a bit."""
        return self.way if self.plain else ()


def operand(piece: Piece) -> Operand:
    """A variable, a pin of an instance, a constant or a literal; InputError for anything else."""
    text = piece.text.strip()
    stripped = Piece(text, piece.place)
    if _PLAIN.fullmatch(text) and not any(p in _NO_NAME for p in text.upper().split(".")):
        return Operand(stripped, tuple(text.upper().split(".")))
    node = expression_of(text)
    if node is not None and node.span.text != text:
        node = None  # in parentheses
    if isinstance(node, tree.Unary) and node.operator is Operator.NEGATE:
        node = node.operand if isinstance(node.operand, tree.Literal) else None
    match node:
        case tree.Literal(type=kind):
            return Operand(stripped, (), boolean=kind == BOOL, plain=False)
        case tree.EnumerationValue() | tree.UnmodelledLiteral():
            return Operand(stripped, (), plain=False)
        case tree.Name(owner=None) as name:
            return Operand(stripped, _way(name), plain=False)
        case tree.AccessPath(name=tree.Name(owner=None)) as path:
            return _indexed(stripped, path)
    way = (
        "write a variable, a pin of an instance, a constant or a literal; what is computed goes "
        "through a block"
    )
    raise malformed(f"'{piece.text}' is neither a variable nor a literal", piece.place, way)


def variable(piece: Piece) -> Operand:
    """The same for what is written or called."""
    found = operand(piece)
    if not found.way:
        raise malformed(f"'{piece.text}' is no variable", piece.place, "write a variable")
    return found


def _way(name: tree.Name) -> Way:
    return tuple(part.key for part in name.parts)


def _indexed(piece: Piece, path: tree.AccessPath) -> Operand:
    indices = [each for each in path.selectors if isinstance(each, tree.Index)]
    expressions = [node for index in indices for node in index.expressions]
    used: set[Way] = set()
    for node in expressions:
        used.update(_names_in(node, piece))
    way = _way(path.name)
    moving = any(not isinstance(node, tree.Literal) for node in expressions)
    return Operand(piece, way, frozenset(used), may_fail=moving, plain=False)


def _names_in(node: tree.Expression, piece: Piece) -> Iterator[Way]:
    match node:
        case tree.Literal() | tree.EnumerationValue():
            return
        case tree.Name(owner=None):
            yield _way(node)
        case tree.Unary(operand=inner):
            yield from _names_in(inner, piece)
        case tree.Binary(left=left, right=right):
            yield from _names_in(left, piece)
            yield from _names_in(right, piece)
        case _:
            raise malformed(f"the index in '{piece.text}' is not read here", piece.place,
                            "write a number or a variable as index")  # fmt: skip
