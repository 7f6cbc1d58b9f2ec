"""A graph of two-input ANDs and inverters, and numbers as words of its literals.

A literal is twice the number of a variable, plus one where it is inverted; 0 is FALSE and 1 is
TRUE (A. Biere, K. Heljanko, S. Wieringa: AIGER 1.9 And Beyond, FMV report 11/2, 2011). A word is a
number in two's complement, its lowest bit first.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeAlias

Literal: TypeAlias = int
Word: TypeAlias = tuple[Literal, ...]

FALSE, TRUE = 0, 1


def inverted(literal: Literal) -> Literal:
    return literal ^ 1


class Graph:
    """Grows; each AND of the same two literals is there once."""

    def __init__(self) -> None:
        self.variables = 0
        self.ands: list[tuple[Literal, Literal, Literal]] = []
        """What an AND is, and its operands, the greater one first."""
        self._known: dict[tuple[Literal, Literal], Literal] = {}

    def variable(self) -> Literal:
        """A new one, for an input or a latch; before any AND."""
        assert not self.ands
        self.variables += 1
        return 2 * self.variables

    def both(self, left: Literal, right: Literal) -> Literal:
        left, right = max(left, right), min(left, right)
        if right == FALSE or left == inverted(right):
            return FALSE
        if right == TRUE or left == right:
            return left
        if (left, right) not in self._known:
            self.variables += 1
            self._known[left, right] = 2 * self.variables
            self.ands.append((2 * self.variables, left, right))
        return self._known[left, right]

    def either(self, left: Literal, right: Literal) -> Literal:
        return inverted(self.both(inverted(left), inverted(right)))

    def chosen(self, condition: Literal, then: Literal, otherwise: Literal) -> Literal:
        return self.either(self.both(condition, then), self.both(inverted(condition), otherwise))

    def differ(self, left: Literal, right: Literal) -> Literal:
        return self.chosen(left, inverted(right), right)

    def all_of(self, literals: Sequence[Literal]) -> Literal:
        result = TRUE
        for literal in literals:
            result = self.both(result, literal)
        return result

    # --- words of one width -----------------------------------------------------------------------

    def sum_of(self, left: Word, right: Word, carry: Literal = FALSE) -> Word:
        """Of the same width; what does not fit is lost."""
        bits = []
        for one, other in zip(left, right, strict=True):
            half = self.differ(one, other)
            bits.append(self.differ(half, carry))
            carry = self.either(self.both(one, other), self.both(half, carry))
        return tuple(bits)

    def difference_of(self, left: Word, right: Word) -> Word:
        return self.sum_of(left, tuple(inverted(bit) for bit in right), TRUE)

    def product_of(self, word: Word, factor: int) -> Word:
        """With a number that is known."""
        total = number(0, len(word))
        for place in range(len(word)):
            if abs(factor) >> place & 1:
                shifted = (*([FALSE] * place), *word)[: len(word)]
                total = self.sum_of(total, shifted)
        return total if factor >= 0 else self.difference_of(number(0, len(word)), total)

    def chosen_word(self, condition: Literal, then: Word, otherwise: Word) -> Word:
        return tuple(
            self.chosen(condition, one, other) for one, other in zip(then, otherwise, strict=True)
        )

    def same(self, left: Word, right: Word) -> Literal:
        pairs = zip(left, right, strict=True)
        return self.all_of([inverted(self.differ(one, other)) for one, other in pairs])

    def less(self, left: Word, right: Word) -> Literal:
        """Whether the one number is less than the other; neither may be too wide for a
        difference."""
        return self.difference_of(left, right)[-1]


def number(value: int, width: int) -> Word:
    return tuple(value >> place & 1 for place in range(width))
