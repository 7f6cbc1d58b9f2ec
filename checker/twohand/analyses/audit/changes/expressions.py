"""Changes of conditions and values: negated, dropped, set to a constant, AND for OR."""

from __future__ import annotations

from collections.abc import Iterator

from twohand.analyses.audit.changes.change import BlockChange, ChangeKind, Edit, place_of
from twohand.analyses.audit.changes.scope import (
    JOINING,
    UnitScope,
    conditions,
    expressions,
    operand,
    piece_of,
    replaced,
    values,
)
from twohand.program import Operator
from twohand.program.walks import nodes_below
from twohand.syntax import tree

_OTHER_WORD = {Operator.AND: "OR", Operator.OR: "AND", Operator.XOR: "OR"}
_OTHER_SHORT = {Operator.AND: "OR_ELSE", Operator.OR: "AND_THEN"}


def _joined(root: tree.Expression) -> Iterator[tree.Binary]:
    """The places where an expression joins conditions."""
    for node in nodes_below(root):
        if isinstance(node, tree.Binary) and node.operator in JOINING:
            yield node


def _is_constant(node: tree.Expression) -> bool:
    return isinstance(node, tree.Literal | tree.UnmodelledLiteral | tree.EnumerationValue)


def _is_joined(node: tree.Expression) -> bool:
    return isinstance(node, tree.Binary) and node.operator in JOINING


def negated(scope: UnitScope) -> Iterator[BlockChange]:
    """Each whole condition and value, and each part of one that AND, OR and XOR join."""
    for statement in scope.statements:
        for whole in (*conditions(statement), *values(statement)):
            if not _is_constant(whole):
                yield _negation(whole)
            for node in _joined(whole):
                parts = (node.left, node.right)
                yield from (_negation(part) for part in parts if not _is_joined(part))


def _negation(node: tree.Expression) -> BlockChange:
    piece = piece_of(node)
    if isinstance(node, tree.Unary) and node.operator is Operator.NOT:
        return replaced(ChangeKind.NEGATED, node.span, piece, operand(node.operand).whole)
    simple = isinstance(node, tree.Name | tree.AccessPath | tree.Call)
    text = piece.text if simple else f"({piece.text})"
    return replaced(ChangeKind.NEGATED, node.span, piece, f"NOT {text}")


def dropped(scope: UnitScope) -> Iterator[BlockChange]:
    """Each part that AND, OR or XOR joins with others."""
    for statement in scope.statements:
        for whole in expressions(statement):
            for node in _joined(whole):
                piece = piece_of(node)
                for gone, left in ((node.left, node.right), (node.right, node.left)):
                    same = isinstance(gone, tree.Binary) and gone.operator is node.operator
                    if not same:
                        kept = operand(left).text
                        words = f"'{operand(gone).text}' is dropped from '{piece.text}'"
                        edits = (piece.becomes(kept),)
                        yield BlockChange(
                            ChangeKind.DROPPED, gone.span, " ".join(words.split()), edits
                        )


def constant(scope: UnitScope) -> Iterator[BlockChange]:
    """Each whole condition and value, TRUE and FALSE."""
    for statement in scope.statements:
        for whole in (*conditions(statement), *values(statement)):
            if not _is_constant(whole):
                for text in ("TRUE", "FALSE"):
                    yield replaced(ChangeKind.CONSTANT, whole.span, piece_of(whole), text)


def operator(scope: UnitScope) -> Iterator[BlockChange]:
    """OR for AND and XOR, AND for OR, without parentheses that nobody wrote."""
    for statement in scope.statements:
        for whole in expressions(statement):
            for node in _joined(whole):
                words = _OTHER_SHORT if node.short_circuit else _OTHER_WORD
                other = words[node.operator]
                place = place_of(node.operator_span)
                edit = Edit(place.source, place.start, place.end, other)
                said = f"'{place.text}' becomes '{other}'"
                yield BlockChange(ChangeKind.OPERATOR, node.operator_span, said, (edit,))
