"""Changes of what timers and edges hear: a timer fed otherwise, an edge for a level and back."""

from __future__ import annotations

from collections.abc import Iterator

from twohand.analyses.audit.changes.change import BlockChange, ChangeKind, Edit, place_of
from twohand.analyses.audit.changes.scope import (
    UnitScope,
    conditions,
    operand,
    piece_of,
    replaced,
    values,
)
from twohand.program.walks import nodes_below
from twohand.syntax import tree

_TIMERS = ("TON", "TOF", "TP")
_EDGES = ("R_TRIG", "F_TRIG")
_LOCAL = ("VAR", "VAR_INPUT", "VAR_OUTPUT", "VAR_IN_OUT")
_INSTANCE = "rising_{}"


def _calls(scope: UnitScope, types: tuple[str, ...]) -> Iterator[tree.Call]:
    """The calls of the unit's own instances of these blocks."""
    own = {name.key for name in scope.names(types, *_LOCAL)}
    for statement in scope.statements:
        if isinstance(statement, tree.CallStatement) and isinstance(statement.call, tree.Call):
            name = statement.call.name
            if len(name.parts) == 1 and name.parts[0].key in own:
                yield statement.call


def _input(call: tree.Call, name: str) -> tree.Expression | None:
    for argument in call.arguments:
        if argument.name is None or argument.name.key == name:
            return argument.value
    return None


def timer_input(scope: UnitScope) -> Iterator[BlockChange]:
    """Each input of the unit instead of what a timer hears, and joined with it by OR and by AND;
    each other BOOL variable instead of it."""
    inputs = scope.names(("BOOL",), "VAR_INPUT")
    others = scope.names(("BOOL",), "VAR_OUTPUT", "VAR")
    for call in _calls(scope, _TIMERS):
        heard = _input(call, "IN")
        if heard is None:
            continue
        piece = piece_of(heard)
        used = {n.parts[0].key for n in nodes_below(heard) if isinstance(n, tree.Name) and n.parts}
        whole = piece.whole
        for name in inputs:
            texts = [name.text]
            if name.key not in used:
                texts += [f"{whole} OR {name.text}", f"{whole} AND {name.text}"]
            for text in texts:
                if text != piece.text:
                    yield replaced(ChangeKind.TIMER_INPUT, heard.span, piece, text)
        for name in others:
            if name.text != piece.text:
                yield replaced(ChangeKind.TIMER_INPUT, heard.span, piece, name.text)


def level(scope: UnitScope) -> Iterator[BlockChange]:
    """Where the output of an edge is read, what the edge hears."""
    heard = {
        call.name.parts[0].key: found
        for call in _calls(scope, _EDGES)
        if (found := _input(call, "CLK")) is not None
    }
    for node in _reads(scope):
        if len(node.parts) == 2 and node.parts[1].key == "Q" and node.parts[0].key in heard:
            text = operand(heard[node.parts[0].key]).whole
            yield replaced(ChangeKind.LEVEL, node.span, piece_of(node), text)


def edge(scope: UnitScope) -> Iterator[BlockChange]:
    """Where a BOOL input is read, that it rises: by an instance of its own, called first."""
    inputs = {name.key: name for name in scope.names(("BOOL",), "VAR_INPUT")}
    if not scope.unit.body or not scope.unit.sections:
        return
    known = {name.key for name in scope.unit.declared()}
    declared = place_of(scope.unit.sections[-1].span)
    body = place_of(scope.unit.body[0].span)
    for node in _reads(scope):
        if len(node.parts) != 1 or node.parts[0].key not in inputs:
            continue
        name = inputs[node.parts[0].key].text
        instance = _INSTANCE.format(name)
        while instance.upper() in known:
            instance += "_"
        piece = piece_of(node)
        section = f"\nVAR\n    {instance} : R_TRIG;\nEND_VAR"
        first = f"{instance}(CLK := {name});\n"
        edits = (
            Edit(declared.source, declared.end, declared.end, section),
            Edit(body.source, body.start, body.start, first),
            piece.becomes(f"{instance}.Q"),
        )
        words = f"'{piece.text}' becomes its rising edge"
        yield BlockChange(ChangeKind.EDGE, node.span, words, edits)


def _reads(scope: UnitScope) -> Iterator[tree.Name]:
    """Names that are read in conditions and in what is assigned or given to a call."""
    for statement in scope.statements:
        for whole in (*conditions(statement), *values(statement)):
            yield from (node for node in nodes_below(whole) if isinstance(node, tree.Name))
