"""Expressions: from syntax tree to typed program."""

from __future__ import annotations

from checker.source import program, tree
from checker.source.scope import Scope
from checker.source.types import Type


def resolve_expression(
    node: tree.Expression, scope: Scope, expected: Type | None = None
) -> program.Expression:
    """The typed expression; with ``expected`` converted to that type where the language widens
    implicitly. InputError with every wrong name and type in it."""
    raise NotImplementedError
