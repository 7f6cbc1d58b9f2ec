"""Names that are declared twice."""

from __future__ import annotations

from twohand.syntax import tree
from twohand.text.diagnostic import Diagnostic


def duplicate(name: tree.Identifier, taken: dict[str, tree.Identifier]) -> Diagnostic | None:
    """What is wrong with declaring a name a second time, in whatever letter case."""
    first = taken.get(name.key)
    return None if first is None else declared_twice(name, first)


def declared_twice(name: tree.Identifier, first: tree.Identifier) -> Diagnostic:
    """``first`` has declared the name already."""
    spelt = f" (there spelt '{first.text}')" if first.text != name.text else ""
    message = f"'{name.text}' is declared twice{spelt}"
    way = "letter case does not tell names apart; rename one of them"
    declared = ((first.span, "first declared here"),)
    return Diagnostic("duplicate-name", message, name.span, way, declared)
