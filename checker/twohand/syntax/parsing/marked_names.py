"""``#name`` and ``"name"`` in statements, held against what the unit declares."""

from __future__ import annotations

from collections.abc import Iterator

from twohand.program.walks import nodes_below
from twohand.syntax import tree
from twohand.text.diagnostic import Diagnostic


def marked_wrongly(unit: tree.Unit) -> Iterator[Diagnostic]:
    """``#x`` is a variable of the unit, and ``"x"`` is none; what has no mark may be either."""
    members = [each for each in unit.members if isinstance(each, tree.Method | tree.Action)]
    declared = {name.key for name in unit.declared()}
    for method in members:
        if isinstance(method, tree.Method):
            declared |= {n.key for s in method.sections for d in s.declarations for n in d.names}
    if unit.kind is tree.UnitKind.FUNCTION:
        declared.add(unit.name.key)
    for body in (unit.body, *(member.body for member in members)):
        for node in nodes_below(body):
            if isinstance(node, tree.Name) and node.parts and node.parts[0].mark:
                yield from _wrong(unit, node.parts[0], declared)


def _wrong(unit: tree.Unit, name: tree.Identifier, declared: set[str]) -> Iterator[Diagnostic]:
    if name.mark == "#" and name.key not in declared:
        message = f"'{unit.name.text}' declares no variable '{name.text}', which #{name.text} is"
        way = "declare it there, or write the name without #"
        if unit.base is not None:
            way = f"write {name.text} for a variable of '{unit.base.text}'"
        yield Diagnostic("unknown-name", message, name.span, way)
    if name.mark == '"' and (name.key in declared or unit.base is not None):
        message = f"\"{name.text}\" may be a variable of '{unit.name.text}' or a global one"
        way = f"write #{name.text} for the variable of the block, or rename one of them"
        yield Diagnostic("unsupported-quoted-name", message, name.span, way)
