"""The parser's table run on states alone: what could follow, without building anything."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any, NamedTuple

from lark import Lark, Token

END = "$END"


class StackEntry(NamedTuple):
    """One thing on the parser's stack: its token (None for what is made of several), and where
    its first token is among those read."""

    token: Token | None
    begin: int


class Automaton:
    """The parse table of a grammar."""

    def __init__(self, parser: Lark) -> None:
        configuration: Any = parser.parse_interactive("").parser_state.parse_conf
        self._table: Any = configuration.parse_table.states
        self.end_state: int = configuration.end_state
        self.start: int = configuration.start_state
        self.terminals = frozenset(
            name for row in self._table.values() for name in row if name.isupper()
        ) - {END}

    def run(
        self, states: Sequence[int], terminal: str, length: int | None = None
    ) -> tuple[int, list[int], int] | None:
        """What a terminal does to a stack (the first ``length`` of ``states``): how many of its
        states stay, those put on top of them before the terminal's own, and that one; None where
        the terminal does not fit."""
        keep, over, state = self.reduced(states, terminal, length)
        return None if state is None else (keep, over, state)

    def reduced(
        self, states: Sequence[int], terminal: str, length: int | None = None
    ) -> tuple[int, list[int], int | None]:
        """The same as far as a terminal that does not fit reduces the stack, which is where a
        parser that meets it stops; it has no state of its own then."""
        keep, over = len(states) if length is None else length, list[int]()
        while True:
            action = self._table[over[-1] if over else states[keep - 1]].get(terminal)
            if action is None:
                return keep, over, None
            kind, argument = action
            if kind.name == "Shift":
                return keep, over, argument
            keep, over = self._reduced(states, keep, over, argument)
            if terminal == END and over[-1] == self.end_state:
                return keep, over, self.end_state

    def _reduced(
        self, states: Sequence[int], keep: int, over: list[int], rule: Any
    ) -> tuple[int, list[int]]:
        length = len(rule.expansion)
        from_over = min(length, len(over))
        if from_over:
            del over[-from_over:]
        keep -= length - from_over
        top = over[-1] if over else states[keep - 1]
        over.append(self._table[top][rule.origin.name][1])
        return keep, over

    def accepts(self, states: Sequence[int], terminal: str) -> bool:
        return self.run(states, terminal) is not None

    def accepted(self, states: Sequence[int], terminals: Iterable[str], most: int) -> int:
        """How many of the terminals fit one after the other; at most ``most``."""
        stack = list(states)
        number = 0
        for terminal in terminals:
            step = self.run(stack, terminal)
            if step is None or number == most:
                break
            number += 1
            stack[step[0] :] = [*step[1], step[2]]
        return number


class Stack:
    """A parser's stack without values."""

    def __init__(self, automaton: Automaton) -> None:
        self.automaton = automaton
        self.states = [automaton.start]
        self.entries: list[StackEntry] = []

    def feed(self, token: Token, position: int) -> bool:
        """Put a token on the stack, the ``position``-th one read; False where it does not fit."""
        step = self.automaton.run(self.states, token.type)
        if step is None:
            return False
        keep, over, state = step
        self._reduce(keep, over, position)
        if token.type != END:
            self.states.append(state)
            self.entries.append(StackEntry(token, position))
        return True

    def _reduce(self, keep: int, over: list[int], position: int) -> None:
        """What was from ``keep`` on is now the first state in ``over``; further ones are empty."""
        begin = self.entries[keep - 1].begin if keep - 1 < len(self.entries) else position
        del self.states[keep:], self.entries[keep - 1 :]
        for state in over:
            self.states.append(state)
            self.entries.append(StackEntry(None, begin))
            begin = position

    def cut(self, length: int) -> int:
        """Take away everything above the first ``length`` states; where the first token taken
        away is among those read (-1: nothing was taken)."""
        begin = self.entries[length - 1].begin if length - 1 < len(self.entries) else -1
        del self.states[length:], self.entries[length - 1 :]
        return begin
