"""All changes of a block, in a fixed order."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

from twohand.analyses.audit.changes import constants, expressions, instances, statements
from twohand.analyses.audit.changes.change import KIND_ORDER, BlockChange, place_of
from twohand.analyses.audit.changes.scope import UnitScope
from twohand.text.source_text import SourceText

KINDS: tuple[Callable[[UnitScope], Iterator[BlockChange]], ...] = (
    expressions.negated,
    expressions.dropped,
    expressions.constant,
    expressions.operator,
    constants.value,
    instances.timer_input,
    instances.edge,
    instances.level,
    statements.removed,
    statements.moved,
    statements.else_dropped,
    constants.label,
    constants.initial,
    constants.retain,
)


def changes_of(scopes: Iterable[UnitScope], sources: Sequence[SourceText]) -> list[BlockChange]:
    """By file, place and kind; of those that give the same text the first one."""
    found = [change for scope in scopes for kind in KINDS for change in kind(scope)]
    order = {source: number for number, source in enumerate(sources)}

    def position(change: BlockChange) -> tuple[int, int, int, int]:
        place = place_of(change.span)
        kind = KIND_ORDER[change.kind]
        return order.get(place.source, len(order)), place.start, kind, place.end

    distinct: dict[tuple[object, ...], BlockChange] = {}
    for change in sorted(found, key=position):
        distinct.setdefault(_result(change), change)
    return list(distinct.values())


def _result(change: BlockChange) -> tuple[object, ...]:
    """What tells apart the texts that changes give, without making them: edits without what they
    leave as it is."""
    return tuple(sorted(_least(e.source, e.start, e.end, e.text) for e in change.edits))


def _least(source: SourceText, start: int, end: int, text: str) -> tuple[int, int, int, str]:
    old = source.text[start:end]
    begin = 0
    while begin < min(len(old), len(text)) and old[begin] == text[begin]:
        begin += 1
    behind = 0
    while behind < min(len(old), len(text)) - begin and old[-1 - behind] == text[-1 - behind]:
        behind += 1
    return id(source), start + begin, end - behind, text[begin : len(text) - behind]


def evenly(changes: Sequence[BlockChange], most: int | None) -> list[BlockChange]:
    """At most so many of them, at even distances in their order."""
    if most is None or most >= len(changes):
        return list(changes)
    return [changes[number * len(changes) // most] for number in range(most)]
