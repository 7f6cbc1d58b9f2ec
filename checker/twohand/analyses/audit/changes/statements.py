"""Changes of statements: removed, moved before or behind a call, an ELSE dropped."""

from __future__ import annotations

import re
from collections.abc import Iterator

from twohand.analyses.audit.changes.change import BlockChange, ChangeKind, Edit, place_of
from twohand.analyses.audit.changes.scope import UnitScope, code_of, expressions, short
from twohand.program.walks import nodes_below
from twohand.syntax import tree


def removed(scope: UnitScope) -> Iterator[BlockChange]:
    """Each statement with all that is in it; where it is the only one, nothing is done there."""
    for body in scope.bodies:
        others = sum(not isinstance(each, tree.Empty) for each in body)
        for statement in body:
            if not isinstance(statement, tree.Empty):
                place = place_of(statement.span)
                edit = Edit(place.source, place.start, place.end, "" if others > 1 else ";")
                words = f"'{short(place.text)}' is removed"
                yield BlockChange(ChangeKind.REMOVED, statement.span, words, (edit,))


def moved(scope: UnitScope) -> Iterator[BlockChange]:
    """What writes that which a call takes goes to the other side of the call, and the call to the
    other side of what reads what it gives."""
    for body in scope.bodies:
        for at, call in enumerate(body):
            if not isinstance(call, tree.CallStatement):
                continue
            taken = _read(call)
            instance = _first(call.call.name) if isinstance(call.call, tree.Call) else ""
            for number, other in enumerate(body):
                if number == at or isinstance(other, tree.Empty):
                    continue
                if taken & _written(other):
                    yield _move(other, call, behind=number < at)
                if instance and instance in _read_below(other):
                    yield _move(call, other, behind=at < number)


def _move(what: tree.Statement, mark: tree.Statement, behind: bool) -> BlockChange:
    """``what`` goes right before or behind ``mark``."""
    place, there = place_of(what.span), place_of(mark.span)
    text = place.text
    ended = text if text.endswith(";") else f"{text};"
    at = there.end if behind else there.start
    added = f"\n{ended}" if behind else f"{ended}\n"
    if behind and not there.text.endswith(";"):
        added = f";{added}"
    edits = (Edit(place.source, place.start, place.end, ""), Edit(there.source, at, at, added))
    where = "behind" if behind else "before"
    words = f"'{short(text)}' goes {where} '{short(there.text)}'"
    return BlockChange(ChangeKind.MOVED, what.span, words, edits)


def _first(name: tree.Name) -> str:
    return name.parts[0].key if name.parts else ""


def _names(root: object) -> set[str]:
    """The first parts of the names in an expression."""
    return {_first(node) for node in nodes_below(root) if isinstance(node, tree.Name)}


def _read(statement: tree.Statement) -> set[str]:
    return {name for each in expressions(statement) for name in _names(each)}


def _read_below(statement: tree.Statement) -> set[str]:
    within = [node for node in nodes_below(statement) if isinstance(node, _STATEMENTS)]
    return {name for each in within for name in _read(each)}


def _written(statement: tree.Statement) -> set[str]:
    """What is assigned in a statement."""
    return {
        name
        for node in nodes_below(statement)
        if isinstance(node, tree.Assign | tree.SetAssign)
        for name in _names(node.target)
    }


_STATEMENTS = (
    tree.Assign, tree.SetAssign, tree.CallStatement, tree.If, tree.Case, tree.For, tree.While,
    tree.Repeat,
)  # fmt: skip


def else_dropped(scope: UnitScope) -> Iterator[BlockChange]:
    """Of IF and of CASE."""
    for statement in scope.statements:
        if not isinstance(statement, tree.If | tree.Case) or not statement.otherwise:
            continue
        first, last = statement.otherwise[0].span, statement.otherwise[-1].span
        begin, end = place_of(first), place_of(last)
        whole = place_of(statement.span)
        between = code_of(begin.source)[whole.start : begin.start]
        *_, word = re.finditer(r"\bELSE\s*$", between, re.IGNORECASE)
        edit = Edit(begin.source, whole.start + word.start(), end.end, "")
        text = begin.source.text[begin.start : end.end]
        words = f"'ELSE {short(text)}' is dropped"
        yield BlockChange(ChangeKind.ELSE_DROPPED, first, words, (edit,))
