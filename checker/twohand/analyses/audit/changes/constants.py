"""Changes of constants: in statements, in labels of CASE, in initial values; and RETAIN."""

from __future__ import annotations

import re
from collections.abc import Iterator

from twohand.analyses.audit.changes.change import BlockChange, ChangeKind, Edit, place_of
from twohand.analyses.audit.changes.scope import (
    UnitScope,
    code_of,
    expressions,
    piece_of,
    replaced,
)
from twohand.program.durations import Nanoseconds
from twohand.program.types import BOOL, Duration
from twohand.program.walks import nodes_below
from twohand.specification.reading.task_times import written_time
from twohand.syntax import tree
from twohand.text.source_text import Span

_KEPT = ("VAR", "VAR_OUTPUT")
"""Sections whose variables begin with a value of their own."""


def value(scope: UnitScope) -> Iterator[BlockChange]:
    """Each constant in a statement; a duration by one scan, others by one."""
    for statement in scope.statements:
        for whole in expressions(statement):
            for node in nodes_below(whole):
                if isinstance(node, tree.Literal):
                    yield from _moved(ChangeKind.VALUE, node, scope)


def _moved(kind: ChangeKind, node: tree.Literal, scope: UnitScope) -> Iterator[BlockChange]:
    piece = piece_of(node)
    for text in _other_texts(node, piece.text, scope):
        yield replaced(kind, node.span, piece, text)


def _other_texts(node: tree.Literal, text: str, scope: UnitScope) -> list[str]:
    """Literals of the same type whose values are near, each once."""
    if node.type == BOOL:
        return ["FALSE" if node.value else "TRUE"]
    number = int(node.value)
    prefix, mark, _ = text.rpartition("#")
    if isinstance(node.type, Duration):
        unit = scope.unit_time
        near = (number + scope.scan, number - scope.scan, number // 2 // unit * unit, 2 * number)
        word = "L" if text.upper().startswith("L") else ""
        texts = [f"{word}{written_time(Nanoseconds(n))}" for n in near if n >= 0 and n != number]
    else:
        near = (number + 1, number - 1, number // 2, 2 * number)
        begin = "" if node.type is None or not mark else f"{prefix.partition('#')[0]}#"
        texts = [f"{begin}{n}" for n in near if n != number]
    return list(dict.fromkeys(texts))


def label(scope: UnitScope) -> Iterator[BlockChange]:
    """The labels of two arms that follow each other are exchanged; a number moves by one."""
    for statement in scope.statements:
        if not isinstance(statement, tree.Case):
            continue
        for first, second in zip(statement.arms, statement.arms[1:], strict=False):
            one, other = _labels(first), _labels(second)
            words = f"'{one.text}' and '{other.text}' change places"
            edits = tuple(
                Edit(place.source, place.start, place.end, text)
                for place, text in ((place_of(one), other.text), (place_of(other), one.text))
            )
            yield BlockChange(ChangeKind.LABEL, one, words, edits)
        for arm in statement.arms:
            for each in arm.labels:
                for bound in (each.low, each.high):
                    if isinstance(bound, tree.Literal) and bound.type != BOOL:
                        for text in (f"{int(bound.value) + 1}", f"{int(bound.value) - 1}"):
                            yield replaced(ChangeKind.LABEL, bound.span, piece_of(bound), text)


def _labels(arm: tree.Arm) -> Span:
    return arm.labels[0].span.through(arm.labels[-1].span)


def initial(scope: UnitScope) -> Iterator[BlockChange]:
    """The initial values of what is kept from scan to scan, and those of constants; a BOOL without
    one begins TRUE."""
    for section in scope.unit.sections:
        for declaration in section.declarations:
            given = declaration.initial
            kept = section.keyword in _KEPT
            pins = [pin.value for pin in declaration.pins]
            for each in (given, *pins):
                if each is not None and (kept or section.constant or not scope.top):
                    for node in nodes_below(each):
                        if isinstance(node, tree.Literal):
                            yield from _moved(ChangeKind.INITIAL, node, scope)
            if given is None and kept and not section.constant and _is_bool(declaration):
                place = place_of(declaration.type.span)
                edit = Edit(place.source, place.end, place.end, " := TRUE")
                names = ", ".join(name.text for name in declaration.names)
                words = f"'{names}' begins TRUE"
                yield BlockChange(ChangeKind.INITIAL, declaration.span, words, (edit,))


def _is_bool(declaration: tree.Declaration) -> bool:
    kind = declaration.type
    return isinstance(kind, tree.NamedType) and kind.name.key == "BOOL"


def retain(scope: UnitScope) -> Iterator[BlockChange]:
    """Of whole sections."""
    for section in scope.unit.sections:
        place = place_of(section.span)
        if section.keyword not in _KEPT or section.constant:
            continue
        word = next((q for q in section.qualifiers if q.key in ("RETAIN", "PERSISTENT")), None)
        if word is not None:
            gone = place_of(word.span)
            edit = Edit(gone.source, gone.start, gone.end, "")
            yield BlockChange(ChangeKind.RETAIN, word.span, f"'{word.text}' is removed", (edit,))
        elif not section.qualifiers:
            begin = re.match(r"\w+", code_of(place.source)[place.start :])
            assert begin is not None
            at = place.start + begin.end()
            edit = Edit(place.source, at, at, " RETAIN")
            words = f"'{section.keyword}' becomes '{section.keyword} RETAIN'"
            yield BlockChange(ChangeKind.RETAIN, section.span, words, (edit,))
