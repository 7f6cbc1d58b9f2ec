"""Terms of a bounded system as literals and words of a graph."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TypeAlias

import z3

from twohand.analyses.export.bit_level.bounds import NotInBits
from twohand.analyses.export.bit_level.graph import (
    FALSE,
    TRUE,
    Graph,
    Literal,
    Word,
    inverted,
    number,
)
from twohand.engine.system.terms import literal_value, name, operands, walk

Meaning: TypeAlias = Literal | Word
"""Of a Boolean term, and of a number or a bit string."""
Interval: TypeAlias = tuple[int, int]


def bits_of(term: z3.ExprRef, width: int) -> int:
    """Of a bit string its own; of a number the ``width`` of all."""
    sort = term.sort()
    return sort.size() if isinstance(sort, z3.BitVecSortRef) else width


def width_of(terms: Sequence[z3.ExprRef], bounds: Mapping[str, Interval]) -> int:
    """Bits that hold every number below the terms, and the difference of any two of them.
    NotInBits, naming it, for arithmetic that has no form in bits here."""
    found: dict[int, Interval] = {}
    widest = 1
    for term in walk(terms):
        if z3.is_int(term):
            found[term.get_id()] = _interval(term, bounds, found)
            widest = max(widest, *(abs(end) for end in found[term.get_id()]))
    return widest.bit_length() + 2


def _interval(
    term: z3.ExprRef, bounds: Mapping[str, Interval], found: Mapping[int, Interval]
) -> Interval:
    value = literal_value(term)
    if value is not None:
        return int(value), int(value)
    kind, parts = term.decl().kind(), [found.get(part.get_id()) for part in operands(term)]
    numbers = [part for part in parts if part is not None]
    if kind == z3.Z3_OP_UNINTERPRETED and name(term) in bounds:
        return bounds[name(term)]
    if kind == z3.Z3_OP_ITE:
        return min(low for low, _ in numbers), max(high for _, high in numbers)
    if kind == z3.Z3_OP_ADD:
        return sum(low for low, _ in numbers), sum(high for _, high in numbers)
    if kind == z3.Z3_OP_SUB:
        (low, high), *others = numbers
        return low - sum(h for _, h in others), high - sum(lo for lo, _ in others)
    if kind == z3.Z3_OP_UMINUS:
        return -numbers[0][1], -numbers[0][0]
    if kind == z3.Z3_OP_MUL and len(numbers) == 2:
        ends = [one * other for one in numbers[0] for other in numbers[1]]
        return min(ends), max(ends)
    raise NotInBits(f"a number is made by '{term.decl().name()}'")


class Encoder:
    """Makes the graph grow; ``known`` are the symbols."""

    def __init__(self, graph: Graph, width: int, known: Mapping[str, Meaning]) -> None:
        self._graph = graph
        self._width = width
        self._symbols = known
        self._known: dict[int, Meaning] = {}
        self._kept: list[z3.ExprRef] = []

    def literal(self, term: z3.BoolRef) -> Literal:
        meaning = self._meaning(term)
        assert isinstance(meaning, int)
        return meaning

    def word(self, term: z3.ExprRef) -> Word:
        meaning = self._meaning(term)
        assert isinstance(meaning, tuple)
        return meaning

    def _meaning(self, root: z3.ExprRef) -> Meaning:
        self._kept.append(root)
        for term in walk([root]):
            if term.get_id() not in self._known:
                self._known[term.get_id()] = self._of(term)
        return self._known[root.get_id()]

    def _of(self, term: z3.ExprRef) -> Meaning:
        value = literal_value(term)
        if isinstance(value, bool):
            return TRUE if value else FALSE
        if value is not None:
            return number(value, bits_of(term, self._width))
        kind = term.decl().kind()
        if kind == z3.Z3_OP_UNINTERPRETED:
            return self._symbols[name(term)]
        parts = [self._known[part.get_id()] for part in operands(term)]
        if z3.is_bool(term):
            return self._truth(kind, term, parts)
        words = [part for part in parts if isinstance(part, tuple)]
        if kind == z3.Z3_OP_ITE:
            condition = parts[0]
            assert isinstance(condition, int)
            return self._graph.chosen_word(condition, *words)
        return self._number(kind, term, words) if z3.is_int(term) else self._bits(kind, term, words)

    def _truth(self, kind: int, term: z3.ExprRef, parts: list[Meaning]) -> Literal:
        truths = [part for part in parts if isinstance(part, int)]
        if len(truths) == len(parts):
            return self._connected(kind, term, truths)
        words = [part for part in parts if isinstance(part, tuple)]
        compared = _compared(kind, self._graph)
        if compared is not None and len(words) == 2:
            return compared(words[0], words[1])
        if kind == z3.Z3_OP_DISTINCT and len(words) == 2:
            return inverted(self._graph.same(words[0], words[1]))
        raise NotInBits(f"a condition is made by '{term.decl().name()}'")

    def _connected(self, kind: int, term: z3.ExprRef, truths: list[Literal]) -> Literal:
        graph = self._graph
        if kind == z3.Z3_OP_NOT:
            return inverted(truths[0])
        if kind == z3.Z3_OP_AND:
            return graph.all_of(truths)
        if kind == z3.Z3_OP_OR:
            return inverted(graph.all_of([inverted(truth) for truth in truths]))
        if kind == z3.Z3_OP_IMPLIES:
            return graph.either(inverted(truths[0]), truths[1])
        if kind == z3.Z3_OP_ITE:
            return graph.chosen(*truths)
        if kind in (z3.Z3_OP_EQ, z3.Z3_OP_IFF):
            return inverted(graph.differ(*truths))
        if kind in (z3.Z3_OP_XOR, z3.Z3_OP_DISTINCT) and len(truths) == 2:
            return graph.differ(*truths)
        raise NotInBits(f"a condition is made by '{term.decl().name()}'")

    def _number(self, kind: int, term: z3.ExprRef, words: list[Word]) -> Word:
        graph, nothing = self._graph, number(0, self._width)
        if kind == z3.Z3_OP_ADD:
            total = nothing
            for word in words:
                total = graph.sum_of(total, word)
            return total
        if kind == z3.Z3_OP_SUB:
            total, *others = words
            for word in others:
                total = graph.difference_of(total, word)
            return total
        if kind == z3.Z3_OP_UMINUS:
            return graph.difference_of(nothing, words[0])
        if kind == z3.Z3_OP_MUL and len(words) == 2:
            for factor, other in zip(operands(term), reversed(words), strict=True):
                value = literal_value(factor)
                if value is not None:
                    return graph.product_of(other, int(value))
        raise NotInBits(f"a number is made by '{term.decl().name()}'")

    def _bits(self, kind: int, term: z3.ExprRef, words: list[Word]) -> Word:
        graph = self._graph
        if kind == z3.Z3_OP_BNOT:
            return tuple(inverted(bit) for bit in words[0])
        operations: dict[int, Callable[[Literal, Literal], Literal]] = {
            z3.Z3_OP_BAND: graph.both,
            z3.Z3_OP_BOR: graph.either,
            z3.Z3_OP_BXOR: graph.differ,
        }
        if kind in operations:
            total, *others = words
            for word in others:
                total = tuple(map(operations[kind], total, word))
            return total
        if kind == z3.Z3_OP_CONCAT:
            return tuple(bit for word in reversed(words) for bit in word)
        if kind == z3.Z3_OP_EXTRACT:
            high, low = term.params()
            return words[0][low : high + 1]
        raise NotInBits(f"a bit string is made by '{term.decl().name()}'")


def _compared(kind: int, graph: Graph) -> Callable[[Word, Word], Literal] | None:
    """What a comparison of two numbers, or the equality of two bit strings, is."""
    comparisons: dict[int, Callable[[Word, Word], Literal]] = {
        z3.Z3_OP_EQ: graph.same,
        z3.Z3_OP_LT: graph.less,
        z3.Z3_OP_GT: lambda left, right: graph.less(right, left),
        z3.Z3_OP_LE: lambda left, right: inverted(graph.less(right, left)),
        z3.Z3_OP_GE: lambda left, right: inverted(graph.less(left, right)),
    }
    return comparisons.get(kind)
